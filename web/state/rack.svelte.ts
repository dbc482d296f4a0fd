import type { Outcome, RackSource, RackTip, RackView, TipFacts, TipsCompared } from '../contract.ts';
import type { Bench } from './bench.svelte.ts';

export const MOST_COMPARED = 6;

/** The rack that is looked at, what is picked in it, and the last change that can be undone. */
export class Rack {
  view = $state.raw<RackView | null>(null);
  source = $state<RackSource>('book');
  /** Keys, in the order they were picked. */
  picked = $state.raw<readonly string[]>([]);
  /** What stood there before the last change of a tip's facts. */
  before = $state.raw<{ readonly key: string; readonly facts: TipFacts } | null>(null);
  loading = $state(false);
  readonly #bench: Bench;
  #limitRatio = 1.1;
  #wanted = 0;

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  /**
   * Loads it anew: a sweep may have been made since. An answer that comes after another was asked for is dropped.
   * @param limitRatio the person's limit for wear; absent: as at the last load.
   */
  async load(source: RackSource, limitRatio = this.#limitRatio): Promise<void> {
    this.#limitRatio = limitRatio;
    this.#wanted += 1;
    const mine = this.#wanted;
    if (source !== this.source) {
      this.view = null;
      this.picked = [];
      this.before = null;
    }
    this.source = source;
    this.loading = true;
    const view = await this.#bench.byHand((worker) => worker.rack(source, limitRatio));
    if (mine !== this.#wanted) return;
    this.loading = false;
    if (view === null) return;
    this.view = view;
    this.picked = this.picked.filter((key) => this.tip(key) !== null);
  }

  tip(key: string): RackTip | null {
    return this.view?.tips.find((tip) => tip.key === key) ?? null;
  }

  pick(key: string, wanted: boolean): void {
    const others = this.picked.filter((one) => one !== key);
    this.picked = wanted ? [...others, key] : others;
  }

  compare(keys: readonly string[], against: string): Promise<Outcome<TipsCompared>> {
    const { source } = this;
    return this.#bench.outcome((worker) => worker.compareTips(source, keys, against));
  }

  /** Of the invented season nothing is kept. @returns whether it was kept. */
  async save(tip: RackTip, facts: TipFacts): Promise<boolean> {
    if (this.source !== 'book') return false;
    const kept = await this.#bench.byHand((worker) => worker.saveTip(facts, tip.simulated));
    if (kept === null) return false;
    this.before = { key: tip.key, facts: { ...factsOf(tip), ...answersBefore(tip, facts) } };
    await this.load(this.source);
    return true;
  }

  /** "Is this the tip?", of one check. @returns whether it was kept. */
  answer(tip: RackTip, sweepId: string, isThisTip: boolean): Promise<boolean> {
    return this.save(tip, { ...factsOf(tip), answered: [{ sweepId, isThisTip }] });
  }

  /** Only the check that was answered last can be taken back. */
  wasAnswered(tip: RackTip, sweepId: string): boolean {
    const { before } = this;
    return before?.key === tip.key && before.facts.answered?.some((one) => one.sweepId === sweepId) === true;
  }

  async undo(): Promise<void> {
    const { before } = this;
    const tip = before === null ? null : this.tip(before.key);
    if (before === null || tip === null) return;
    if (await this.save(tip, before.facts)) this.before = null;
  }
}

/** What was answered, or not, before it is answered now. */
function answersBefore({ drift }: RackTip, { answered }: TipFacts): Pick<TipFacts, 'answered'> {
  if (answered === undefined) return {};
  const then = new Map(drift?.points.map(({ sweepId, isThisTip }) => [sweepId, isThisTip]));
  return { answered: answered.map(({ sweepId }) => ({ sweepId, isThisTip: then.get(sweepId) ?? null })) };
}

/** What the person has said of a tip so far, as it stands in the rack. */
export function factsOf(tip: RackTip): TipFacts {
  return {
    name: tip.name,
    isoSize: tip.isoSize,
    drawer: tip.drawer,
    retired: tip.retired,
    note: tip.note,
    baselineSweepIds: tip.baselineSweepIds,
  };
}
