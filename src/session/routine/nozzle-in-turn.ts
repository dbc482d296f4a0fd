import type { Routine } from '../../records/sweep-setup.ts';
import type { AskedNozzle } from '../prompt.ts';
import type { SweepSetup } from '../sweep-setup.ts';
import { nextLabel, rounds, routineLabels, routineOrder } from './routine-order.ts';

/**
 * Pump off, trigger open, pressure at zero, tip off, tip on: nobody is through with it sooner, s. Water before that comes from the tip that
 * was on. Judgement, no source.
 */
const LEAST_CHANGE_S = 6;

/** Which nozzle's turn it is in a routine, and whether it is the one that gives water. */
export class NozzleInTurn {
  readonly kind: Routine['kind'];
  readonly labels: readonly string[];
  readonly #planned: readonly string[];
  #order: readonly string[];
  /** Whose water is asked for. */
  #asked: { readonly label: string; readonly at_s: number } | null = null;
  /** Whose water ran last; for a boom, where the pail stands. */
  #there: string | null = null;

  private constructor(setup: SweepSetup, kind: NozzleInTurn['kind']) {
    this.kind = kind;
    this.labels = routineLabels(setup);
    this.#planned = this.#order = routineOrder(setup);
  }

  /** Null for an ordinary sweep. */
  static of(setup: SweepSetup): NozzleInTurn | null {
    return setup.routine === null ? null : new NozzleInTurn(setup, setup.routine.kind);
  }

  /** The label whose turn it is; null when every planned catch is there. */
  next(good: ReadonlyMap<string, number>): string | null {
    return nextLabel(this.#order, good);
  }

  /** How often each is wanted, more rounds included. */
  get wanted(): ReadonlyMap<string, number> {
    const wanted = new Map<string, number>();
    for (const label of this.#order) wanted.set(label, (wanted.get(label) ?? 0) + 1);
    return wanted;
  }

  get plannedCatches(): number {
    return this.#planned.length;
  }

  /** Two tips only: so many rounds of A B B A more. */
  addRounds(count: number): void {
    this.#order = [...this.#order, ...rounds(this.labels, count)];
  }

  /** A kept sweep goes on: this one gave water last (or the pail stood there). Nobody saw what was done since. */
  isThere(label: string | null): void {
    this.#there = label;
  }

  /** The nozzle is not the one that was there. */
  mustChange(label: string): boolean {
    return label !== this.#there;
  }

  /** Asks for its water: the first time is remembered, or asking again would forget how long ago that was. */
  ask(label: string, at_s: number): AskedNozzle {
    if (this.#asked?.label !== label) this.#asked = { label, at_s };
    return this.foresee(label, this.#there);
  }

  /** What would be asked for, if `there` gave the last water. */
  foresee(label: string, there: string | null): AskedNozzle {
    const index = this.labels.indexOf(label);
    const { kind, labels } = this;
    if (kind === 'boom') return { of: 'boom', index, label, count: labels.length };
    const change = there === null ? 'first' : label === there ? 'same' : 'change';
    return { of: 'tips', index, label, change };
  }

  /** Water so soon after a change was asked for that it can't have been made. */
  isTooSoon(start_s: number): boolean {
    if (this.kind === 'boom' || this.#asked === null || this.#there === null) return false;
    return this.mustChange(this.#asked.label) && start_s < this.#asked.at_s + LEAST_CHANGE_S;
  }

  /** Its water ran, or the pail stands under it. */
  came(): void {
    this.#there = this.#asked?.label ?? this.#there;
  }
}
