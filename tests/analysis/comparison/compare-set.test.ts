import { describe, expect, it } from 'vitest';
import { compareSet, type SetInput } from '../../../src/analysis/comparison/compare-set.ts';
import { habits } from '../../../src/analysis/comparison/habits.ts';
import { Random } from '../../../src/simulation/random.ts';

const one = (flow: number, own: number) => ({
  flow_m3_per_s: flow * 1e-6,
  ownStandardUncertainty_m3_per_s: own * flow * 1e-6,
});
function set(flows: readonly (readonly number[])[], own = 1e-4, more: Partial<SetInput> = {}) {
  const found = compareSet({
    members: flows.map((catches, i) => ({
      label: `${i + 1}`,
      catches: catches.map((flow) => one(flow, own)),
    })),
    habitLimit: 0.1,
    ...more,
  });
  if (!found.ok) throw new Error(found.because);
  return found.value;
}

describe('several tips against their mean', () => {
  it('has the ± of a member against a mean that it is part of', () => {
    // Four members, two catches each, relative deviations ±1 %: pooled sd √(8·1e-4/4) = √2 %, 4 degrees of freedom, a mean of two 1 %.
    const found = set(
      Array.from({ length: 4 }, () => [0.99 * 20, 1.01 * 20]),
      1e-6,
    );
    const [first] = found.members;
    // u² = (3/4)²·1e-4 + 3·(1/4)²·1e-4 = 0.75e-4; t(4) = 2.776 (NIST/SEMATECH e-Handbook 1.3.6.7.2).
    expect(first!.againstMean.relativeStandardUncertainty).toBeCloseTo(0.01 * Math.sqrt(0.75), 9);
    expect(first!.againstMean.degreesOfFreedom).toBeCloseTo(4, 9);
    expect(first!.againstMean.expandedUncertainty95).toBeCloseTo(
      Math.expm1(2.776 * 0.01 * Math.sqrt(0.75)),
      4,
    );
    expect(first!.expandedUncertainty95_m3_per_s / 20e-6).toBeCloseTo(2.776 * 0.01, 4);
    expect(found.ties).toEqual([['1', '2', '3', '4']]);
    expect(found.coefficientOfVariation).toBeCloseTo(0, 12);
  });

  it('takes what the catches would scatter by themselves off the coefficient of variation', () => {
    const found = set([[20], [21], [19]], 0.02);
    expect(found.coefficientOfVariation).toBeCloseTo(0.05, 9);
    expect(found.coefficientOfVariationOfTips).toBeCloseTo(Math.sqrt(0.05 ** 2 - 0.02 ** 2), 9);
    expect(set([[20], [20.2], [19.8]], 0.05).coefficientOfVariationOfTips).toBe(0);
  });

  it('speaks of a habit only where the whole interval is on one side', () => {
    // Mean 20; the last is 11.1 % high. At 0.1 % it is outside ten per cent, at 2 % that can't be told, and 15 % holds it.
    const flows = [[19.26], [19.26], [19.26], [22.22]];
    expect(set(flows, 0.001).members.map((m) => m.habit)).toEqual(['within', 'within', 'within', 'outside']);
    expect(set(flows, 0.02).members[3]!.habit).toBe('cannot-tell');
    expect(set(flows, 0.001, { habitLimit: 0.15 }).members[3]!.habit).toBe('within');
  });

  it('names neighbours that can’t be told apart, highest first', () => {
    const found = set([[18], [20], [20.01], [22], [21.99]], 0.002);
    expect(found.ties).toEqual([
      ['4', '5'],
      ['3', '2'],
    ]);
  });

  it('sees by the first position’s repeat that the rig moved, and widens every ±', () => {
    const still = set(
      [
        [20, 20.02],
        [20.1, 20.12],
      ],
      1e-4,
      { repeat: [one(20.01, 1e-4), one(20.03, 1e-4)] },
    );
    expect(still.repeat?.verdict).toBe('none-seen');
    expect(still.warnings).toEqual([]);
    const moved = set(
      [
        [20, 20.02],
        [20.1, 20.12],
      ],
      1e-4,
      { repeat: [one(19, 1e-4), one(19.02, 1e-4)] },
    );
    expect(moved.repeat?.ratio).toBeCloseTo(0.95, 3);
    expect(moved.warnings).toEqual(['rig-moved-meanwhile']);
    expect(moved.members[0]!.expandedUncertainty95_m3_per_s).toBeGreaterThan(
      still.members[0]!.expandedUncertainty95_m3_per_s,
    );
  });

  it('adds once what all share to the flows, never to what they are against their mean', () => {
    const bare = set([
      [20, 20.1],
      [21, 21.1],
    ]);
    const shared = set(
      [
        [20, 20.1],
        [21, 21.1],
      ],
      1e-4,
      { sharedRelative: 0.01 },
    );
    expect(shared.members[0]!.againstMean).toEqual(bare.members[0]!.againstMean);
    expect(shared.members[0]!.expandedUncertainty95_m3_per_s).toBeGreaterThan(0.0196 * 20.05e-6);
  });

  it('is refused for one tip, for one without catches, and where nothing says what a catch is worth', () => {
    const ask = (flows: readonly (readonly number[])[], own: number) =>
      compareSet({
        members: flows.map((catches, i) => ({
          label: `${i}`,
          catches: catches.map((flow) => one(flow, own)),
        })),
        habitLimit: 0.1,
      });
    expect(ask([[20]], 0.01)).toMatchObject({ because: 'one-tip-only' });
    expect(ask([[20], []], 0.01)).toMatchObject({ because: 'too-few-catches' });
    expect(ask([[20], [21]], 0)).toMatchObject({ because: 'too-few-catches' });
    expect(ask([[20], [0]], 0.01)).toMatchObject({ because: 'flow-not-positive' });
  });

  it('calls a like tip different from the mean in no more than one of twenty (1,000 seeded, 5 tips of 3 catches, 1 %)', () => {
    let different = 0;
    for (let seed = 0; seed < 1000; seed++) {
      const random = new Random(seed, 'set');
      const found = set(
        Array.from({ length: 5 }, () => [1, 2, 3].map(() => 20 * (1 + 0.01 * random.normal()))),
      );
      if (found.members[2]!.againstMean.verdict === 'different') different++;
    }
    expect(different / 1000).toBeGreaterThan(0.03);
    expect(different / 1000).toBeLessThan(0.07);
  });
});

describe('what was printed of sets', () => {
  const oz = (flows: readonly number[], limit: number) =>
    set(
      flows.map((flow) => [flow]),
      1e-4,
      { habitLimit: limit },
    );

  it('SportsTurf, April 2014, p. 38: 44, 45, 44 oz, average 44, within 7 %', () => {
    const found = oz([44, 45, 44], habits[1].limit);
    // The article rounds 44.33 to 44; its window about the mean is 41.23 to 47.44.
    expect(found.mean_m3_per_s * 1e6).toBeCloseTo(44.333, 3);
    expect(found.members.every((member) => member.habit === 'within')).toBe(true);
    expect(oz([44, 45, 44, 39], 0.07).members[3]!.habit).toBe('outside');
  });

  it('Alberta Agdex 606-1, p. 11: a tip of 0.75 L/min is OK from 0.71 to 0.79, five per cent', () => {
    // Seven of 0.75 and one at the edge: the mean they are held against moves by an eighth of it.
    const at = (edge: number) =>
      oz([0.75, 0.75, 0.75, 0.75, 0.75, 0.75, 0.75, edge], habits[0].limit).members[7]!.habit;
    expect(at(0.7875)).toBe('within');
    expect(at(0.7125)).toBe('within');
    expect(at(0.8)).toBe('outside');
    expect(at(0.7)).toBe('outside');
  });
});
