import { scoreBoom, scoreTwo, type RoutineDesign } from './routines-parts/whole-routines.ts';

const guided = { scenario: 'typical', wand: 'guided', targetRelative: 0.005 } as const;
const rough = { scenario: 'rough', wand: 'hand-held', targetRelative: 0.01 } as const;

const tips: readonly RoutineDesign[] = [
  { name: 'alike', ...guided, shares: [1, 1], catches: 4, wantedDifference: 0.02 },
  { name: '1 % apart', ...guided, shares: [1, 1.01], catches: 4, wantedDifference: 0.01 },
  {
    name: 'alike, a battery that sags by 6 % of pressure',
    ...guided,
    shares: [1, 1],
    catches: 4,
    wantedDifference: 0.02,
    sag: 0.06,
  },
  { name: 'alike, rough', ...rough, shares: [1, 1], catches: 4, wantedDifference: 0.02 },
  { name: '2 % apart, rough', ...rough, shares: [1, 0.98], catches: 4, wantedDifference: 0.02 },
];
const boom = [1, 1.012, 0.86, 1.13, 0.99, 1.005];
const booms: readonly RoutineDesign[] = [
  { name: 'six nozzles, one worn, one blocked', ...guided, shares: boom, catches: 1 },
  { name: 'six nozzles, one worn, one blocked, rough', ...rough, shares: boom, catches: 2 },
];

/**
 * `npm run benchmark -- routines [--sweeps=200] [--booms=100] [--seedBase=700000]`: whole routines on the guided simulated bench, from bytes
 * to the comparison, with offers of more catches taken. Does the ± of the ratio hold (93-97 %) at the moment the rule stops, how often are
 * two alike called different (5 % wanted; row 15 of the targets: 4-6 %), and is a difference as large as wanted seen four times in five?
 * Seeds from 700000 up were not used in tuning or tests.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const sweeps = Number(options['sweeps'] ?? 200);
  const ofBooms = Number(options['booms'] ?? 100);
  const seedBase = Number(options['seedBase'] ?? 700_000);
  return {
    tips: tips.map((design, i) => scoreTwo(design, sweeps, seedBase + 10_000 * i)),
    booms: booms.map((design, i) => scoreBoom(design, ofBooms, seedBase + 100_000 + 10_000 * i)),
  };
}
