import { fitRig, LOG_GAIN, LOSS, OFFSET } from '../../src/analysis/tip-or-rig/rig-model.ts';
import { tellTipFromRig } from '../../src/analysis/tip-or-rig/tell-tip-from-rig.ts';
import { PSI_PA } from '../../src/base/units/constants.ts';
import { Random } from '../../src/simulation/random.ts';
import {
  deviation,
  madeTips,
  scoreRack,
  tableOfSizes,
  type MadeRack,
} from './tip-or-rig-parts/made-racks.ts';

const three = [1, 0.75, 0.5];
const usual = { catch: 0.01, dial_psi: 1.5, reference: 0.01 };
const fine = { catch: 0.003, dial_psi: 0.25, reference: 0.01 };
const baselines = { catch: 0.003, dial_psi: 0.25, reference: 0.005, from: 'baseline' } as const;

const racks: readonly MadeRack[] = [
  { ...usual, name: 'nothing wrong', sizes: three },
  { ...usual, name: 'middle tip worn 15 %', sizes: three, changes: [1, 1.15, 1] },
  { ...usual, name: 'largest tip worn 15 %', sizes: three, changes: [1.15, 1, 1] },
  { ...usual, name: 'one of two like tips worn 15 %', sizes: [1, 0.9], changes: [1, 1.15] },
  { ...usual, name: 'larger of two worn 15 %', sizes: [1, 0.5], changes: [1.15, 1] },
  { ...usual, name: 'pressure 20 % too high', sizes: three, gain: 1.2 },
  { ...usual, name: 'pressure 20 % too high, like sizes', sizes: [1, 1, 0.9], gain: 1.2 },
  { ...usual, name: 'a fifth of the pressure lost before the largest', sizes: three, lost: 0.2 },
  { ...usual, name: 'a fifth lost, two sizes', sizes: [1, 0.5], lost: 0.2 },
  { ...usual, name: 'dial off by 4 psi', sizes: three, offset_psi: 4 },
  { ...usual, name: 'a fifth lost, smallest tip worn 15 %', sizes: three, lost: 0.2, changes: [1, 1, 1.15] },
  { ...usual, name: 'references share 2 %', sizes: three, sharedReference: 0.02 },
  { ...usual, name: 'all worn 10 %', sizes: three, changes: [1.1, 1.1, 1.1] },
  {
    ...usual,
    name: 'all worn 10 %, gauge at the wand',
    sizes: three,
    changes: [1.1, 1.1, 1.1],
    wand_psi: 0.5,
  },
  { ...baselines, name: 'nothing wrong, baselines', sizes: three },
  { ...baselines, name: 'middle tip worn 10 %, baselines', sizes: three, changes: [1, 1.1, 1] },
  { ...baselines, name: 'pressure 20 % too high, baselines', sizes: three, gain: 1.2 },
  { ...baselines, name: 'all worn 10 %, baselines', sizes: three, changes: [1.1, 1.1, 1.1] },
  {
    ...baselines,
    name: 'all worn 10 %, baselines, a tip from the drawer',
    sizes: [...three, 0.7],
    changes: [1.1, 1.1, 1.1, 1],
    anchor: 3,
  },
];

/**
 * `npm run benchmark -- tip-or-rig [--runs=1000] [--seedBase=600000]`: standard deviations of b, g and c against the table of measurement
 * 11.9 (all references speaking, g and c apart whatever the sizes); then whole answers: coverage of the intervals, who is blamed; time.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const runs = Number(options['runs'] ?? 1000);
  const seedBase = Number(options['seedBase'] ?? 600_000);
  return {
    table: tableOfSizes.flatMap((row, i) =>
      [usual, fine].map((noise) => ({
        ...noise,
        sizes: row.sizes,
        designSays: noise === usual ? row : 'b .11-.17 psi, g and c hardly better',
        ...tableCell({ ...noise, name: row.sizes.join(' '), sizes: row.sizes }, runs, seedBase + i),
      })),
    ),
    answers: racks.map((rack, i) => scoreRack(rack, runs, seedBase + 100 + i)),
    milliseconds: [3, 10, 50].map((tips) => {
      const sizes = Array.from({ length: tips }, (_, i) => 1 - (0.75 * i) / tips);
      const made = madeTips(
        { ...usual, name: 'time', sizes, changes: sizes.map((_, i) => (i === 1 ? 1.2 : 1)) },
        new Random(seedBase, 'time'),
      );
      const times = Array.from({ length: 7 }, () => {
        const began = performance.now();
        tellTipFromRig({ tips: made, dialReturns: false });
        return performance.now() - began;
      });
      return { tips, median_ms: times.sort((a, b) => a - b)[3]! };
    }),
  };
}

function tableCell(rack: MadeRack, runs: number, seed: number) {
  const wide = { value_Pa: 0, standardUncertainty_Pa: 100 * PSI_PA };
  const found = Array.from({ length: runs }, (_, run) => {
    const tips = madeTips(rack, new Random(seed, `table/${run}`));
    const question = {
      tips: tips.map((tip) => ({ ...tip, reference: tip.reference! })),
      dialReturns: false,
      wand: [],
    };
    const fit = fitRig(question, { offset: wide, loss: null }, new Set());
    if (fit === null) throw new Error('no fit');
    const p = fit.parameters;
    const u = (place: number): number => Math.sqrt(fit.covariance(place, place));
    return {
      offset_psi: (p[OFFSET]! * 1e5) / PSI_PA,
      gain: Math.exp(p[LOG_GAIN]!),
      lost: p[LOSS]! / (1 + p[LOSS]!),
      held: [OFFSET, LOG_GAIN, LOSS].map((place) => Math.abs(p[place]!) <= 1.96 * u(place)),
    };
  });
  return {
    runs,
    seed,
    offset_psi: deviation(found.map((one) => one.offset_psi)),
    gainPercent: 100 * deviation(found.map((one) => one.gain)),
    lostPercent: 100 * deviation(found.map((one) => one.lost)),
    coveragePercent: [0, 1, 2].map((place) => (100 * found.filter((one) => one.held[place]).length) / runs),
  };
}
