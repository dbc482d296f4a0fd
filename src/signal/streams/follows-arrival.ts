import { median } from '../../base/statistics/median.ts';

/** Windows as long as a short catch. */
const WINDOW_S = 20;
const MIN_READINGS = 40;
const REJECT_SIGMAS = 3;
/**
 * Slopes of what is left, in their own standard errors: their mean square over n windows is 1 if all is well, give or take
 * √(2/n), and about 2 for a clock as bad as arrival. The margin keeps chance from throwing a good clock away.
 */
const MARGIN = 5;
/** The worst of them. */
const WORST_LIMIT = 6;

/**
 * Does a rebuilt clock run at the rate at which readings arrive, window by window? What arrival differs by has to be
 * scatter: a slope in it beyond its own error is a misnumbered reading or a clock not followed, and would go straight
 * into a flow. True where there is too little to tell.
 *
 * `scale_s`: MAD-sigma of (arrival - time); `from`, `to`: the readings looked at.
 */
export function followsArrival(
  arrival_s: Float64Array,
  time_s: Float64Array,
  from: number,
  to: number,
  period_s: number,
  scale_s: number,
): boolean {
  const size = Math.max(MIN_READINGS, Math.round(WINDOW_S / period_s));
  let squares = 0;
  let windows = 0;
  for (let start = from; start + size <= to; start += size) {
    const z = slopeInErrors(arrival_s, time_s, start, start + size, scale_s);
    if (Math.abs(z) > WORST_LIMIT) return false;
    squares += z * z;
    windows += 1;
  }
  return windows === 0 || squares / windows <= 1 + MARGIN / Math.sqrt(windows);
}

function slopeInErrors(
  arrival_s: Float64Array,
  time_s: Float64Array,
  from: number,
  to: number,
  scale_s: number,
): number {
  const late = Float64Array.from({ length: to - from }, (_, i) => arrival_s[from + i]! - time_s[from + i]!);
  const middle = median(late);
  const limit = REJECT_SIGMAS * Math.max(scale_s, 1e-4);
  let n = 0;
  let sumX = 0;
  let sumY = 0;
  const isKept = (i: number) => Math.abs(late[i]! - middle) <= limit;
  for (let i = 0; i < late.length; i += 1) {
    if (!isKept(i)) continue;
    n += 1;
    sumX += time_s[from + i]!;
    sumY += late[i]!;
  }
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  for (let i = 0; i < late.length; i += 1) {
    if (!isKept(i)) continue;
    const x = time_s[from + i]! - sumX / n;
    const y = late[i]! - sumY / n;
    sxx += x * x;
    sxy += x * y;
    syy += y * y;
  }
  if (n < 3 || sxx === 0) return 0;
  const slope = sxy / sxx;
  const variance = Math.max((syy - slope * sxy) / (n - 2), 1e-4 ** 2 / 12);
  return slope / Math.sqrt(variance / sxx);
}
