import type { NozzleOf } from './nozzles.ts';
import { actionsAtRig, isAskedOfRig, type AskedOfRig } from './person-at-rig.ts';
import { personTimes } from './person-times.ts';
import { Random } from './random.ts';
import { SHOWN_PER_TRUE } from './water.ts';

/** What a person can be asked; the session's prompts have this shape. Kinds not named here ask for nothing. */
export type PersonPrompt =
  | {
      readonly kind: 'set-and-spray';
      readonly setting_Pa: number;
      readonly turnAwayFirst: boolean;
      readonly nozzle?: NozzleOf;
    }
  | { readonly kind: 'move-pail'; readonly nozzle: NozzleOf; readonly isFirst: boolean }
  | { readonly kind: 'keep-spraying'; readonly setting_Pa: number }
  | { readonly kind: 'turn-while-spraying'; readonly setting_Pa: number; readonly again: boolean }
  | {
      readonly kind: 'put-on';
      readonly amount: { readonly kind: 'mass' | 'volume'; readonly mass_kg: number };
    }
  | { readonly kind: 'bring-to-pressure'; readonly known_Pa: number }
  | { readonly kind: 'trickle'; readonly mass_kg: number }
  | { readonly kind: 'check-done'; readonly leaves?: 'water-in-pail' | 'jug' }
  | AskedOfRig
  | {
      readonly kind:
        | 'clear-scale'
        | 'take-off'
        | 'wait'
        | 'leave-alone'
        | 'open-to-air'
        | 'check-failed'
        | 'shut-off'
        | 'hold-still'
        | 'empty-pail'
        | 'refill-tank'
        | 'pail-too-small'
        | 'wait-for-instrument'
        | 'paused'
        | 'more-catches'
        | 'done';
    };

export type PersonAction =
  | { readonly kind: 'set-dial'; readonly setting_Pa: number }
  /** The dial on its way while the water runs, share 0..1. */
  | { readonly kind: 'turn-dial'; readonly setting_Pa: number; readonly share: number }
  | { readonly kind: 'open-trigger' }
  | { readonly kind: 'close-trigger' }
  | { readonly kind: 'lift-pail' }
  | { readonly kind: 'put-back-empty' }
  /** Another tip put on, or the pail carried under another nozzle. */
  | { readonly kind: 'fit-nozzle'; readonly nozzle: NozzleOf }
  /** So much known mass beside the pail, in all. */
  | { readonly kind: 'put-known'; readonly mass_kg: number }
  | { readonly kind: 'trickle'; readonly mass_kg: number }
  | { readonly kind: 'fit-blank' | 'fit-tip' }
  /** Reads the dial, or the gauge at the wand, so much beside what it shows, and says the number; or presses the large button. */
  | { readonly kind: 'tell-dial' | 'tell-wand'; readonly beside_Pa: number }
  | { readonly kind: 'press-button' };

export interface DueAction {
  readonly at_s: number;
  readonly action: PersonAction;
}

export { personTimes } from './person-times.ts';

const AWAY_SHARE = 0.6;
/** A turn while the water runs is made in so many small ones. */
const STEPS_OF_A_TURN = 8;

/**
 * Somebody with a wand who does what is asked, at a human pace. A new prompt drops what was meant to be done and not yet begun;
 * a lifted pail is always put back first; told anything but to spray while spraying, the trigger is let go. The same
 * prompt again changes nothing.
 */
export class SimulatedPerson {
  private readonly random: Random;
  private plan: DueAction[] = [];
  private heard = 0;
  private last = '';
  private spraying = false;
  private pailAway = false;
  private hasBlank = false;
  private setting_Pa: number | null = null;
  private nozzle: NozzleOf = { of: 'tips', index: 0 };

  constructor(options: { readonly seed: number }) {
    this.random = new Random(options.seed, 'person');
  }

  follow(prompt: PersonPrompt, at_s: number): void {
    const told = asText(prompt);
    if (told === this.last) return;
    this.last = told;
    this.heard += 1;
    const draw = this.random.stream(`prompt ${String(this.heard)}`);
    const ready_s = at_s + draw.within(personTimes.reaction_s);
    if (prompt.kind === 'keep-spraying') {
      this.keepSpraying(prompt.setting_Pa, ready_s, draw);
      return;
    }
    if (prompt.kind === 'turn-while-spraying' && this.spraying) {
      this.turnWhileSpraying(prompt.setting_Pa, ready_s, draw);
      return;
    }
    if (isAskedOfRig(prompt)) {
      if (prompt.kind !== 'watch-drip') this.plan = [];
      const { spraying, hasBlank } = this;
      for (const due of actionsAtRig(prompt, ready_s, draw, { spraying, hasBlank }))
        this.add(due.at_s, due.action);
      return;
    }
    // A lifted pail is put back and a blank taken out whatever is asked next.
    this.plan = this.plan.filter(
      ({ action }) => (this.pailAway && action.kind === 'put-back-empty') || action.kind === 'fit-tip',
    );
    if (this.hasBlank && !this.plan.some(({ action }) => action.kind === 'fit-tip'))
      this.add(ready_s, { kind: 'fit-tip' });
    const free_s = Math.max(ready_s, (this.plan.at(-1)?.at_s ?? -Infinity) + draw.within(personTimes.aim_s));
    if (prompt.kind === 'put-on')
      this.add(free_s + draw.within(personTimes.turn_s), {
        kind: 'put-known',
        // Air lifts water more than it lifts pieces: the scale feels less than the true mass.
        mass_kg: prompt.amount.mass_kg * (prompt.amount.kind === 'volume' ? SHOWN_PER_TRUE : 1),
      });
    else if (
      prompt.kind === 'clear-scale' ||
      prompt.kind === 'take-off' ||
      (prompt.kind === 'check-done' && prompt.leaves === 'jug')
    )
      this.add(free_s, { kind: 'put-known', mass_kg: 0 });
    else if (prompt.kind === 'trickle') this.add(free_s, prompt);
    else if (prompt.kind === 'open-to-air') this.add(free_s, { kind: 'set-dial', setting_Pa: 0 });
    else if (prompt.kind === 'bring-to-pressure')
      this.add(free_s, { kind: 'set-dial', setting_Pa: prompt.known_Pa });
    else if (prompt.kind === 'set-and-spray') this.setAndSpray(prompt, free_s, draw);
    else if (this.spraying) this.add(ready_s, { kind: 'close-trigger' });
    // A tank is lifted off, filled and set back, as a pail is emptied.
    const moves = prompt.kind === 'move-pail' && !prompt.isFirst;
    const empties =
      moves ||
      prompt.kind === 'empty-pail' ||
      prompt.kind === 'refill-tank' ||
      (prompt.kind === 'check-done' && prompt.leaves === 'water-in-pail');
    if (empties && !this.pailAway) {
      const lift_s = ready_s + draw.within(personTimes.turn_s);
      this.add(lift_s, { kind: 'lift-pail' });
      const back_s = lift_s + draw.within(personTimes.emptying_s);
      if (moves) this.add(back_s, { kind: 'fit-nozzle', nozzle: prompt.nozzle });
      this.add(back_s, { kind: 'put-back-empty' });
    }
  }

  /** What is done by `t_s`, in order; each action is told once. */
  actionsDueBy(t_s: number): DueAction[] {
    const due = this.plan.filter((planned) => planned.at_s <= t_s);
    this.plan = this.plan.slice(due.length);
    for (const { action } of due) this.note(action);
    return due;
  }

  private setAndSpray(
    prompt: Extract<PersonPrompt, { kind: 'set-and-spray' }>,
    from_s: number,
    draw: Random,
  ): void {
    let t_s = from_s;
    if (this.spraying) {
      this.add(t_s, { kind: 'close-trigger' });
      t_s += draw.within(personTimes.emptying_s) / 2;
    }
    const { nozzle } = prompt;
    if (nozzle !== undefined && (nozzle.of !== this.nozzle.of || nozzle.index !== this.nozzle.index)) {
      t_s += draw.stream('tip').within(personTimes.changingTip_s);
      this.add(t_s, { kind: 'fit-nozzle', nozzle });
    }
    if (prompt.turnAwayFirst) {
      t_s += draw.within(personTimes.turn_s);
      this.add(t_s, { kind: 'set-dial', setting_Pa: prompt.setting_Pa * AWAY_SHARE });
    }
    if (prompt.turnAwayFirst || this.setting_Pa !== prompt.setting_Pa) {
      t_s += draw.within(personTimes.turn_s);
      this.add(t_s, { kind: 'set-dial', setting_Pa: prompt.setting_Pa });
    }
    this.add(t_s + draw.within(personTimes.aim_s), { kind: 'open-trigger' });
  }

  private turnWhileSpraying(setting_Pa: number, ready_s: number, draw: Random): void {
    const isTurning = this.plan.some(
      (due) => due.action.kind === 'turn-dial' && due.action.setting_Pa === setting_Pa,
    );
    if (isTurning) return;
    this.plan = [];
    if (this.setting_Pa === setting_Pa) return;
    const takes_s = draw.within(personTimes.turn_s);
    for (let step = 1; step <= STEPS_OF_A_TURN; step += 1) {
      const share = step / STEPS_OF_A_TURN;
      this.add(ready_s + share * takes_s, { kind: 'turn-dial', setting_Pa, share });
    }
  }

  /** Goes on with what is under way; only somebody who stands idle opens the trigger again. */
  private keepSpraying(setting_Pa: number, ready_s: number, draw: Random): void {
    const opening = this.plan.some((due) => due.action.kind === 'open-trigger');
    const closing = this.plan.some((due) => due.action.kind === 'close-trigger');
    const turning = this.plan.some((due) => due.action.kind === 'turn-dial');
    if (opening || turning || this.pailAway) return;
    this.plan = this.plan.filter((due) => due.action.kind !== 'close-trigger');
    if (this.setting_Pa !== setting_Pa)
      this.add(ready_s + draw.within(personTimes.turn_s), { kind: 'set-dial', setting_Pa });
    if (!this.spraying && !closing) this.add(ready_s, { kind: 'open-trigger' });
  }

  private add(at_s: number, action: PersonAction): void {
    this.plan.push({ at_s, action });
    this.plan.sort((a, b) => a.at_s - b.at_s);
  }

  private note(action: PersonAction): void {
    switch (action.kind) {
      case 'set-dial':
      case 'turn-dial':
        this.setting_Pa = action.setting_Pa;
        break;
      case 'open-trigger':
        this.spraying = true;
        break;
      case 'close-trigger':
        this.spraying = false;
        break;
      case 'lift-pail':
        this.pailAway = true;
        break;
      case 'put-back-empty':
        this.pailAway = false;
        break;
      case 'fit-blank':
      case 'fit-tip':
        this.hasBlank = action.kind === 'fit-blank';
        break;
      case 'fit-nozzle':
        this.nozzle = action.nozzle;
        break;
      case 'put-known':
      case 'trickle':
      case 'tell-dial':
      case 'tell-wand':
      case 'press-button':
        break;
    }
  }
}

function asText(prompt: PersonPrompt): string {
  const { kind } = prompt;
  if (kind === 'put-on') return `${kind} ${String(prompt.amount.mass_kg)}`;
  if (kind === 'bring-to-pressure') return `${kind} ${String(prompt.known_Pa)}`;
  if (kind === 'move-pail') return `${kind} ${String(prompt.nozzle.index)}`;
  if (kind === 'set-and-spray')
    return `${kind} ${String(prompt.setting_Pa)} ${String(prompt.turnAwayFirst)} ${String(prompt.nozzle?.index ?? '')}`;
  if (kind === 'turn-while-spraying') return `${kind} ${String(prompt.setting_Pa)} ${String(prompt.again)}`;
  if (kind === 'spray-and-read') return `${kind} ${String(prompt.setting_Pa)}`;
  return kind === 'keep-spraying' ? `${kind} ${String(prompt.setting_Pa)}` : kind;
}
