/** What the person is asked to do, what was announced, and the button that answers: all in the person's units. */
import type { Announcement, Prompt, ShutOffReason, SweepPhase } from '../contract.ts';
import { sentenceOfText } from './because.ts';
import { checkLine } from './checks.ts';
import { doubtCaption } from './doubts.ts';
import { leftOutCaption } from './left-out.ts';
import { giveOrTake, plain } from './number.ts';
import { rigSetAndSpray, rigTooSmall, swellingLine } from './rig-prompts.ts';
import {
  afterNozzleLine,
  moreLine,
  moveLine,
  nozzleLine,
  nozzleName,
  thenMove,
  thenNozzle,
  tipNotChanged,
} from './routines.ts';
import type { ShownUnits } from './units.ts';

export function pressureText(pressure_Pa: number, units: ShownUnits): string {
  return `${plain(units.pressure.fromSI(pressure_Pa))} ${units.pressure.label}`;
}

const shutOff: Readonly<Record<ShutOffReason, string>> = {
  enough: 'Enough. Shut off.',
  'longest-catch': 'Shut off. That was the longest catch.',
  'scale-near-limit': 'Shut off. The scale is near its limit.',
  'tank-low': 'Shut off. The tank is nearly empty.',
  'forecast-too-long': 'Shut off. More water would not help enough.',
  paused: 'Paused. Shut off.',
  struck: 'Struck out. Shut off.',
  'tip-not-changed': tipNotChanged,
  'change-not-seen': 'Shut off. No change was seen when the dial was turned.',
};

const emptyPail = {
  'will-not-fit': 'Empty the pail. The next catch will not fit.',
  'scale-near-limit': 'Empty the pail. The scale is near its limit.',
} as const;

/** The sprayer stands on the scale: to the fill that was typed, so that what is left can be told. */
function refillTank(fill_m3: number, units: ShownUnits): string {
  return `Pressure off. Refill the tank to ${plain(units.pail.fromSI(fill_m3))} ${units.pail.label} and set the sprayer back.`;
}

/** Neither the pail's volume nor the scale's limit leaves eight seconds of water at this setting. */
function tooSmall(setting_Pa: number, units: ShownUnits): string {
  return `This pail or scale can’t take a catch at ${pressureText(setting_Pa, units)}, not even empty.`;
}

function setAndSpray(
  prompt: Pick<
    Extract<Prompt, { kind: 'set-and-spray' }>,
    'setting_Pa' | 'turnAwayFirst' | 'sameAgain' | 'rig' | 'about' | 'nozzle'
  >,
  units: ShownUnits,
): string {
  const pressure = pressureText(prompt.setting_Pa, units);
  if (prompt.nozzle !== undefined) return nozzleLine(prompt, prompt.nozzle, pressure);
  if (prompt.rig !== undefined) return rigSetAndSpray(prompt, prompt.rig, pressure);
  if (prompt.about === true) return `Set about ${pressure}. Spray into the pail.`;
  if (prompt.turnAwayFirst) {
    return prompt.sameAgain
      ? `Turn the dial away and back to ${pressure}. Spray into the pail.`
      : `Turn the dial to ${pressure}. Spray into the pail.`;
  }
  return prompt.sameAgain
    ? `Leave the dial at ${pressure}. Spray again.`
    : `Set ${pressure}. Spray into the pail.`;
}

/** The setting before this one never came to the ± that was wanted. */
const goalMissed = 'That one is less sure than wanted: more water would not help enough.';

/** In a running pour: turn the control, the water runs on. */
function turnNow(
  prompt: { readonly setting_Pa: number; readonly again: boolean },
  units: ShownUnits,
): string {
  const pressure = pressureText(prompt.setting_Pa, units);
  return prompt.again
    ? `No change heard yet: turn to ${pressure}. Keep spraying.`
    : `Turn to ${pressure}. Keep spraying.`;
}

/** The one line of instruction under the number. */
export function promptLine(prompt: Prompt, units: ShownUnits, secondsLeft: number | null): string {
  switch (prompt.kind) {
    case 'set-and-spray':
      return setAndSpray(prompt, units);
    case 'keep-spraying': {
      if (prompt.swelling === true) return swellingLine;
      if (secondsLeft === null) return 'Keep spraying.';
      const whole = Math.max(1, Math.round(secondsLeft));
      return `Keep spraying. About ${whole} ${whole === 1 ? 'second' : 'seconds'} more.`;
    }
    case 'turn-while-spraying':
      return turnNow(prompt, units);
    case 'move-pail':
      return moveLine(prompt);
    case 'more-catches':
      return moreLine(prompt);
    case 'shut-off':
      return shutOff[prompt.because];
    case 'hold-still':
      return prompt.rig?.standsOnScale === 'sprayer'
        ? 'Hold still. The sprayer is settling.'
        : 'Hands off. The pail is settling.';
    case 'empty-pail':
      return emptyPail[prompt.because];
    case 'refill-tank':
      return refillTank(prompt.fill_m3, units);
    case 'pail-too-small':
      return prompt.rig?.standsOnScale === 'sprayer'
        ? rigTooSmall(pressureText(prompt.setting_Pa, units))
        : tooSmall(prompt.setting_Pa, units);
    case 'wait-for-instrument':
      return 'Waiting for the instrument.';
    case 'paused':
      return 'Paused.';
    case 'done':
      return 'Done.';
  }
}

/**
 * What comes after, for the quiet second line: it goes on from the instruction above it and never says another thing.
 * @param pausing the water is to be shut off, or was, for a pause or a strike: what follows is not the plan's next setting.
 * @param left catches still wanted, the one in hand included.
 */
export function nextLine(
  now: Prompt,
  next: Prompt | null,
  units: ShownUnits,
  left: number,
  pausing: boolean,
): string {
  switch (now.kind) {
    case 'move-pail':
    case 'more-catches':
      return afterNozzleLine(now);
    case 'set-and-spray':
      if (now.nozzle !== undefined) return afterNozzleLine(now);
      return now.rig?.kind === 'pumped-while-spraying'
        ? 'Pump to the beat all the time, until you hear “enough”.'
        : 'Spray until you hear “enough”.';
    case 'keep-spraying':
      if (now.swelling === true) return 'It is measured from when the flow is steady.';
      if (next?.kind === 'turn-while-spraying')
        return `Then turn to ${pressureText(next.setting_Pa, units)}. The water runs on.`;
      if (next?.kind === 'set-and-spray') return `Then shut off, ${thenSetting(next, units)}.`;
      if (next?.kind === 'move-pail') return `Then shut off, ${thenMove(next)}.`;
      return left <= 1 ? 'Then shut off, and that is all.' : 'Spray until you hear “enough”.';
    case 'turn-while-spraying':
      return `${now.missed === true ? `${goalMissed} ` : ''}Do not shut off. It hears by itself when the flow is steady again.`;
    case 'shut-off':
    case 'hold-still':
      if (pausing) return now.kind === 'shut-off' ? 'Then hands off until the pail has settled.' : '';
      if (next?.kind === 'set-and-spray') return `Then ${thenSetting(next, units).replace(/^and /, '')}.`;
      if (next?.kind === 'move-pail') return `Then ${thenMove(next).replace(/^and /, '')}.`;
      return next?.kind === 'done' || left <= 1 ? 'Then that is all.' : '';
    case 'empty-pail':
      return 'The sweep goes on by itself when the empty pail stands on the scale again.';
    case 'refill-tank':
      return 'The sweep goes on by itself when the sprayer stands still on the scale again.';
    case 'pail-too-small':
      return now.rig?.standsOnScale === 'sprayer'
        ? 'Fill the tank further, then go on; or end the sweep here.'
        : 'A smaller pail or another scale, then go on; or end the sweep here.';
    case 'wait-for-instrument':
      return 'The sweep goes on by itself when it is back.';
    case 'paused':
    case 'done':
      return '';
  }
}

function thenSetting(
  next: Pick<
    Extract<Prompt, { kind: 'set-and-spray' }>,
    'setting_Pa' | 'turnAwayFirst' | 'sameAgain' | 'rig' | 'nozzle'
  >,
  units: ShownUnits,
): string {
  if (next.nozzle !== undefined) return thenNozzle(next.nozzle);
  const pressure = pressureText(next.setting_Pa, units);
  if (next.rig?.kind === 'pumped-up') return `and pump up to ${pressure}`;
  if (!next.sameAgain) return `and turn the dial to ${pressure}`;
  return next.turnAwayFirst ? `turn the dial away and back to ${pressure}` : `and once more at ${pressure}`;
}

/** Announced, but for a check of the rig, whose words are loaded with it (`rig-check-line.ts`). */
export type AnnouncedHere = Exclude<Announcement, { readonly kind: 'rig-check' }>;

/** The caption of an announcement; the voice says the same words. */
export function captionOf(announcement: AnnouncedHere, units: ShownUnits): string {
  switch (announcement.kind) {
    case 'set-and-spray':
      return setAndSpray(announcement, units);
    case 'start-heard':
      return 'Water heard. Keep spraying.';
    case 'turn-while-spraying':
      // That a setting missed its goal stands on the second line: what is spoken while the water runs is short.
      return turnNow(announcement, units);
    case 'move-pail':
      return moveLine(announcement);
    case 'more-catches':
      return `${moreLine(announcement)} Go on, or end here.`;
    case 'steady-again':
      return `Steady. Keep spraying.`;
    case 'pour-kept':
      return pourKept(announcement.kept, announcement.missing);
    case 'pressure-read':
      return pressureRead(announcement.pressure_Pa, announcement.setting_Pa, units);
    case 'enough':
      return shutOff[announcement.because];
    case 'kept': {
      const flow = giveOrTake(
        units.flow.fromSI(announcement.flow_m3_per_s),
        units.flow.fromSI(announcement.expanded_m3_per_s),
        units.flow.label,
      );
      const of =
        announcement.nozzle === undefined
          ? `at ${pressureText(announcement.setting_Pa, units)}`
          : nozzleName(announcement.nozzle);
      const kept = `Kept: ${flow}, ${of}.`;
      return `${kept} ${doubtCaption(announcement.warnings)}`.trimEnd();
    }
    case 'void': {
      const sentence = sentenceOfText(announcement.because);
      if (announcement.leftOut === true) return `${leftOutCaption} ${sentence?.todo ?? ''}`.trimEnd();
      if (sentence === null) return 'Void. This catch gives no flow.';
      return `Void. ${sentence.what} ${sentence.todo}`.trimEnd();
    }
    case 'not-water':
      return 'That was not water. Nothing was counted.';
    case 'empty-pail':
      return emptyPail[announcement.because];
    case 'refill-tank':
      return refillTank(announcement.fill_m3, units);
    case 'pail-too-small':
      if (announcement.rig?.standsOnScale === 'sprayer')
        return `${rigTooSmall(pressureText(announcement.setting_Pa, units))} Fill it further, or end here.`;
      return `${tooSmall(announcement.setting_Pa, units)} A smaller pail or another scale, or end here.`;
    case 'instrument-lost':
      return 'The instrument is gone. Plug it back in; the sweep goes on by itself.';
    case 'instrument-back':
      return 'The instrument is back.';
    case 'paused':
      return 'Paused. Shut off.';
    case 'resumed':
      return 'Going on.';
    case 'struck':
      return 'Struck out. It will be asked for again.';
    case 'done':
      return 'Done. The sweep is finished.';
    case 'check':
      return checkLine(announcement.prompt, units);
  }
}

function pourKept(kept: number, missing: number): string {
  const told = `Kept: ${kept} ${kept === 1 ? 'setting' : 'settings'}.`;
  return missing === 0 ? told : `${told} ${missing} will be asked for again.`;
}

/** What the sensor read, to a figure that a dial can be set to, and which planned setting it counts as. */
function pressureRead(pressure_Pa: number, setting_Pa: number | null, units: ShownUnits): string {
  const shown = Number(units.pressure.fromSI(pressure_Pa).toPrecision(3));
  const read = `Reads ${plain(shown)} ${units.pressure.label}`;
  return setting_Pa === null
    ? `${read}: not on the plan. It is kept.`
    : `${read}: counts as ${pressureText(setting_Pa, units)}.`;
}

/** As a voice says it: unit signs as words. */
export function spokenOf(caption: string, units: ShownUnits): string {
  return [units.flow, units.pressure].reduce(
    (text, unit) => text.replaceAll(` ${unit.label}`, ` ${unit.spoken}`),
    caption,
  );
}

/** To end is one of two things the person may well do now: its button stands with the large one. */
export function offersToEnd(prompt: Prompt): boolean {
  return prompt.kind === 'pail-too-small' || prompt.kind === 'more-catches';
}

/** The next sensible thing for the one large button, or null when there is none. */
export function nextActionLabel(phase: SweepPhase): 'Pause' | 'Go on' | null {
  if (phase === 'done') return null;
  return phase === 'paused' ? 'Go on' : 'Pause';
}
