import type { AnalysedFile, KeptSweep, SweepSetup } from '../contract.ts';
import type { Bench } from './bench.svelte.ts';
import { Trace } from './trace.svelte.ts';

export interface OpenedSweep {
  readonly kept: KeptSweep;
  readonly file: AnalysedFile & { readonly setup: SweepSetup };
  readonly trace: Trace;
}

/** The kept sweeps, newest first, and the one that is open. */
export class Logbook {
  sweeps = $state.raw<readonly KeptSweep[] | null>(null);
  opened = $state.raw<OpenedSweep | null>(null);
  readonly #bench: Bench;

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  async load(): Promise<void> {
    const sweeps = await this.#bench.listSweeps();
    if (sweeps !== null) this.sweeps = [...sweeps].sort((a, b) => b.startedAt_ms - a.startedAt_ms);
  }

  async open(kept: KeptSweep): Promise<void> {
    const file = await this.#bench.openSweep(kept.sweepId);
    if (file === null) return;
    const trace = new Trace(Number.POSITIVE_INFINITY);
    trace.fill(file.trace);
    this.opened = { kept, file, trace };
  }

  close(): void {
    this.opened = null;
  }
}
