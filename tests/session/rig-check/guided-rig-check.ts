import { LineSplitter } from '../../../src/signal/lines/line-splitter.ts';
import { createDecoder } from '../../../src/signal/streams/decoder.ts';
import {
  createRigCheck,
  type RigCheckEars,
  type RigCheckPlan,
} from '../../../src/session/rig-check/rig-check-session.ts';
import type { RigCheckMachine, RigCheckPrompt } from '../../../src/session/rig-check/rig-check-view.ts';
import { GuidedBench } from '../../../src/simulation/guided-bench.ts';
import { usualDial, type RigFault } from '../../../src/simulation/rig.ts';
import { SimulatedBench, type SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import { SimulatedPerson } from '../../../src/simulation/simulated-person.ts';
import { describedHeader } from '../../../web/worker/capture-header-of.ts';

export interface GuidedRigCheck {
  readonly machine: RigCheckMachine;
  readonly said: RigCheckPrompt[];
  readonly bench: SimulatedBench;
  /** Simulated time at which it was over. */
  readonly took_s: number;
}

/** A check of a rig played by the simulated person to its end (at most `limit_s`): nobody else touches anything. */
export function guidedRigCheck(
  plan: RigCheckPlan,
  faults: readonly RigFault[],
  options: Partial<SimulatedBenchOptions> & {
    readonly limit_s?: number;
    readonly ears?: Partial<RigCheckEars>;
    /** Between two steps; to stand in for the person. */
    readonly meanwhile?: (machine: RigCheckMachine, now_s: number) => void;
  } = {},
): GuidedRigCheck {
  const { limit_s = 300, ears, meanwhile, ...more } = options;
  const bench = new SimulatedBench({
    scenario: 'typical',
    seed: 3,
    instrument: 'scale',
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8, faults },
    dial: usualDial,
    ...more,
  });
  const made = createRigCheck(plan, {
    header: describedHeader(bench.description()),
    standsOnScale: 'pail',
    showsSlowChange: null,
    ...ears,
  });
  if (!made.ok) throw new Error(made.because);
  const machine = made.value;
  const guided = new GuidedBench(bench, new SimulatedPerson({ seed: more.seed ?? 3 }));
  const said: RigCheckPrompt[] = [];
  guided.answered = (value_Pa) => {
    const answered = machine.answer(value_Pa);
    if (answered.ok) said.push(...answered.value);
  };
  const splitter = new LineSplitter();
  const decoder = createDecoder(bench.description());
  while (guided.now_s < limit_s && !machine.isOver) {
    guided.follow(machine.prompt);
    guided.advance(guided.now_s + 0.1, (chunk) => {
      for (const raw of splitter.push(chunk))
        for (const event of decoder.decode(raw)) said.push(...machine.accept(event));
    });
    meanwhile?.(machine, guided.now_s);
  }
  return { machine, said, bench, took_s: guided.now_s };
}
