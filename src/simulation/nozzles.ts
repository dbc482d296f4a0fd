import { Random } from './random.ts';

/** One of several nozzles: the tips of a comparison (0 is the bench's own tip), or the positions of a boom from 0. */
export interface NozzleOf {
  readonly of: 'tips' | 'boom';
  readonly index: number;
}

/** Two tips that look alike differ by so much, either way. Invented, as all here. */
const TIPS_DIFFER_BY = [0.01, 0.04] as const;
/** Tips of one boom: relative standard deviation, one worn, one partly blocked. */
const BOOM_SPREAD = 0.012;
const WORN = [0.09, 0.15] as const;
const BLOCKED = [0.12, 0.25] as const;

/**
 * Flow of a nozzle over that of the bench's own tip at the same pressure. The first of either is the bench's own tip; of a boom the second
 * and third are one worn and one partly blocked. Same seed, same nozzles.
 */
export function nozzleShare({ of, index }: NozzleOf, seed: number): number {
  if (index === 0) return 1;
  const draw = new Random(seed).stream(`nozzle ${of}`);
  // A third that is the first one's twin: the question of a bag of tips is which are really different.
  if (of === 'tips' && index === 2) return 1 + 0.001 * draw.stream('twin').normal();
  if (of === 'tips' && index > 2) return nozzleShare({ of, index: 1 }, seed + index);
  if (of === 'tips') return 1 + draw.within(TIPS_DIFFER_BY) * (draw.chance(0.5) ? 1 : -1);
  const worn = draw.chance(0.5) ? 1 : 2;
  const one = draw.stream(String(index));
  if (index === worn) return 1 + one.within(WORN);
  if (index === 3 - worn) return 1 - one.within(BLOCKED);
  return 1 + BOOM_SPREAD * one.normal();
}
