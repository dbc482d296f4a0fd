import { describe, expect, it } from 'vitest';
import type { Chunk } from '../../src/signal/reading.ts';
import { GuidedBench } from '../../src/simulation/guided-bench.ts';
import { usualDial } from '../../src/simulation/rig.ts';
import { SimulatedBench } from '../../src/simulation/simulated-bench.ts';
import { SimulatedPerson, type PersonPrompt } from '../../src/simulation/simulated-person.ts';

function makeGuided(): GuidedBench {
  const bench = new SimulatedBench({
    scenario: 'rough',
    seed: 21,
    instrument: 'scale',
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8 },
    dial: usualDial,
  });
  return new GuidedBench(bench, new SimulatedPerson({ seed: 21 }));
}

/** A sweep told by the clock of the bytes alone: two catches, the pail emptied between them. */
const told: readonly (readonly [at_s: number, prompt: PersonPrompt])[] = [
  [2, { kind: 'set-and-spray', setting_Pa: 2e5, turnAwayFirst: true }],
  [16, { kind: 'keep-spraying', setting_Pa: 2e5 }],
  [40, { kind: 'shut-off' }],
  [43, { kind: 'hold-still' }],
  [46, { kind: 'empty-pail' }],
  [64, { kind: 'set-and-spray', setting_Pa: 3e5, turnAwayFirst: true }],
  [100, { kind: 'shut-off' }],
  [104, { kind: 'done' }],
];

function play(guided: GuidedBench, steps_s: (n: number) => number): Chunk[] {
  const chunks: Chunk[] = [];
  let next = 0;
  let asked_s = 0;
  for (let n = 0; asked_s < 110; n += 1) {
    asked_s = Math.min(110, asked_s + steps_s(n));
    guided.advance(asked_s, (chunk) => {
      chunks.push(chunk);
      const due = told[next];
      if (due && chunk.arrival_s >= due[0]) {
        guided.follow(due[1]);
        next += 1;
      }
    });
  }
  return chunks;
}

describe('the guided bench', () => {
  it('gives the same bytes and the same truth at any speed', () => {
    const slow = makeGuided();
    const bytes = play(slow, () => 0.013);
    for (const steps_s of [
      (): number => 0.05,
      (): number => 1,
      (n: number): number => 0.001 + (n % 7) * 0.4,
    ]) {
      const other = makeGuided();
      expect(play(other, steps_s)).toEqual(bytes);
      expect(other.bench.truth).toEqual(slow.bench.truth);
    }
  });

  it('lets the person do what was told: both settings sprayed and shut off, the pail emptied between', () => {
    const guided = makeGuided();
    const text = play(guided, () => 0.5)
      .map(({ bytes }) => String.fromCharCode(...bytes))
      .join('');
    const { truth } = guided.bench;
    expect(truth.map(({ setting_Pa }) => setting_Pa)).toEqual([2e5, 3e5]);
    for (const { start_s, stop_s } of truth) expect((stop_s ?? 0) - start_s).toBeGreaterThan(20);
    expect(truth[0]?.stop_s).toBeGreaterThan(40.4);
    expect(truth[0]?.stop_s).toBeLessThan(42.3);
    expect(text).toMatch(/\n +-?\d g( \?)?\r/);
  });

  it('moves on when a caller adds its step to the time of the last one', () => {
    const guided = makeGuided();
    for (let n = 0; n < 2000; n += 1) guided.advance(guided.now_s + 0.05, () => undefined);
    expect(guided.now_s).toBeCloseTo(100, 6);
  });
});
