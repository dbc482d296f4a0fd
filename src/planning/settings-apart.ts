/**
 * Neighbours whose flows differ by less than this share (their pressures by 8 %) can't be told apart for sure by the slope of the mass
 * in one pour: benchmark `plateaus`. The same is asked of settings that a pressure sensor has to tell apart.
 */
export const LEAST_FLOW_STEP = 0.04;

/** The first two settings in a row whose flows are too alike (by the square root of pressure); null when all can be told apart. */
export function tooClose(order_Pa: readonly number[]): readonly [number, number] | null {
  for (let i = 1; i < order_Pa.length; i += 1) {
    const [low, high] = [order_Pa[i - 1]!, order_Pa[i]!].sort((a, b) => a - b) as [number, number];
    if (high > low && Math.sqrt(high / low) - 1 < LEAST_FLOW_STEP) return [low, high];
  }
  return null;
}
