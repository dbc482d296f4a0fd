/** What the person is asked to do, what was announced, and the button that answers: all in the person's units. */
import type { Announcement, Prompt, ShutOffReason, SweepPhase } from '../contract.ts';
import { sentenceOfText } from './because.ts';
import { doubtCaption } from './doubts.ts';
import { giveOrTake, plain } from './number.ts';
import type { ShownUnits } from './units.ts';

export function pressureText(pressure_Pa: number, units: ShownUnits): string {
  return `${plain(units.pressure.fromSI(pressure_Pa))} ${units.pressure.label}`;
}

const shutOff: Readonly<Record<ShutOffReason, string>> = {
  enough: 'Enough. Shut off.',
  'longest-catch': 'Shut off. That was the longest catch.',
  'scale-near-limit': 'Shut off. The scale is near its limit.',
  'forecast-too-long': 'Shut off. More water would not help enough.',
  paused: 'Paused. Shut off.',
};

const emptyPail = {
  'will-not-fit': 'Empty the pail. The next catch will not fit.',
  'scale-near-limit': 'Empty the pail. The scale is near its limit.',
} as const;

function setAndSpray(
  prompt: { readonly setting_Pa: number; readonly turnAwayFirst: boolean; readonly sameAgain: boolean },
  units: ShownUnits,
): string {
  const pressure = pressureText(prompt.setting_Pa, units);
  if (prompt.turnAwayFirst) {
    return prompt.sameAgain
      ? `Turn the dial away and back to ${pressure}. Spray into the pail.`
      : `Turn the dial to ${pressure}. Spray into the pail.`;
  }
  return prompt.sameAgain
    ? `Leave the dial at ${pressure}. Spray again.`
    : `Set ${pressure}. Spray into the pail.`;
}

/** The one line of instruction under the number. */
export function promptLine(prompt: Prompt, units: ShownUnits, secondsLeft: number | null): string {
  switch (prompt.kind) {
    case 'set-and-spray':
      return setAndSpray(prompt, units);
    case 'keep-spraying': {
      if (secondsLeft === null) return 'Keep spraying.';
      const whole = Math.max(1, Math.round(secondsLeft));
      return `Keep spraying. About ${whole} ${whole === 1 ? 'second' : 'seconds'} more.`;
    }
    case 'shut-off':
      return shutOff[prompt.because];
    case 'hold-still':
      return 'Hands off. The pail is settling.';
    case 'empty-pail':
      return emptyPail[prompt.because];
    case 'wait-for-instrument':
      return 'Waiting for the instrument.';
    case 'paused':
      return 'Paused.';
    case 'done':
      return 'Done.';
  }
}

/** What comes after, for the quiet second line. @param left catches still wanted, the one in hand included. */
export function nextLine(prompt: Prompt | null, units: ShownUnits, left: number): string {
  if (prompt === null) return left <= 1 ? 'Then that is all.' : 'Spray until you hear “enough”.';
  switch (prompt.kind) {
    case 'set-and-spray': {
      const pressure = pressureText(prompt.setting_Pa, units);
      if (prompt.sameAgain) {
        return prompt.turnAwayFirst
          ? `Then shut off, turn the dial away and back to ${pressure}.`
          : `Then shut off, and once more at ${pressure}.`;
      }
      return `Then shut off, and turn the dial to ${pressure}.`;
    }
    case 'keep-spraying':
      return 'Then keep spraying until you hear “enough”.';
    case 'shut-off':
      return 'Then shut off.';
    case 'hold-still':
      return 'Then hands off until the pail has settled.';
    case 'empty-pail':
      return 'Then empty the pail.';
    case 'wait-for-instrument':
      return 'The sweep goes on by itself when it is back.';
    case 'paused':
      return 'Then a pause.';
    case 'done':
      return 'Then that is all.';
  }
}

/** The caption of an announcement; the voice says the same words. */
export function captionOf(announcement: Announcement, units: ShownUnits): string {
  switch (announcement.kind) {
    case 'set-and-spray':
      return setAndSpray(announcement, units);
    case 'start-heard':
      return 'Water heard. Keep spraying.';
    case 'enough':
      return shutOff[announcement.because];
    case 'kept': {
      const flow = giveOrTake(
        units.flow.fromSI(announcement.flow_m3_per_s),
        units.flow.fromSI(announcement.expanded_m3_per_s),
        units.flow.label,
      );
      const kept = `Kept: ${flow}, at ${pressureText(announcement.setting_Pa, units)}.`;
      return `${kept} ${doubtCaption(announcement.warnings)}`.trimEnd();
    }
    case 'void': {
      const sentence = sentenceOfText(announcement.because);
      return `Void. ${sentence === null ? 'This catch gives no flow.' : sentence.what}`;
    }
    case 'not-water':
      return 'That was not water. Nothing was counted.';
    case 'empty-pail':
      return emptyPail[announcement.because];
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
  }
}

/** As a voice says it: unit signs as words. */
export function spokenOf(caption: string, units: ShownUnits): string {
  return [units.flow, units.pressure].reduce(
    (text, unit) => text.replaceAll(` ${unit.label}`, ` ${unit.spoken}`),
    caption,
  );
}

/** The next sensible thing for the one large button, or null when there is none. */
export function nextActionLabel(phase: SweepPhase): 'Pause' | 'Go on' | null {
  if (phase === 'done') return null;
  return phase === 'paused' ? 'Go on' : 'Pause';
}
