import type { Because } from '../../src/base/because.ts';
import type { Envelope } from '../../src/records/envelope.ts';
import type { Announcement } from '../../src/session/prompt.ts';
import type { Sweep } from '../../src/session/sweep.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import type { RigFault, SimulatedScenario } from '../contract.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** What a running sweep is made of: its state machine, its store, and what was kept of it before. */
export interface RunningSweepOptions {
  readonly live: Sweep;
  readonly setup: SweepSetup;
  readonly sweepId: string;
  /** Stream time at which the capture's clock reads zero (negative when a kept sweep goes on). */
  readonly origin_s: number;
  readonly store: BenchStore;
  readonly earlierText: readonly string[];
  readonly nextSequence: number;
  readonly simulated: boolean;
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number | null;
  readonly conditions: SimulatedScenario | null;
  readonly faults?: readonly RigFault[] | null;
  /** Of a simulated routine: true flow of each nozzle over the first one's. */
  readonly trueNozzleShares?: readonly number[] | null;
  readonly envelope: (replaces?: string) => Envelope;
  readonly announce: (announcement: Announcement, at_s: number) => void;
  readonly changed: () => void;
  /** Catches of an earlier run of the program, as they were kept. */
  readonly keptCatches: readonly { readonly id: string; readonly start_s: number }[];
  /** Why the first record could not be kept, if so. */
  readonly notKept: Because | null;
}
