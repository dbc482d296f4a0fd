import type { GapReason } from '../../../src/base/because.ts';
import type { Outcome } from '../../../src/base/outcome.ts';
import type { CaptureHeader } from '../../../src/signal/captures/header.ts';
import type { CheckPrompt } from '../../../src/session/checks/check-view.ts';
import type { RigCheckPrompt } from '../../../src/session/rig-check/rig-check-view.ts';
import type { Prompt } from '../../../src/session/prompt.ts';
import type { RigFault } from '../../../src/simulation/rig-fault.ts';
import type { Chunk, InstrumentDescription } from '../../../src/signal/reading.ts';
import type { NozzleOf } from '../../../src/simulation/nozzles.ts';
import type { SimulatedScenario } from '../../contract.ts';

/** Where bytes come from: a real port, the simulated bench, a test double. All behave alike from here on. */
export interface Source {
  readonly description: InstrumentDescription;
  readonly simulated: boolean;
  /** True nozzle constant of a simulated tip; null for water that is real. */
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number | null;
  /** What makes it hard on a simulated bench; absent for water that is real. */
  readonly conditions?: SimulatedScenario;
  /** What is wrong with a simulated rig; null or absent: nothing was asked for, or it is real. */
  readonly faults?: readonly RigFault[] | null;
  /** What the source knows for the capture's header beyond the description; a simulated bench knows its water. */
  readonly headerFacts: Partial<Pick<CaptureHeader, 'scaleFactorFrom' | 'waterTemperature_degC'>>;
  start(sink: SourceSink): Promise<Outcome<true>>;
  /** The simulated person listens to the same prompts as a real one. */
  follow(prompt: Prompt | CheckPrompt | RigCheckPrompt, at_s: number): void;
  /** A simulated bench only: hears the numbers that its person reads off a dial or gauge, Pa; null: the large button. */
  answered?: (value_Pa: number | null) => void;
  /** A simulated bench only: true flow of one of several nozzles over that of its own tip. */
  nozzleShare?(nozzle: NozzleOf): number;
  /** A simulated bench only: how many times real time it runs. */
  setSpeed?(speed: number): void;
  /** Stream clock now, s since `start`. */
  now_s(): number;
  close(): Promise<void>;
}

export interface SourceSink {
  chunk(chunk: Chunk): void;
  /** Bytes were lost but the port lives. */
  gap(because: GapReason): void;
  lost(): void;
  back(): void;
}
