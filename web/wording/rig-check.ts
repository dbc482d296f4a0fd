/** Checks of the rig: what is chosen, asked, found. The lines that are spoken too stand in `rig-check-line.ts`. */
import type { RigCheckFound, RigCheckKind, RigCheckView } from '../contract.ts';
import { sentenceOf } from './because.ts';
import { gaugeMeans } from './gauge-means.ts';
import { fixed, significant, withUncertainty } from './number.ts';
import { isSagShown, minutesText, sagText, smallestSeenText, type Sag } from './sag.ts';
import { pressureText } from './prompts.ts';
import { leftToDo } from './rig-check-line.ts';
import type { BigFigure } from './running.ts';
import type { ShownUnit, ShownUnits } from './units.ts';

export const rigCheckWords = {
  title: 'Check the rig',
  lead: 'Two minutes or less each, four for the last. What is found goes into what is said of the tip: of the sweep just made, and of the next ones of this rig today.',
  which: 'Which check',
  kinds: {
    'dial-at-zero': 'the dial at zero',
    'flow-stops-at': 'where the flow stops',
    'blank-tip': 'a blank tip',
    'wand-gauge': 'a gauge at the wand',
    'sag-test': 'does it fade',
  } as const satisfies Record<RigCheckKind, string>,
  why: {
    'dial-at-zero':
      'Pump off, trigger open, pressure gone: a dial that shows something then is off by that much.',
    'flow-stops-at':
      'Spraying, you turn down from mark to mark; the scale hears where no water comes any more. Nothing has to be typed. A check valve shuts there; a dial that reads high does the same, so read the dial at zero too.',
    'blank-tip':
      'A blank in the tip’s place, under pressure: the scale weighs what comes out all the same, for a minute. That is the leak.',
    'wand-gauge':
      'Water running, you read a gauge at the wand: what is missing against the dial is lost on the way, or the dial is off.',
    'sag-test':
      'Does the pressure fall while you spray? You set the dial once and leave it: half a minute into the pail, two minutes anywhere, half a minute into the pail again. A dial that is set anew in between would hide up to 5 % of the flow.',
  } as const satisfies Record<RigCheckKind, string>,
  rigName: 'Name of the sprayer',
  division: 'Between two marks of the dial',
  divisionHint: 'Empty: taken as good to 0.7 psi (0.05 bar).',
  marks: 'Marks to turn down through',
  marksHint: 'From high to low, the first one where water surely runs.',
  dial: 'The dial is good to ±',
  settings: 'Settings to read at',
  settingsHint: 'One to three, a space between them.',
  pressure: 'Pressure on the dial',
  sagSetting: 'Set the dial to',
  rating: 'The weakest part is rated for',
  whyNotYet:
    'Begin stays closed until you say that the pump has a bypass or a pressure switch: a pump without one is never blocked.',
  ratingHint:
    'Hose, wand, tip holder or tank, whichever is least. The test stays a tenth below it, what the dial may be off included.',
  bypass: 'The pump has a bypass or a pressure switch',
  yes: 'yes',
  no: 'no, or not known',
  blankCautions: [
    'Never on a pump without a bypass or pressure switch, and never at or above the rating of the weakest part.',
    'With no water taken the pressure can rise above what you set: bring it up slowly, watch the dial, and pump off if it goes above.',
    'Nobody in line with the wand. Eyes and hands away from hose and fittings while the pressure is on.',
    'Pump off, trigger open, pressure at zero before the tip is changed, and again before the blank is taken out.',
  ],
  gaugeCautions: [
    'Pump off, trigger open, pressure at zero before the gauge goes on, and again before it comes off.',
    'A gauge that reads beyond the highest setting, on a fitting rated for it. Nobody in line while the pressure is on.',
  ],
  caution: 'Clean water only. Pump off, trigger open, pressure at zero before a tip is changed.',
  begin: 'Begin',
  stop: 'Stop the check',
  isSafe: 'Done, it is safe',
  leaveSafe: 'Still to do',
  another: 'Another check',
  tell: 'Take this number',
  asks: {
    dial: 'The dial shows',
    wand: 'The gauge at the wand shows',
  },
  buttons: {
    'blank-is-in': 'The blank is in',
    'pressure-stands': 'The pressure stands',
    'gauge-is-on': 'The gauge is on',
    'goes-no-lower': 'It goes no lower',
    'sprayed-enough': 'Sprayed enough, catch now',
  },
  seconds: 'seconds',
  soFar: 'heard',
  found: 'Found so far',
  notKept: 'It could not be kept in the Log.',
  intoSweep: 'It is marked in the sweep, whose finding was made anew.',
  intoNext: 'It goes into the next sweeps of this rig today.',
} as const;

function told(value: number, u: number, unit: ShownUnit): string {
  const cut = withUncertainty(unit.fromSI(value), 2 * unit.fromSI(u));
  return cut === null
    ? `${significant(unit.fromSI(value), 2)} ${unit.label}`
    : `${cut.value} ${unit.label}, give or take ${cut.plusMinus}`;
}

/** "Without pressure the dial shows 4.0 psi, give or take 1.4." */
export function foundSentence(found: RigCheckFound, units: ShownUnits): string {
  switch (found.kind) {
    case 'dial-at-zero':
      return `Without pressure the dial shows ${told(found.shown_Pa, found.standardUncertainty_Pa, units.pressure)}.`;
    case 'flow-stops-at':
      return `On the way down the flow stops at ${told(found.shown_Pa, found.standardUncertainty_Pa, units.pressure)}.`;
    case 'blank-tip':
      return `Behind a blank at ${pressureText(found.pressure_Pa, units)}, ${told(found.leak_m3_per_s, found.standardUncertainty_m3_per_s, units.drip)} come out all the same.`;
    case 'wand-gauge':
      return `At ${pressureText(found.setting_Pa, units)} on the dial the gauge at the wand reads ${told(found.wand_Pa, found.standardUncertainty_Pa, units.pressure)}.`;
    case 'sag-test':
      return `At ${pressureText(found.setting_Pa, units)}, over ${minutesText(found.sprayed_s)} of spraying, the flow ${sagText(found)}.`;
  }
}

/** What it says by itself, without the curve; nothing where only the curve can tell. */
export function foundMeans(found: RigCheckFound, units: ShownUnits): string {
  const clear = (value: number, u: number): boolean => Math.abs(value) > 2 * u;
  switch (found.kind) {
    case 'dial-at-zero':
      return clear(found.shown_Pa, found.standardUncertainty_Pa)
        ? `The dial reads ${found.shown_Pa > 0 ? 'high' : 'low'}, by that much where nothing else is wrong with it.`
        : 'The dial is at zero, within what an eye can read.';
    case 'flow-stops-at':
      return clear(found.shown_Pa, found.standardUncertainty_Pa)
        ? 'A check valve, or a dial that reads high: the dial at zero tells which.'
        : 'Nothing holds the water back that this could see.';
    case 'blank-tip':
      return clear(found.leak_m3_per_s, found.standardUncertainty_m3_per_s)
        ? 'Water comes past the tip: look at the seal, the gasket and the threads.'
        : 'No leak that this could see.';
    case 'wand-gauge':
      return gaugeMeans(found, units);
    case 'sag-test':
      return sagMeans(found);
  }
}

/** What a sag test says by itself: the smallest sag that would have been seen stands in it where none was (measurement 11.11). */
function sagMeans(found: Sag): string {
  const smallest = smallestSeenText(found);
  if (isSagShown(found))
    return 'The pump or its battery fades: what is measured late in a sweep is too low. Charge it, or make shorter sweeps.';
  return found.flowLostRelative < -2 * found.relativeStandardUncertainty
    ? 'It did not fall; it rose, as a pump or a battery does that was not warm yet.'
    : `No sag was seen; one of ${smallest} of the flow or more would have been.`;
}

/** The one number while a check runs: seconds left, a setting that is asked for, or what is heard. */
export function rigCheckFigure(check: RigCheckView, units: ShownUnits): BigFigure {
  const { prompt, secondsLeft, flow_m3_per_s } = check;
  if (secondsLeft !== null)
    return { value: String(secondsLeft), plusMinus: null, unit: rigCheckWords.seconds, tone: 'asked' };
  const asked_Pa =
    prompt.kind === 'set-and-spray' ||
    prompt.kind === 'turn-while-spraying' ||
    prompt.kind === 'spray-and-read'
      ? prompt.setting_Pa
      : prompt.kind === 'pressurise-blank'
        ? prompt.pressure_Pa
        : null;
  if (asked_Pa !== null) {
    const shown = Number(units.pressure.fromSI(asked_Pa).toPrecision(3));
    return {
      value: String(shown),
      plusMinus: null,
      unit: `${units.pressure.label} on the dial`,
      tone: 'asked',
    };
  }
  if (flow_m3_per_s === null) return { value: '–', plusMinus: null, unit: '', tone: 'none' };
  const value = fixed(units.flow.fromSI(flow_m3_per_s), 2);
  return { value, plusMinus: null, unit: `${units.flow.label} ${rigCheckWords.soFar}`, tone: 'measured' };
}

/** What leaves the rig safe, now that the check is over; it stands above everything else. */
export function leftLine({ prompt }: RigCheckView): string {
  return prompt.kind === 'rig-check-done' || prompt.kind === 'rig-check-failed'
    ? leftToDo(prompt.leaves)
    : '';
}

/** What stands under the result, warnings with it. */
export function afterLines(check: RigCheckView): readonly string[] {
  const warned = check.warnings.map((warning) => {
    const { what, todo: next } = sentenceOf(warning);
    return `${what} ${next}`.trim();
  });
  const goes =
    check.found.length === 0
      ? ''
      : check.sweepId === null
        ? rigCheckWords.intoNext
        : `${rigCheckWords.intoSweep} ${rigCheckWords.intoNext}`;
  return [...warned, goes].filter((line) => line !== '');
}
