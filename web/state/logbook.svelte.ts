import type { AnalysedFile, KeptSweep, SweepSetup } from '../contract.ts';
import type { Bench } from './bench.svelte.ts';
import { Trace } from './trace.svelte.ts';

export interface OpenedSweep {
  readonly kept: KeptSweep;
  readonly file: AnalysedFile & { readonly setup: SweepSetup };
  /** Null where nothing was recorded over time: catches timed by hand. */
  readonly trace: Trace | null;
}

/** The kept sweeps, newest first, and the one that is open. */
export class Logbook {
  sweeps = $state.raw<readonly KeptSweep[] | null>(null);
  opened = $state.raw<OpenedSweep | null>(null);
  /** Sweeps without a catch are put away, not deleted. */
  showEmpty = $state(false);
  readonly empty = $derived((this.sweeps ?? []).filter(({ catches }) => catches === 0).length);
  readonly listed = $derived((this.sweeps ?? []).filter(({ catches }) => this.showEmpty || catches > 0));
  #wanted: string | null = null;
  readonly #bench: Bench;

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  async load(): Promise<void> {
    const sweeps = await this.#bench.listSweeps();
    if (sweeps !== null) this.sweeps = [...sweeps].sort((a, b) => b.startedAt_ms - a.startedAt_ms);
  }

  /** @param sweepId the one to open; null: back to the list. An answer that comes after the person has gone on is dropped. */
  async show(sweepId: string | null): Promise<void> {
    this.#wanted = sweepId;
    if (this.opened?.kept.sweepId === sweepId) return;
    this.opened = null;
    if (sweepId === null) {
      // A catch may have been made since.
      await this.load();
      return;
    }
    if (this.sweeps === null) await this.load();
    const kept = this.sweeps?.find((sweep) => sweep.sweepId === sweepId);
    if (kept === undefined) {
      if (this.sweeps !== null && this.#wanted === sweepId) this.#bench.refuse('record-not-found');
      return;
    }
    const file = await this.#bench.openSweep(sweepId);
    if (file === null || this.#wanted !== sweepId) return;
    const trace = new Trace(Number.POSITIVE_INFINITY);
    trace.fill(file.trace);
    this.opened = { kept, file, trace: file.trace.time_s.length === 0 ? null : trace };
  }
}
