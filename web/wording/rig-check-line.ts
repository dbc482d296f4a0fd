/** What a check of the rig asks, in one line; the voice says the same words. Cautions stand in it where something could hurt. */
import type { RigCheckLeaves, RigCheckPrompt } from '../contract.ts';
import { sentenceOf } from './because.ts';
import { plain } from './number.ts';
import type { ShownUnits } from './units.ts';

export function rigCheckLine(prompt: RigCheckPrompt, units: ShownUnits): string {
  const at = (value_Pa: number): string =>
    `${plain(Number(units.pressure.fromSI(value_Pa).toPrecision(3)))} ${units.pressure.label}`;
  switch (prompt.kind) {
    case 'release-pressure':
      return 'Pump off. Open the trigger over the pail until nothing comes any more.';
    case 'read-dial':
      return prompt.unheard === true
        ? 'Pump off, trigger open. When nothing comes any more: what does the dial show?'
        : 'Pressure gone: what does the dial show?';
    case 'set-and-spray':
      return `Set ${at(prompt.setting_Pa)}. Spray into the pail.`;
    case 'turn-while-spraying':
      return prompt.again
        ? `No change heard yet: turn to ${at(prompt.setting_Pa)}. Keep spraying.`
        : `Turn down to ${at(prompt.setting_Pa)}. Keep spraying.`;
    case 'fit-blank':
      return 'Pump off, trigger open, pressure at zero. Then put the blank in the tip’s place.';
    case 'pressurise-blank':
      return `Nobody in line. Pump on, ${at(prompt.pressure_Pa)} and no more. Trigger open over the pail.`;
    case 'watch-drip':
      return 'Leave the trigger open. Nothing may touch the pail.';
    case 'fit-gauge':
      return `Pump off, trigger open, pressure at zero. Then put the gauge on; it must read beyond ${at(prompt.highest_Pa)}.`;
    case 'spray-and-read':
      return `Set ${at(prompt.setting_Pa)} and spray. What does the gauge at the wand show?`;
    case 'spray-on':
      return 'Leave the dial. Keep spraying, clear of the pail. Empty it if it is half full.';
    case 'catch-again':
      return 'Spray into the pail again. Leave the dial as it is.';
    case 'rig-check-done':
      return `The check is done. ${leftToDo(prompt.leaves)}`.trim();
    case 'rig-check-failed':
      // What must be done at once comes first.
      if (prompt.because === 'blank-pressure-too-high')
        return `Pump off, now. The pressure is too high. ${leftToDo(prompt.leaves)}`;
      return `${sentenceOf(prompt.because).what} ${leftToDo(prompt.leaves)}`.trim();
  }
}

/** What leaves the rig safe, or has to be undone before anything else. */
export function leftToDo(leaves: RigCheckLeaves): string {
  switch (leaves) {
    case 'blank':
      return 'Pump off, trigger open, pressure at zero; then the tip back in its place.';
    case 'gauge':
      return 'Pump off, trigger open, pressure at zero; then the gauge may come off.';
    case 'open-trigger':
      return 'Pump off. Close the trigger when nothing comes any more.';
    case 'pump-off':
      return 'Close the trigger before the pump goes on again.';
  }
}
