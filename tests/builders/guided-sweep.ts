import { allRigReaders } from '../../src/analysis/rigs/all-rig-readers.ts';
import { provideRigReaders } from '../../src/analysis/rigs/rig-readers.ts';
import { LiveSweep } from '../../src/session/live-sweep.ts';
import { OnePourSweep } from '../../src/session/one-pour/one-pour-sweep.ts';
import type { Sweep } from '../../src/session/sweep.ts';
import { makeOrder, seededRandom } from '../../src/session/plan.ts';
import type { Announcement, Prompt } from '../../src/session/prompt.ts';
import type { SweepCommand } from '../../src/session/sweep-command.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import { captureHeaderOf } from '../../web/worker/capture-header-of.ts';
import type { Source } from '../../web/worker/device/source.ts';
import { LineSplitter } from '../../src/signal/lines/line-splitter.ts';
import { createDecoder } from '../../src/signal/streams/decoder.ts';
import { GuidedBench } from '../../src/simulation/guided-bench.ts';
import { usualDial } from '../../src/simulation/rig.ts';
import { SimulatedBench, type SimulatedBenchOptions } from '../../src/simulation/simulated-bench.ts';
import { aSetup } from './setup.ts';
import { SimulatedPerson } from '../../src/simulation/simulated-person.ts';

provideRigReaders(allRigReaders);

export interface GuidedSweep {
  readonly live: Sweep;
  readonly bench: SimulatedBench;
  readonly announcements: Announcement[];
  readonly prompts: Prompt[];
  readonly captureText: () => string;
  /** Runs until the sweep is done or `limit_s` of simulated time is over. */
  run(limit_s: number, until?: (sweep: GuidedSweep) => boolean): void;
  /** Bytes between instrument and computer: lets a test lose or change them. */
  wire: (text: string) => string;
  apply(commands: readonly SweepCommand[]): void;
}

/** A whole sweep on the simulated bench with the simulated person, as fast as the machine can: no timer, no wall clock. */
export function guidedSweep(
  options: {
    readonly setup?: SweepSetup;
    readonly bench?: Partial<SimulatedBenchOptions>;
    readonly seed?: number;
    /** A prompt the person doesn't hear is not followed. */
    readonly hears?: (prompt: Prompt) => boolean;
  } = {},
): GuidedSweep {
  const setup = options.setup ?? aSetup();
  const seed = options.seed ?? 5;
  const bench = new SimulatedBench({
    scenario: 'typical',
    seed,
    instrument: 'scale',
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.1e-8 },
    dial: usualDial,
    ...options.bench,
  });
  const guided = new GuidedBench(bench, new SimulatedPerson({ seed }));
  const description = bench.description();
  const header = captureHeaderOf('sweep under test', setup, source(bench), '2026-05-04T09:12:00Z');
  const order = makeOrder(setup, seededRandom(setup.orderSeed));
  const live: Sweep =
    setup.protocol === 'one-pour'
      ? new OnePourSweep({ setup, header, order })
      : new LiveSweep({ setup, header, order });
  const splitter = new LineSplitter();
  const decoder = createDecoder(description);
  const text: string[] = [];
  const sweep: GuidedSweep = {
    live,
    bench,
    announcements: [],
    prompts: [],
    captureText: () => live.headerText + text.join(''),
    wire: (bytes) => bytes,
    apply(commands) {
      for (const command of commands) {
        if (command.kind === 'announce') sweep.announcements.push(command.announcement);
        if (command.kind === 'keep-text') text.push(command.text);
      }
      const { prompt } = live;
      if (sweep.prompts.at(-1) !== prompt) sweep.prompts.push(prompt);
      if (options.hears?.(prompt) ?? true) guided.follow(prompt);
    },
    run(limit_s, until) {
      const end_s = guided.now_s + limit_s;
      while (guided.now_s < end_s && live.phase !== 'done' && !until?.(sweep))
        guided.advance(guided.now_s + 0.25, (chunk) => {
          const bytes = Uint8Array.from(sweep.wire(String.fromCharCode(...chunk.bytes)), (c) =>
            c.charCodeAt(0),
          );
          for (const raw of splitter.push({ ...chunk, bytes }))
            sweep.apply(live.accept(raw, decoder.decode(raw)));
        });
    },
  };
  sweep.apply(live.begin(0));
  return sweep;
}

/** What the capture's header asks of a source; the rest of it is not used here. */
function source(bench: SimulatedBench): Source {
  const { scaleFactorFrom, waterTemperature_degC } = bench.headerFacts();
  return {
    description: bench.description(),
    simulated: true,
    headerFacts: { scaleFactorFrom, waterTemperature_degC },
  } as Source;
}
