/** Down to here a low reading may come of a crooked stand: 6.3° is 0.6 %. Beyond it one sees that it is crooked. */
const MOST_LOST = 0.006;
const LEAST_LOST = 5e-4;

/**
 * What a scale that stands crooked loses: it feels only the part of the weight along its axis, 1 − cos(angle) is missing.
 * Source: arithmetic. @example tiltLoss(3) // 0.00137
 */
export function tiltLoss(angle_deg: number): number {
  return 2 * Math.sin((angle_deg * Math.PI) / 360) ** 2;
}

/** The angle that alone would explain a scale reading low by this share, degrees; null where a tilt is no likely reason. */
export function explainingTilt_deg(readsLow: number): number | null {
  if (!(readsLow >= LEAST_LOST && readsLow <= MOST_LOST)) return null;
  return (Math.acos(1 - readsLow) * 180) / Math.PI;
}
