import { ok, type Outcome } from '../../../src/base/outcome.ts';
import type { CheckPrompt } from '../../../src/session/checks/check-view.ts';
import type { RigCheckPrompt } from '../../../src/session/rig-check/rig-check-view.ts';
import type { Prompt } from '../../../src/session/prompt.ts';
import type { InstrumentDescription } from '../../../src/signal/reading.ts';
import { GuidedBench } from '../../../src/simulation/guided-bench.ts';
import type { RigFault } from '../../../src/simulation/rig-fault.ts';
import { SimulatedBench, type SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import type { NozzleOf } from '../../../src/simulation/nozzles.ts';
import { SimulatedPerson } from '../../../src/simulation/simulated-person.ts';
import type { SimulatedBenchRequest, SimulatedScenario } from '../../contract.ts';
import { simulatedOptions } from './simulated-options.ts';
import type { Source, SourceSink } from './source.ts';

/** Real milliseconds between two steps. The bench's own time is a multiple of it, never the wall's. */
const TICK_MS = 50;
/** A stalled worker must not leap: at most this much simulated time in one step. */
const MOST_PER_TICK_S = 2;

export interface SimulatedSourceOptions {
  readonly bench: SimulatedBenchOptions;
  readonly conditions: SimulatedScenario;
  readonly personSeed: number;
  readonly speed: number;
}

/** The simulated bench and person behind the same seam as a port. Worker timers are not throttled in hidden tabs. */
export class SimulatedSource implements Source {
  readonly simulated = true;
  readonly description: InstrumentDescription;
  readonly conditions: SimulatedScenario;
  readonly trueNozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly faults: readonly RigFault[] | null;
  answered: (value_Pa: number | null) => void = () => undefined;
  readonly #bench: SimulatedBench;
  readonly #guided: GuidedBench;
  #speed: number;
  #timer: ReturnType<typeof setInterval> | null = null;

  constructor(options: SimulatedSourceOptions) {
    this.#bench = new SimulatedBench(options.bench);
    this.#guided = new GuidedBench(this.#bench, new SimulatedPerson({ seed: options.personSeed }));
    this.#guided.answered = (value_Pa) => this.answered(value_Pa);
    this.#speed = options.speed;
    this.conditions = options.conditions;
    this.faults = options.bench.tip.faults ?? null;
    this.description = this.#bench.description();
    this.trueNozzleConstant_m3_per_s_per_sqrtPa = this.#bench.trueNozzleConstant_m3_per_s_per_sqrtPa;
  }

  get headerFacts(): Source['headerFacts'] {
    const { waterTemperature_degC } = this.#bench.headerFacts();
    // However good the simulated scale is: only a check made here tells anybody.
    return { scaleFactorFrom: 'maker', waterTemperature_degC };
  }

  setSpeed(speed: number): void {
    this.#speed = speed;
  }

  nozzleShare(nozzle: NozzleOf): number {
    return this.#bench.nozzleShare(nozzle);
  }

  now_s(): number {
    return this.#bench.now_s;
  }

  follow(prompt: Prompt | CheckPrompt | RigCheckPrompt): void {
    this.#guided.follow(prompt);
  }

  start(sink: SourceSink): Promise<Outcome<true>> {
    this.#timer = setInterval(() => {
      const step_s = Math.min((TICK_MS / 1000) * this.#speed, MOST_PER_TICK_S);
      this.#guided.advance(this.#bench.now_s + step_s, (chunk) => sink.chunk(chunk));
    }, TICK_MS);
    return Promise.resolve(ok(true));
  }

  close(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    this.#timer = null;
    return Promise.resolve();
  }
}

/** @param more what a kept sweep's bench was beyond what can be asked for. */
export function openSimulatedSource(
  request: SimulatedBenchRequest,
  more: Partial<SimulatedBenchOptions> = {},
): SimulatedSource {
  const options = simulatedOptions(request);
  return new SimulatedSource({ ...options, bench: { ...options.bench, ...more } });
}
