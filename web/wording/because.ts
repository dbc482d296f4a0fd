// Longer than 300 lines because it is one closed dictionary: the compiler keeps it complete only as one record.
/** What each code of `src/base/because.ts` says to a person: what happened, what was kept, what to do. */
import type { Because } from '../contract.ts';

export interface Sentence {
  readonly what: string;
  /** Empty where nothing was at stake. */
  readonly kept: string;
  /** Empty where there is nothing to do. */
  readonly todo: string;
}

const s = (what: string, kept = '', todo = ''): Sentence => ({ what, kept, todo });

const LINE_KEPT = 'The line is not used; the other readings are kept.';
const CATCH_OVER = 'This catch gives no flow. Its readings and all earlier catches are kept.';
const FIGURE_STANDS = 'The figure stands.';
const NOTHING_CHANGED = 'Nothing was changed.';

export const becauseSentences: Readonly<Record<Because, Sentence>> = {
  // A line of the instrument that was not taken as a reading.
  'line-empty': s('The instrument sent an empty line.', LINE_KEPT),
  'line-too-long': s(
    'A line from the instrument never ended.',
    LINE_KEPT,
    'If it goes on, check the speed (baud) of the line.',
  ),
  'line-not-printable': s(
    'The instrument sent something that is not text.',
    LINE_KEPT,
    'Most often the speed (baud) is wrong: try another.',
  ),
  'line-checksum-wrong': s(
    'A line from the board arrived damaged.',
    LINE_KEPT,
    'If it goes on, try a shorter cable or another socket.',
  ),
  'line-not-a-sentence': s(
    'A line is not in the form that the bench board speaks.',
    LINE_KEPT,
    'Is this really a bench board? If it is a scale, choose “scale”.',
  ),
  'line-field-wrong': s(
    'A line from the board has a part that can’t be read.',
    LINE_KEPT,
    'If it goes on, restart the board.',
  ),
  'line-unknown-sentence': s('The board said something this version does not know.', LINE_KEPT),
  'line-no-number': s(
    'A line from the scale holds no number.',
    LINE_KEPT,
    'Set the scale to send its weight without a break.',
  ),
  'line-two-numbers': s(
    'A line from the scale holds two numbers, and which one is the weight is not known.',
    LINE_KEPT,
    'Set the scale to send the weight alone.',
  ),
  'line-unknown-word': s(
    'A line from the scale holds a word that is not known.',
    LINE_KEPT,
    'Set the scale to its plainest output.',
  ),
  'line-unknown-unit': s(
    'The scale shows a unit that is not known.',
    LINE_KEPT,
    'Switch the scale to g, kg, lb or oz.',
  ),
  'line-unit-missing': s(
    'The scale sends a number without a unit.',
    LINE_KEPT,
    'Say which unit it shows, under “a number without a unit means”.',
  ),

  // Readings that are not continuous.
  'lines-lost': s('Some readings were lost on the way.', CATCH_OVER, 'It will be asked for again.'),
  'board-restarted': s(
    'The board restarted.',
    CATCH_OVER,
    'Check its cable; the catch will be asked for again.',
  ),
  'device-lost': s(
    'The instrument is gone.',
    'Everything measured so far is kept.',
    'Plug it back in: the sweep goes on by itself.',
  ),
  'bytes-lost': s('Part of what the instrument sent was lost.', CATCH_OVER, 'It will be asked for again.'),
  'line-error': s(
    'The serial line reported an error.',
    CATCH_OVER,
    'If it comes again, check the speed (baud) and the cable.',
  ),
  'buffer-overflow': s(
    'Readings came faster than they could be taken.',
    CATCH_OVER,
    'Close other busy programs; the catch will be asked for again.',
  ),
  'readings-stopped': s(
    'No reading has come for a while.',
    'Everything measured so far is kept.',
    'Is the scale asleep? Press a key on it, and switch its auto-off off.',
  ),
  'app-restarted': s('The page was closed here and opened again.', CATCH_OVER, 'It will be asked for again.'),

  // Why a catch gives no flow.
  'lifted-while-filling': s(
    'The pail was lifted while it filled.',
    CATCH_OVER,
    'Leave it standing until told.',
  ),
  'tared-while-filling': s(
    'The scale was set to zero while the pail filled.',
    CATCH_OVER,
    'Keep wet gloves off its keys.',
  ),
  'over-range': s(
    'The scale went over its limit.',
    CATCH_OVER,
    'Empty the pail; the catch will be asked for again.',
  ),
  'too-short': s('Too little water to tell the flow.', CATCH_OVER, 'Spray until you hear “enough”.'),
  'stopped-by-person': s('The catch was stopped by hand.', CATCH_OVER),
  'display-frozen': s(
    'The scale kept showing the same number while water ran.',
    CATCH_OVER,
    'Take another scale, or switch its filter off if its menu can.',
  ),
  'unit-unknown': s(
    'The unit of the scale was not known here.',
    CATCH_OVER,
    'Switch the scale to g, kg, lb or oz.',
  ),
  'capture-ended-while-filling': s('The recording ends while water runs.', CATCH_OVER),
  'running-at-the-start': s(
    'The water ran already when the first reading came.',
    CATCH_OVER,
    'Begin to spray when you are asked to.',
  ),
  'below-checked-flow': s(
    'The flow is below the lowest one the meter was checked at, where nobody knows what it shows.',
    CATCH_OVER,
    'Check the meter at a lower flow, or catch on a scale.',
  ),
  'no-steady-window': s(
    'The flow was never steady long enough.',
    CATCH_OVER,
    'Keep the wand still and the pressure up.',
  ),
  'too-few-strokes': s(
    'Too few strokes of the pump to tell the flow at that rhythm.',
    CATCH_OVER,
    'Pump to the beat until you hear “enough”: twenty strokes or more.',
  ),
  'tip-not-changed': s(
    'Water came sooner than anybody can change a tip.',
    'It does not count for either tip; everything else is kept.',
    'Pump off, open the trigger, pressure at zero; then change the tip and spray again.',
  ),
  'tip-changed-while-spraying': s(
    'The tip was changed while this water ran.',
    'It counts for neither tip. Its readings and all earlier catches are kept.',
    'Shut off before a tip is changed.',
  ),
  'pail-not-moved-yet': s(
    'Water came before the pail stood at rest under its nozzle.',
    'It does not count for any nozzle; everything else is kept.',
    'Shut off, move the pail and the scale, let them rest, then open.',
  ),

  // Announced as filling, but not water.
  'pail-pushed': s('The pail was pushed: not water.', 'Nothing was counted.'),
  'too-short-and-fell-back': s('A short push that fell back: not water.', 'Nothing was counted.'),
  'too-slow': s(
    'It grew too slowly for a spray.',
    'Nothing was counted.',
    'Does something drip into the pail?',
  ),
  'not-straight': s(
    'It did not grow as water does.',
    'Nothing was counted.',
    'Shelter the pail from wind and hands.',
  ),
  'part-of-one-pour': s(
    'The water had not stopped: the catch before goes on.',
    'Both parts are counted as one catch.',
  ),
  'settled-too-low': s('It settled lower than it seemed: not water.', 'Nothing was counted.'),

  // Doubts that leave the figure standing.
  'water-temperature-assumed': s(
    'The water temperature was not told: 20 °C, give or take 10, was assumed.',
    FIGURE_STANDS,
    'Measure it in the pail for a smaller ±.',
  ),
  'setting-uncertainty-assumed': s(
    'What the dial is worth was not told, so a common value was assumed.',
    FIGURE_STANDS,
  ),
  'scale-not-checked': s(
    'The scale was not checked with a known weight.',
    FIGURE_STANDS,
    'Put a known weight on it before and after.',
  ),
  'clock-not-checked': s('The clock of the board could not be checked.', FIGURE_STANDS),
  'readings-too-slow': s(
    'The readings come too slowly to hear a pour: fewer than three in two seconds.',
    'All readings are kept.',
    'Set the scale to send two or more readings a second.',
  ),
  'averaging-unknown': s('How many readings the scale averages is not known.', FIGURE_STANDS),
  'bumped-while-filling': s('The pail was bumped while it filled; that part was left out.', FIGURE_STANDS),
  'quantisation-resonance': s(
    'The steps of the scale keep time with the flow, which can hide an error.',
    FIGURE_STANDS,
    'A longer catch helps.',
  ),
  'coarse-steps': s('The scale shows coarse steps.', FIGURE_STANDS, 'Longer catches help.'),
  'display-froze': s(
    'The scale stood still for a moment while water ran.',
    FIGURE_STANDS,
    'Take another scale, or switch its filter off if its menu can.',
  ),
  'short-catch': s('A short catch.', FIGURE_STANDS),
  'gap-while-filling': s('Some readings are missing inside this catch.', FIGURE_STANDS),
  'wand-moved': s(
    'Something came to rest on the pail, or moved away, while it filled.',
    'The catch counts, with a wider ±: the jump was taken out.',
    'Keep wand, hose and hands off the rim.',
  ),
  'flow-not-steady': s(
    'The flow did not stay the same through this catch.',
    'It counts, as the mean, with a wider ±.',
    'Foam that stays means product: stop and rinse. Foam over the rim, a jug, a falling pressure? Repeat it.',
  ),
  'wind-or-touch': s('Wind, or something touches the pail.', FIGURE_STANDS, 'Shelter the pail.'),
  'water-warm': s(
    'The water is warm, so a litre weighs less.',
    FIGURE_STANDS,
    'Let the hose run cool first.',
  ),
  'reference-from-rating': s(
    'Compared with what is stamped on the tip, which has a tolerance of its own.',
    FIGURE_STANDS,
  ),
  'unknown-mark': s('The recording holds a mark this version does not know.', 'It was passed over.'),
  'unknown-header-key': s(
    'The recording’s head holds a line this version does not know.',
    'It was passed over.',
  ),
  'rig-changed-since-baseline': s(
    'What lies between gauge and tip is not told as it was when the baseline was measured.',
    'It may lose another part of the pressure now.',
    'Read a gauge at the wand, or take a new baseline.',
  ),
  'lines-refused': s('Some lines could not be read.', 'The others were used.'),
  'lines-cut': s('Some lines were cut short.', 'The others were used.'),
  'unit-changed': s('The scale changed its unit on the way.', FIGURE_STANDS),
  'capture-cut-short': s('The recording breaks off.', 'All up to there was used.'),
  'restart-before-catch': s('The instrument restarted shortly before this catch.', FIGURE_STANDS),
  'meter-not-checked': s('The flow meter was not checked against a known volume.', FIGURE_STANDS),
  'sensor-not-used': s('The pressure sensor was not used.', FIGURE_STANDS),
  'dial-repeats-worse-than-stated': s(
    'The dial repeats worse than was told; the wider value is used.',
    FIGURE_STANDS,
  ),
  'scale-near-limit': s('The scale is near its limit.', 'The catch is kept.', 'Shut off and empty the pail.'),
  'plateaus-do-not-match-plan': s('The steps in the flow do not match the plan.', FIGURE_STANDS),
  'scale-off': s(
    'The scale shows something else than what is on it, by more than one of its steps.',
    FIGURE_STANDS,
    'Correct it, or leave it and carry the doubt: you decide.',
  ),
  'scale-perhaps-tilted': s(
    'It reads low by so little that it may stand crooked: 3° is 0.14 %, 5° is 0.38 %.',
    '',
    'Level it and check again before you correct it.',
  ),
  'scale-not-linear': s(
    'The scale is not straight: one factor does not fit all the loads.',
    'The factor was kept, with that much more doubt.',
    'Check it with loads near what a catch weighs.',
  ),
  'zero-did-not-return': s(
    'After the load came off the scale did not come back to its zero.',
    'Half of the difference is in the ±.',
    'Does something touch the pan? Check again.',
  ),
  'scale-drifted': s(
    'The scale moved between the check before and the check after.',
    'The whole difference is in the ±.',
    'Let it warm up, keep it out of the sun, and measure again if the ± is too wide.',
  ),
  'scale-swallows-slow-change': s(
    'The scale swallows slow change: a slow trickle was not shown in full.',
    'Catches stand; a drip or a slow leak can’t be told with it.',
    'Switch its zero tracking off if its menu can.',
  ),
  'check-reference-poor': s(
    'What was put on is not known well enough to say whether the scale is off.',
    'The check is kept, with its ±.',
    'Use a heavier or better known weight.',
  ),
  'meter-one-flow': s(
    'The meter was checked at one flow only, so its offset can’t be told.',
    'One factor can be had; it holds near that flow.',
    'Catch at two flows or more, the larger at least a third above the smaller.',
  ),
  'meter-not-straight': s(
    'The meter’s pulses do not lie on one straight line with the flow.',
    'The ± was widened to hold them.',
    'Look for air in the line, and check again.',
  ),
  'meter-above-checked': s(
    'The flow is more than a tenth above the highest one the meter was checked at.',
    FIGURE_STANDS,
    'Check the meter at this flow too.',
  ),
  'water-missing': s(
    'Less water reached the pail than went through the meter.',
    'Both figures are kept; the flow is that of the pail.',
    'Spray missed the pail, or there is a leak between meter and pail: aim deeper, look at the joints.',
  ),
  'more-water-than-metered': s(
    'More water reached the pail than the meter counted.',
    'Both figures are kept; the flow is that of the pail.',
    'Check scale and meter again.',
  ),
  'more-left-than-metered': s(
    'More water left the sprayer than went through the meter.',
    'Both figures are kept; the flow is that of the scale.',
    'Water leaks between tank and meter: look at tank, pump and joints under pressure, clean water only. If all is dry, check scale and meter again.',
  ),
  'more-metered-than-left': s(
    'More water went through the meter than the sprayer lost.',
    'Both figures are kept; the flow is that of the scale.',
    'Did water run back or drip on the scale? Air in the line counts too. Then check scale and meter again.',
  ),
  simulated: s('Simulated: no real tip was measured.'),
  'stands-apart': s(
    'It stands apart from the other catches.',
    'The curve keeps it, a finding is made without it.',
    'Look at it, and strike it out if you know why.',
  ),
  'timed-by-hand': s('Timed by hand: the thumb is part of the ±.', FIGURE_STANDS),
  'few-strokes': s(
    'Fewer than twenty strokes of the pump.',
    FIGURE_STANDS,
    'Pump on until you hear “enough”.',
  ),
  'off-the-beat': s(
    'The strokes were not on the beat, so this is the flow at another rhythm.',
    FIGURE_STANDS,
    'Pump to the beat, or set the beat to the rhythm that is natural to you.',
  ),
  'rhythm-not-heard': s(
    'No rhythm of strokes stands out in the readings; the beat was taken for it.',
    FIGURE_STANDS,
    'Is this sprayer pumped by hand while it sprays?',
  ),
  'rig-read-as-held': s(
    'Only the meter was there, and its pulses were read as those of a held pressure.',
    FIGURE_STANDS,
    'It is the mean of the whole catch: strokes, a falling or a swelling flow are not told apart.',
  ),
  'beat-not-told': s(
    'The beat of the strokes was not told, so they are read as a held pressure and the ± may be too small.',
    FIGURE_STANDS,
    'Tell the time between two strokes in the set-up.',
  ),
  'pumping-presses-on-scale': s(
    'The sprayer stood on the scale while it was pumped by hand, and hands on the pump press on it.',
    FIGURE_STANDS,
    'Put the pail on the scale instead.',
  ),
  'hose-still-swelling': s(
    'The hose was still swelling when the water was shut off, so the flow was not steady yet.',
    FIGURE_STANDS,
    'Spray longer, or run the water for a minute first and begin the catch then.',
  ),

  // A number that could stand there and does not.
  'no-sensor': s('There is no pressure sensor.'),
  'none-announced': s('No setting was told for this catch.'),
  'plateau-of-a-pour': s('This is one step of a longer pour.'),
  'catch-is-void': s('The catch is void, so it gives no number.'),
  'no-curve': s('There is no curve yet.'),
  'no-catches': s('There is no catch yet, so no curve.'),
  'no-settings': s('No pressures were told, so no curve can be drawn.'),
  'one-setting-only': s(
    'One setting only: no exponent can be told from it.',
    '',
    'Measure at a second pressure.',
  ),
  'two-catches-only': s('Two catches are too few for an honest ±.', 'Both are kept.', 'Make a third.'),
  'too-few-settings': s('Too few settings to tell.', 'The catches are kept.', 'Measure at more pressures.'),
  'fit-did-not-settle': s(
    'No curve settled through these catches.',
    'The catches are kept.',
    'Look for one that is far off.',
  ),
  'no-reference': s('There is nothing to compare with.'),
  'not-yet-supported': s('This version can’t tell that yet.'),
  'unit-missing': s('The unit is missing.', '', 'Say which unit the scale shows.'),
  'no-mass': s('There is no weight in these readings.'),
  'no-meter-factor': s(
    'Pulses per litre are not known, so the meter gives no flow.',
    '',
    'Type what the meter’s sheet says, or check it with a known volume.',
  ),
  'no-degrees-of-freedom': s('Too few readings for an honest ±.'),
  'no-quiet-after': s('The pail was not quiet long enough after shut-off to tell a drip.'),
  'outside-measured-range': s(
    'That is outside what was measured, so no number is given.',
    '',
    'Measure nearer to it.',
  ),
  'no-rated-flow': s('No rated flow was told, so there is nothing to compare with.'),
  'not-enough-readings': s('Not enough readings yet.'),
  'device-has-no-clock': s('The scale has no clock of its own; arrival times are used.'),
  'pressure-falls': s(
    'The pressure of a pumped-up can falls while it sprays, so it has no one curve without a pressure sensor.',
    'Each catch is kept with its flow at the start, in the middle and at the end.',
    'Read the table, or measure the pressure with a sensor.',
  ),
  'no-sweep-the-other-way': s(
    'There is no earlier sweep of this tip and sprayer made the other way.',
    '',
    'Measure it once into the pail and once with the sprayer on the scale.',
  ),
  'tips-at-several-settings': s(
    'Not all catches were made at one setting, so the pressure may differ and not the tips.',
    'Each catch is kept.',
    'Catch all tips at one setting, or with a pressure sensor.',
  ),
  'several-tips': s('Water of several tips is in here, so there is no one curve.', 'Each catch is kept.'),

  // A request that could not be done.
  'file-not-found': s('The file is not there any more.', NOTHING_CHANGED, 'Choose it again.'),
  'not-a-capture': s(
    'This file is not a capture of ours.',
    NOTHING_CHANGED,
    'Choose a file that was exported here.',
  ),
  'capture-version-newer': s(
    'This capture was written by a newer version.',
    NOTHING_CHANGED,
    'Open it with that version.',
  ),
  'capture-too-big': s('This file is too big to open.', NOTHING_CHANGED, 'Cut it into shorter recordings.'),
  'capture-header-wrong': s(
    'The head of this capture can’t be read.',
    NOTHING_CHANGED,
    'Take an unchanged copy.',
  ),
  'analysis-failed': s(
    'The analysis of this file broke off: that is our mistake.',
    'The file is as it was, and the others were analysed.',
    'Send us the file.',
  ),
  'capture-empty': s('This capture holds no readings.', NOTHING_CHANGED, 'Choose another file.'),
  'setting-not-positive': s(
    'A pressure setting has to be above zero.',
    NOTHING_CHANGED,
    'Correct the list of settings.',
  ),
  'setting-absurd': s(
    'A pressure setting is none that a small sprayer has.',
    NOTHING_CHANGED,
    'Check the list and its unit; never go above the rating of the weakest part.',
  ),
  'settings-too-close': s(
    'Some settings are too close together to be told apart.',
    'Every reading and every catch is kept.',
    'Leave one of two neighbours out, or catch them one at a time, announced.',
  ),
  'no-pressure-sensor': s(
    'This instrument sends no pressure, so it can’t tell which setting is which.',
    NOTHING_CHANGED,
    'Choose “told before each catch”, or plug in a board with a pressure sensor.',
  ),
  'settings-repeat': s(
    'The same setting stands in the list twice.',
    NOTHING_CHANGED,
    'Name each once; catches per setting makes the repeats.',
  ),
  'flow-not-positive': s('A flow has to be above zero.', NOTHING_CHANGED, 'Correct it, or leave it empty.'),
  'volume-not-positive': s('A volume has to be above zero.', NOTHING_CHANGED, 'Correct it.'),
  'time-not-positive': s('A time has to be above zero.', NOTHING_CHANGED, 'Correct it.'),
  'number-not-understood': s('That is not a number.', NOTHING_CHANGED, 'Digits, with a point or a comma.'),
  'name-missing': s('A name is missing.', NOTHING_CHANGED, 'Give it any name you will know again.'),
  'no-serial-here': s(
    'This browser can’t talk to a serial instrument.',
    NOTHING_CHANGED,
    'On a computer, a current Chromium-based browser or Firefox can. The simulated bench, captures and timing by hand work here.',
  ),
  'permission-refused': s(
    'The computer did not allow this instrument to be opened.',
    NOTHING_CHANGED,
    'Allow it when asked; on Linux your user may have to join the group that owns serial ports.',
  ),
  'port-busy-or-gone': s(
    'The instrument could not be opened: another tab or program holds it, or it was unplugged.',
    NOTHING_CHANGED,
    'Close the other one, plug it in again, try again.',
  ),
  'port-already-open': s('This page has the instrument open already.', NOTHING_CHANGED),
  'no-port-picked': s('No instrument was picked.', NOTHING_CHANGED, 'Plug it in and pick it from the list.'),
  'no-readings-yet': s('No reading has come yet.', '', 'Is the scale on, and set to send without a break?'),
  'wrong-baud-likely': s(
    'What comes in is no text: the speed (baud) is most likely wrong.',
    '',
    'Choose another speed; the scale’s manual or menu names it.',
  ),
  'not-an-instrument-we-read': s(
    'Something answers, but it is no scale and no bench board.',
    '',
    'Pick another instrument from the list.',
  ),
  'another-kind-of-instrument': s(
    'It speaks as another kind of instrument than the one you chose: a bench board instead of a scale, or the other way round.',
    NOTHING_CHANGED,
    'Choose the other kind and connect again.',
  ),
  'sweep-running': s('A sweep is running.', 'It goes on.', 'End it first.'),
  'no-sweep-running': s('No sweep is running.', NOTHING_CHANGED),
  'nothing-to-strike': s('There is no catch to strike out.', NOTHING_CHANGED),
  'reason-needed': s(
    'Its number was seen, so a reason is needed.',
    NOTHING_CHANGED,
    'Say in a few words what went wrong.',
  ),
  'will-not-fit': s('The next catch will not fit.', 'Everything so far is kept.', 'Empty the pail.'),
  'storage-failed': s(
    'The browser could not write to its store.',
    'The sweep goes on in memory only.',
    'Export the capture before you close this page.',
  ),
  'storage-full': s(
    'The browser’s store is full.',
    'What was written before is kept.',
    'Export the capture, and make room on this computer.',
  ),
  'storage-newer': s(
    'The store was written by a newer version of this page.',
    'Nothing in it was touched.',
    'Load the page again to get the newer version.',
  ),
  'record-not-found': s('That record is not there any more.', NOTHING_CHANGED),
  'instrument-not-open': s(
    'No instrument is open.',
    NOTHING_CHANGED,
    'Plug one in, or run the simulated bench.',
  ),
  'worker-stopped': s(
    'The part that reads the instrument stopped.',
    'Finished catches are kept.',
    'Load the page again; an unfinished sweep waits in the Log.',
  ),
  'check-mass-not-positive': s(
    'A known weight or volume has to be above zero.',
    NOTHING_CHANGED,
    'Type what is marked on it.',
  ),
  'check-mass-too-big': s(
    'That is more than this scale bears, or than anybody lifts onto it.',
    NOTHING_CHANGED,
    'Check the number and its unit.',
  ),
  'check-mass-too-small': s(
    'That is too little for this scale to tell: its steps alone would be the answer.',
    NOTHING_CHANGED,
    'Use something heavier: a hundred steps of the display at least, better the weight of a catch.',
  ),
  'check-trickle-too-big': s(
    'That is more than a slow trickle, or more than the scale has room for.',
    NOTHING_CHANGED,
    'A cup of water is plenty: at most a tenth of what the scale bears.',
  ),
  'check-water-temperature-missing': s(
    'A volume of water is a weight only if its temperature is known.',
    NOTHING_CHANGED,
    'Put a thermometer in it and type what it says.',
  ),
  'check-water-out-of-range': s(
    'Water for a check has to be between 0 and 40 °C: hot water shrinks in the jug while you look.',
    NOTHING_CHANGED,
    'Let it stand until it is cool, and read the mark again.',
  ),
  'check-reference-unsure': s(
    'With so wide a ± the known weight tells nothing about the scale.',
    NOTHING_CHANGED,
    'Use one that is known to 5 % at worst, 0.1 % to be of much use.',
  ),
  'check-scale-absurd': s(
    'What the scale shows and what was put on are not even near each other.',
    'The scale was not corrected.',
    'Was the right weight put on, and is its unit the one you typed?',
  ),
  'check-disturbed': s(
    'The scale was set to zero, switched to another unit or lost in the middle of the check.',
    'The check was dropped; everything measured before is kept.',
    'Keep wet gloves off its keys and check again.',
  ),
  'check-took-too-long': s(
    'The scale never came to rest with what was asked for on it.',
    'The check was dropped; everything measured before is kept.',
    'Shelter it from wind and hands, and check again.',
  ),
  'check-running': s('A check is running.', 'It goes on.', 'End it first.'),
  'no-check-running': s('No check is running.', NOTHING_CHANGED),
  'scale-refused': s(
    'You decided not to measure with this scale.',
    'The check is kept.',
    'Check it again, or open another one.',
  ),
  'nothing-to-decide': s('There is no check that waits for your word.', NOTHING_CHANGED),
  'meter-factor-not-positive': s(
    'The meter gave no pulses for the water, or fewer for more: that is no factor.',
    'The meter was left as it was.',
    'Look at its cable and at the direction of the arrow on it.',
  ),
  'meter-needs-both': s(
    'To check the meter both are needed in one catch: pulses from the meter and weight from the scale.',
    NOTHING_CHANGED,
    'Run a sweep over two or more settings on a bench board that has both.',
  ),
  'clock-too-short': s(
    'A minute of readings is needed to check the clock.',
    'The clock was left as it was.',
    'Leave the bench alone for a minute and check again.',
  ),
  'pressure-zero-off': s(
    'The pressure sensor shows pressure where there should be none.',
    'The sensor was left as it was.',
    'Pump off, trigger open, hose empty; if it still shows it, look at its wires and its full scale.',
  ),
  'pressure-points-too-close': s(
    'The known pressure is too near to zero to tell how steep the sensor is.',
    'The sensor was left as it was.',
    'Use a pressure above a fifth of its full scale, never above the rating of the weakest part.',
  ),
  'pressure-beyond-sensor': s(
    'That pressure is beyond what the sensor can read.',
    'The sensor was left as it was.',
    'Use a lower one.',
  ),
  'pressure-gain-absurd': s(
    'Sensor and gauge do not agree to a fifth: one of them, or its full scale, is not what was told.',
    'The sensor was left as it was.',
    'Check the full scale and the unit you typed.',
  ),
  'one-pour-needs-held-pressure': s(
    'One pour through several settings needs a pressure that is held, and the pail on the scale.',
    NOTHING_CHANGED,
    'Shut off in between the settings instead.',
  ),
  'routine-needs-one-setting': s(
    'Tips are compared at one setting, with the water shut off in between and the dial left alone.',
    NOTHING_CHANGED,
    'Type one setting.',
  ),
  'routine-needs-held-pressure': s(
    'Tips can only be compared like this where the pressure is held, with the pail on the scale.',
    NOTHING_CHANGED,
    'Choose a held pressure, or measure a curve of each tip.',
  ),
  'routine-needs-a-scale': s(
    'A flow meter alone sees all nozzles of a boom at once.',
    NOTHING_CHANGED,
    'Put a pail on a scale under each nozzle.',
  ),
  'positions-absurd': s('A boom has two nozzles or more, and no more than sixty here.', NOTHING_CHANGED),
  'same-tip-twice': s(
    'Both names are the same tip.',
    NOTHING_CHANGED,
    'Give the other tip a name of its own, and mark it so that you can tell them apart.',
  ),
  'name-too-long': s('A name is longer than 200 letters.', NOTHING_CHANGED, 'Shorten it.'),
  'difference-absurd': s(
    'The difference that is to be seen lies between 0.2 and 50 %.',
    NOTHING_CHANGED,
    'One or two percent can usually be seen.',
  ),
  'tips-too-few-or-many': s(
    'A bag of tips is three to eight of them.',
    NOTHING_CHANGED,
    'Two are held against each other; more than eight are two bags with one tip in both.',
  ),
  'difference-needs-too-many': s(
    'So small a difference takes more than sixty catches of each tip here.',
    NOTHING_CHANGED,
    'Ask for a larger difference, or make each catch surer: a guided wand, a smaller ± wanted.',
  ),
  'meter-alone-needs-held-pressure': s(
    'With a flow meter alone only a pressure that is held can be measured, and nothing stands on a scale.',
    NOTHING_CHANGED,
    'Put a pail on a scale for this sprayer, or choose a held pressure.',
  ),
  'beat-missing': s(
    'The time between two strokes is missing, or is none that a person can pump to.',
    NOTHING_CHANGED,
    'Give it in seconds, from 0.5 to 5.',
  ),
  'tank-too-small': s(
    'The tank holds too little for a catch at this setting.',
    NOTHING_CHANGED,
    'Fill it further, or choose lower settings.',
  ),
  'instruments-not-checked': s(
    'The two sweeps were not measured with the same scale and the same correction, and one of them was never checked: how they differ may be the instruments’ doing.',
    NOTHING_CHANGED,
    'Check the scale and the meter before each of the two sweeps, or make both with the same scale, corrected alike.',
  ),
  'sweeps-not-alike': s(
    'These two sweeps have no setting in common that both caught, so there is nothing to compare.',
    NOTHING_CHANGED,
    'Measure the same tip at the same settings, once each way.',
  ),

  'pressure-sags': s(
    'The sag test showed that the pressure falls while this rig sprays.',
    'What was measured late in the sweep is too low: that is the pump or its battery, not the tip.',
    'Charge it or let it rest, then measure again.',
  ),

  // A tip over weeks.
  'is-this-the-tip': s(
    'The flow is so far from the last check that this may be another tip.',
    'The check is kept and shown, but does not count; where the next one says the same, that one counts.',
    'Look at the tip, then say whether it was this one.',
  ),
  'check-other-instrument': s(
    'A check was made with another instrument than the baseline.',
    'It is shown. It counts only where both instruments were checked; the ± then holds both.',
  ),
  'check-outside-baseline': s(
    'A check was made at a pressure that the baseline does not reach.',
    'It is kept, but can’t be held against the baseline.',
    'Check at one of the settings of the baseline.',
  ),
  'rig-jumped': s(
    'All tips of this sprayer changed together in one week: that is the sprayer or the scale, not wear.',
    'What they share was taken off before the tips were judged.',
    'Read the dial at zero, and check the scale.',
  ),
  'tips-changed-alike': s(
    'All tips of this sprayer changed alike: all of them wore alike, or the sprayer or the scale did it. From these checks alone nobody can tell.',
    'Nothing was taken off: the average and the forecast show all of it.',
    'Read the dial at zero, check the scale, and measure a tip that stays in the drawer.',
  ),
  'far-from-reference': s(
    'The flow lies farther from the reference than one tip size from the next: this may be another tip, or a typed figure may be wrong.',
    'The sweep is kept.',
    'Look at the tip and at what is stamped on it before anything else.',
  ),
  'baseline-sweep-unusable': s(
    'A sweep that was meant for the baseline has no flow that counts.',
    'The others serve.',
  ),
  'no-baseline': s(
    'There is no baseline of this tip on this sprayer.',
    '',
    'When the tip is new, choose “This tip is new” before you measure it, on three days.',
  ),
  'baseline-of-one': s(
    'The baseline is one sweep, and one can’t tell how much is chance: the points have no limits.',
    '',
    'Measure twice more with “This tip is new” chosen.',
  ),
  'baseline-of-two': s(
    'The baseline is two sweeps; limits need three.',
    '',
    'Measure once more with “This tip is new” chosen.',
  ),
  'baseline-void': s(
    'No sweep that was meant for the baseline has a flow that counts.',
    'The sweeps are kept.',
    'Choose another one, or measure anew.',
  ),
  'no-check-yet': s(
    'This tip was not checked since its baseline.',
    '',
    'Choose “Weekly check” and measure it.',
  ),
  'spread-not-known-yet': s(
    'There are too few checks yet to tell chance from change: the points have no limits.',
    'Every check of any tip on this sprayer helps.',
    'Go on with the weekly checks.',
  ),
  'forecast-needs-more': s(
    'Too few checks for a forecast.',
    '',
    'It takes four checks that span three weeks, and limits.',
  ),
  'flow-not-rising': s('The flow does not rise beyond chance, so there is no week to foretell.'),
  'change-not-steady': s(
    'The flow does not change steadily, so it can’t be carried on into coming weeks.',
    '',
    'Four steady checks in a row give a forecast.',
  ),
  'tips-two-to-six': s(
    'From two to six tips can be held against each other.',
    NOTHING_CHANGED,
    'Choose again.',
  ),
  'baseline-not-of-this-tip': s(
    'That sweep is of another tip, or simulated: it can’t be the baseline of this one.',
    NOTHING_CHANGED,
    'Choose sweeps of this tip.',
  ),
  'tip-not-found': s('There is no such tip in the rack.', NOTHING_CHANGED, 'Open the rack again.'),
  'too-few-catches': s(
    'Too few catches to tell one from the other.',
    'The catches are kept.',
    'Catch each at least twice.',
  ),
  'one-tip-only': s(
    'One tip only: there is nothing to hold it against.',
    'Its catches are kept.',
    'Measure a second one on the same sprayer.',
  ),
  'rig-moved-meanwhile': s(
    'The first position gave another flow at the end than at the start: the sprayer changed meanwhile.',
    'What it changed by stands in every ±.',
    'Look at the pressure and the battery, and catch again.',
  ),
  'slow-drip-may-be-swallowed': s(
    'Some scales take a slow drip for their own drift and never show it; whether this one does was not tested.',
    FIGURE_STANDS,
    'Check the scale with a slow trickle, then test the blank tip again.',
  ),
  'flow-ran-at-lowest-mark': s(
    'Water still ran at the lowest mark: the flow stops somewhere below it.',
    'The figure stands, with a ± down to zero.',
  ),
  'no-rig-check-running': s('No check of the rig is running.', NOTHING_CHANGED),
  'no-answer-asked': s('Nothing is asked for just now.', NOTHING_CHANGED, 'Wait for the next instruction.'),
  'rig-rating-missing': s(
    'A blank tip is tested only below the rating of the weakest part, and that rating was not told.',
    NOTHING_CHANGED,
    'Type what hose, wand, tip holder and tank are rated for; the least of them counts.',
  ),
  'blank-above-rating': s(
    'With what the dial may be off, that pressure is not well below the rating of the weakest part.',
    NOTHING_CHANGED,
    'Test at a lower pressure: a tenth of the rating stays free. Never go above the rating of the weakest part.',
  ),
  'pump-without-bypass': s(
    'A pump is never blocked unless it has a bypass or a pressure switch.',
    NOTHING_CHANGED,
    'Leave this check out, or find out whether the pump has one.',
  ),
  'rig-check-needs-pail': s(
    'This check weighs what drips into a pail on a scale, and there is none.',
    NOTHING_CHANGED,
    'Put a pail on a scale, or choose another check.',
  ),
  'rig-check-stopped': s('The check was stopped.', 'What was found before stands.'),
  'blank-pressure-too-high': s(
    'The sensor read more than nine tenths of the rating of the weakest part.',
    'The test was ended; nothing was kept of it.',
    'Find out what let the pressure rise before you test again, and test at a lower one.',
  ),
  'setting-above-rating': s(
    'A setting lies above what the weakest part is rated for.',
    'Nothing was begun.',
    'Lower the setting. If the rating was mistyped, correct it by what is printed on the part.',
  ),
  'dial-reading-absurd': s(
    'A dial that shows so much has pressure behind it.',
    'Nothing was kept of it.',
    'Pump off, trigger open until nothing comes any more; then type what it shows.',
  ),
  'wand-reading-absurd': s(
    'The gauge at the wand can’t show that at this setting.',
    'Nothing was kept of it.',
    'Look at the number and its unit, and type it again.',
  ),
  'flow-not-heard': s(
    'No water was heard in the pail.',
    'Nothing was kept of this check; all catches are.',
    'Begin where water surely runs, at a higher mark if need be, and spray into the pail.',
  ),
  'rig-check-marks-wrong': s(
    'The marks have to go down, from one where water runs, two of them or more.',
    NOTHING_CHANGED,
    'Type them from high to low.',
  ),
  'simulated-against-measured': s(
    'One of the two is simulated: invented water is never held against real water.',
    NOTHING_CHANGED,
    'Choose two of one kind.',
  ),
  'flow-not-held': s(
    'The pressure of one of them was not held, so there is no flow for a setting to compare.',
    NOTHING_CHANGED,
    'Compare tips on a rig that holds its pressure.',
  ),
  'rigs-not-tied': s(
    'They were measured on two rigs, and nothing tells how their pressures differ.',
    NOTHING_CHANGED,
    'Measure both on one rig, or read a gauge at the wand of each.',
  ),
  'no-common-range': s('Their pressures do not overlap.', NOTHING_CHANGED, 'Measure both at one pressure.'),
  'ratio-changes-with-pressure': s(
    'How they differ changes with the pressure: one of them, or its seal, does not follow the square root.',
    'The figures at each pressure stand.',
    'Look at the curves, and measure each again.',
  ),
  'tips-and-rig-do-not-fit': s(
    'What these tips give does not go together with any pressure, loss or wear that we know.',
    'The figures are the nearest; do not rest on them.',
    'Measure the tips again on one day, with one scale.',
  ),
  'tip-or-rig-either': s(
    'More than one tip could be the one that changed; the ± holds every case.',
    FIGURE_STANDS,
    'Measure a tip that was never sprayed with, or read a gauge at the wand.',
  ),
  'all-tips-or-rig': s(
    'Were all tips worn alike, or stopped up alike, it would look as if the rig had changed.',
    FIGURE_STANDS,
    'Measure a tip that was never sprayed with, or read a gauge at the wand.',
  ),
  'tips-left-out': s(
    'A tip whose own curve bends, or that no cause we know explains, says nothing of the rig: it was left out.',
    'What is told rests on the others.',
    'Put right what its finding names, and measure it again.',
  ),
  'tips-and-rig-disagree': s(
    'What these tips give does not go together: no pressure, no loss and no wear that we know makes all of it.',
    'All sweeps are kept, and so is the finding of each tip.',
    'Measure the tips again on one day with one scale, and look at what the finding of each says.',
  ),
  'too-few-tips-left': s(
    'Tips whose own curves bend say nothing of the rig, and fewer than two others are left.',
    'All sweeps are kept, and so is the finding of each tip.',
    'Put right what their findings name, or measure another tip on this rig.',
  ),
};

export function sentenceOf(because: Because): Sentence {
  return becauseSentences[because];
}

/** A code that came as bare text (announcements carry some): its sentence if it is one of ours. */
export function sentenceOfText(code: string): Sentence | null {
  return Object.hasOwn(becauseSentences, code) ? becauseSentences[code as Because] : null;
}

/** All three parts as one line. */
export function wholeSentence(because: Because): string {
  const { what, kept, todo } = becauseSentences[because];
  return [what, kept, todo].filter((part) => part !== '').join(' ');
}
