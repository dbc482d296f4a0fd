import { compareAlternated, type AlternatedCatch } from '../../src/analysis/comparison/alternated.ts';
import { orderOfAlternation, type AlternatedLabel } from '../../src/analysis/comparison/alternation.ts';
import { catchesNeeded } from '../../src/analysis/comparison/catches-needed.ts';
import { Random } from '../../src/simulation/random.ts';
import { comparedSweeps, togetherness } from './two-tips-parts/made-tips.ts';

interface Design {
  readonly name: string;
  readonly order: readonly AlternatedLabel[];
  /** True standard deviation of a catch, and what each catch claims of itself, relative. */
  readonly noise: number;
  readonly claimed: number;
  /** Even loss of flow over the whole run, relative. */
  readonly sag: number;
  /** ln of the true ratio. */
  readonly difference: number;
}

const turnAbout: readonly AlternatedLabel[] = ['A', 'B', 'A', 'B', 'A', 'B', 'A', 'B'];
const plain = { noise: 0.003, claimed: 0.001, sag: 0, difference: 0 };
const designs: readonly Design[] = [
  { ...plain, name: 'alike, A B B A', order: orderOfAlternation(2) },
  { ...plain, name: 'alike, A B B A twice', order: orderOfAlternation(4) },
  { ...plain, name: 'alike, A B B A twice, 3 % sag', order: orderOfAlternation(4), sag: 0.03 },
  { ...plain, name: 'alike, A B A B A B A B, 3 % sag', order: turnAbout, sag: 0.03 },
  { ...plain, name: 'alike, six of each', order: orderOfAlternation(6), noise: 0.01 },
  {
    ...plain,
    name: 'alike, A B B A twice, each catch claims what it is worth',
    order: orderOfAlternation(4),
    claimed: 0.003,
  },
  {
    ...plain,
    name: '1 % apart, 3 of each, 0.3 % (power 0.86 in measurement 6, without a drift)',
    order: orderOfAlternation(3),
    difference: 0.01,
  },
  { ...plain, name: '1 % apart, 4 of each, 0.3 %', order: orderOfAlternation(4), difference: 0.01 },
  {
    ...plain,
    name: '2 % apart, 6 of each, 1 % (power 0.88 in measurement 6, without a drift)',
    order: orderOfAlternation(6),
    noise: 0.01,
    difference: 0.02,
  },
];

/**
 * `npm run benchmark -- two-tips [--runs=20000] [--seedBase=500000]`: tips caught in turn: how often like ones are called different
 * (4-6 % at a nominal 5 %), how often unlike ones are found; then tips compared from two sweeps: does the interval hold?
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const runs = Number(options['runs'] ?? 20_000);
  const seedBase = Number(options['seedBase'] ?? 500_000);
  return {
    inTurn: designs.map((design, i) => ({
      ...design,
      order: design.order.join(' '),
      ...score(design, runs, seedBase + i),
    })),
    sweeps: togetherness.flatMap((how, i) =>
      [1, 1.03].map((truth) => comparedSweeps(how, truth, Math.ceil(runs / 10), seedBase + 100 + i)),
    ),
    catchesNeededPerTip: [0.002, 0.003, 0.005, 0.01, 0.015, 0.02].map((catchStandardDeviation) => ({
      catchStandardDeviation,
      power80: [0.01, 0.02, 0.05].map((difference) => catchesNeeded({ difference, catchStandardDeviation })),
      power95: [0.01, 0.02, 0.05].map((difference) =>
        catchesNeeded({ difference, catchStandardDeviation, power: 0.95 }),
      ),
    })),
  };
}

function score(design: Design, runs: number, seed: number) {
  let different = 0;
  let held = 0;
  let plainBias = 0;
  let bias = 0;
  const halves: number[] = [];
  for (let run = 0; run < runs; run++) {
    const random = new Random(seed, `${run}`);
    const last = design.order.length - 1;
    const catches = design.order.map((label, i): AlternatedCatch => {
      const log =
        (label === 'A' ? design.difference : 0) - (design.sag * i) / last + design.noise * random.normal();
      const flow = 1e-5 * Math.exp(log);
      return {
        label,
        at_s: 45 * i,
        flow_m3_per_s: flow,
        ownStandardUncertainty_m3_per_s: flow * design.claimed,
      };
    });
    const found = compareAlternated(catches);
    if (!found.ok) throw new Error(found.because);
    const { compared, plainDifference } = found.value;
    if (compared.verdict === 'different') different++;
    const off = Math.log(compared.ratio) - design.difference;
    const half = Math.log1p(compared.expandedUncertainty95 / compared.ratio);
    if (Math.abs(off) <= half) held++;
    bias += off / runs;
    plainBias += (plainDifference - design.difference) / runs;
    halves.push(half);
  }
  return {
    runs,
    seed,
    differentPercent: (100 * different) / runs,
    coveragePercent: (100 * held) / runs,
    biasPercent: 100 * bias,
    biasOfPlainMeansPercent: 100 * plainBias,
    medianHalfWidthPercent: 100 * halves.sort((a, b) => a - b)[Math.floor(runs / 2)]!,
  };
}
