import { PSI_PA } from '../base/units/constants.ts';
import { personTimes } from './person-times.ts';
import type { Random } from './random.ts';
import type { DueAction, PersonAction, PersonPrompt } from './simulated-person.ts'; // type only: no circle at run time

/** What a check of the rig asks. */
export type AskedOfRig =
  | { readonly kind: 'pressurise-blank'; readonly pressure_Pa: number }
  | { readonly kind: 'spray-and-read' | 'catch-again'; readonly setting_Pa: number }
  | {
      readonly kind:
        | 'release-pressure'
        | 'read-dial'
        | 'fit-blank'
        | 'fit-gauge'
        | 'watch-drip'
        | 'spray-on'
        | 'rig-check-done'
        | 'rig-check-failed';
    };

const asked: ReadonlySet<PersonPrompt['kind']> = new Set<AskedOfRig['kind']>([
  ...(['pressurise-blank', 'spray-and-read', 'release-pressure', 'read-dial'] as const),
  ...(['fit-blank', 'watch-drip', 'rig-check-done', 'rig-check-failed'] as const),
  ...(['spray-on', 'catch-again', 'fit-gauge'] as const),
]);

export function isAskedOfRig(prompt: PersonPrompt): prompt is AskedOfRig {
  return asked.has(prompt.kind);
}

/** A dial is read so well by eye (standard deviation); physical reasoning, not measured. */
const READ_TO_PA = 0.4 * PSI_PA;

/** What somebody does when a check of the rig asks, in the order a careful person does things. */
export function actionsAtRig(
  prompt: AskedOfRig,
  from_s: number,
  draw: Random,
  now: { readonly spraying: boolean; readonly hasBlank: boolean },
): readonly DueAction[] {
  const due: DueAction[] = [];
  let t_s = from_s;
  const next = (action: PersonAction, lasts_s: readonly [number, number] = personTimes.turn_s): void => {
    due.push({ at_s: t_s, action });
    t_s += draw.within(lasts_s);
  };
  const reads = (): { readonly beside_Pa: number } => ({ beside_Pa: READ_TO_PA * draw.normal() });
  switch (prompt.kind) {
    case 'release-pressure':
      next({ kind: 'set-dial', setting_Pa: 0 });
      next({ kind: 'open-trigger' });
      break;
    case 'fit-blank':
      next({ kind: 'set-dial', setting_Pa: 0 });
      next({ kind: 'open-trigger' });
      next({ kind: 'close-trigger' });
      next({ kind: 'fit-blank' }, personTimes.emptying_s);
      next({ kind: 'press-button' });
      break;
    case 'fit-gauge':
      next({ kind: 'set-dial', setting_Pa: 0 });
      next({ kind: 'open-trigger' });
      next({ kind: 'close-trigger' }, personTimes.emptying_s);
      next({ kind: 'press-button' });
      break;
    case 'read-dial':
      t_s += draw.within(personTimes.reading_s);
      next({ kind: 'tell-dial', ...reads() });
      break;
    case 'pressurise-blank':
      next({ kind: 'set-dial', setting_Pa: prompt.pressure_Pa });
      next({ kind: 'open-trigger' });
      next({ kind: 'press-button' });
      break;
    case 'spray-and-read':
      next({ kind: 'set-dial', setting_Pa: prompt.setting_Pa });
      if (!now.spraying) next({ kind: 'open-trigger' }, personTimes.reading_s);
      t_s += draw.within(personTimes.reading_s);
      next({ kind: 'tell-wand', ...reads() });
      break;
    case 'catch-again':
      // Sprayed elsewhere meanwhile: the wand comes back over the pail, and nobody touches the dial.
      if (now.spraying) next({ kind: 'close-trigger' });
      next({ kind: 'open-trigger' });
      break;
    case 'spray-on':
      if (!now.spraying) next({ kind: 'open-trigger' });
      break;
    case 'watch-drip':
      break;
    case 'rig-check-done':
    case 'rig-check-failed':
      if (now.hasBlank) next({ kind: 'set-dial', setting_Pa: 0 });
      if (now.spraying) next({ kind: 'close-trigger' });
      if (now.hasBlank) next({ kind: 'fit-tip' }, personTimes.emptying_s);
  }
  return due;
}
