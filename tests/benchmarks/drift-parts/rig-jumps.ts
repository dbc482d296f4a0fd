import { driftOfRig } from '../../../src/analysis/drift/drift-of-rig.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeRig } from './made-seasons.ts';

/** Weeks in all, and the one from which the rig gives less, or more, for good. */
const WEEKS = 30;
const FROM = 20;

export interface JumpScore {
  readonly jump: number;
  readonly rigBlamedInThatWeekPercent: number;
  /** Of all tips, a signal from that week on; without any jump the false alarms of those weeks alone. */
  readonly tipsBlamedPercent: number;
}

/** Four sound tips, s 0.5 %; from week 20 on the dial gives less. Who is blamed? */
export function rigJumps(runs: number, seed: number, jumps: readonly number[]): readonly JumpScore[] {
  const random = new Random(seed);
  return jumps.map((jump) => {
    let rigBlamed = 0;
    let tipsBlamed = 0;
    for (let i = 0; i < runs; i++) {
      const rig = madeRig({
        tips: 4,
        weeks: WEEKS,
        standardDeviation: 0.005,
        random: random.stream(`${jump} ${i}`),
        rig: (week) => (week >= FROM ? jump : 0),
      });
      const charts = [...driftOfRig(rig).values()];
      const [{ rigJumps: told, points }] = charts as [(typeof charts)[number]];
      if (told.some(({ at_ms }) => at_ms === points[FROM - 1]!.at_ms)) rigBlamed++;
      tipsBlamed += charts.filter((chart) =>
        chart.points.slice(FROM - 1).some(({ signals }) => signals),
      ).length;
    }
    return {
      jump,
      rigBlamedInThatWeekPercent: (100 * rigBlamed) / runs,
      tipsBlamedPercent: (100 * tipsBlamed) / (4 * runs),
    };
  });
}
