import type { CheckPrompt } from '../../../src/session/checks/check-view.ts';
import type { StreamEvent } from '../../../src/signal/reading.ts';
import { LineSplitter } from '../../../src/signal/lines/line-splitter.ts';
import { createDecoder } from '../../../src/signal/streams/decoder.ts';
import { GuidedBench } from '../../../src/simulation/guided-bench.ts';
import { usualDial } from '../../../src/simulation/rig.ts';
import { SimulatedBench, type SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import { SimulatedPerson } from '../../../src/simulation/simulated-person.ts';

interface Session {
  accept(event: StreamEvent): readonly CheckPrompt[];
  readonly isOver: boolean;
  readonly prompt: CheckPrompt;
}

export interface GuidedCheck {
  readonly bench: SimulatedBench;
  readonly said: CheckPrompt[];
  readonly now_s: () => number;
  run(limit_s: number, until?: () => boolean): void;
  /** Another prompt than the session's for the simulated person, or null for none. */
  hears: (prompt: CheckPrompt) => CheckPrompt | null;
}

/** A check played by the simulated person on the simulated bench: no timer, no wall clock, nobody touches a key. */
export function guidedCheck(
  session: (bench: SimulatedBench) => Session,
  options: Partial<SimulatedBenchOptions> = {},
): GuidedCheck {
  const bench = new SimulatedBench({
    scenario: 'typical',
    seed: 3,
    instrument: 'scale',
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.1e-8 },
    dial: usualDial,
    ...options,
  });
  const check = session(bench);
  const guided = new GuidedBench(bench, new SimulatedPerson({ seed: options.seed ?? 3 }));
  const splitter = new LineSplitter();
  const decoder = createDecoder(bench.description());
  const guidedCheck: GuidedCheck = {
    bench,
    said: [],
    now_s: () => guided.now_s,
    hears: (prompt) => prompt,
    run(limit_s, until) {
      const end_s = guided.now_s + limit_s;
      while (guided.now_s < end_s && !check.isOver && until?.() !== true) {
        const heard = guidedCheck.hears(check.prompt);
        if (heard !== null) guided.follow(heard);
        guided.advance(guided.now_s + 0.1, (chunk) => {
          for (const raw of splitter.push(chunk))
            for (const event of decoder.decode(raw)) guidedCheck.said.push(...check.accept(event));
        });
      }
    },
  };
  return guidedCheck;
}
