import { huberLine } from '../../base/statistics/huber-line.ts';

/** Huber's corner, in robust standard deviations. */
export const HUBER_CORNER = 1.5;
/** Farther than this from the robust line, in robust standard deviations: a bump, not noise. */
export const FLAG_AT = 4.5;
/** A bump is wider than the readings that stick out: its neighbours go too. */
export const WIDEN_s = 0.4;
/** If more than this share would go, the line is wrong, not the readings: nothing is masked. */
export const LARGEST_SHARE = 0.4;

export interface OutlierMask {
  /** 1 = use, 0 = masked; as long as the window. */
  readonly keep: Uint8Array;
  readonly masked: number;
  /** More than 40 % would have gone, so nothing went. */
  readonly gaveUp: boolean;
}

/**
 * What: readings that a bump, a lean or a splash lifted off the line, found from a Huber line (iteratively reweighted, c = 1.5,
 * MAD scale about 0), flagged beyond 4.5 robust sd and widened by ±0.4 s.
 * Purpose: least squares afterwards is as good as any robust estimate, and keeps an honest error bar.
 * Source: measurement study, section 2.2 (3); Huber 1964 (recalled).
 * Conditions: times ascending, every mass finite.
 */
export function outlierMask(time_s: ArrayLike<number>, mass_kg: ArrayLike<number>): OutlierMask {
  const n = time_s.length;
  const everything = new Uint8Array(n).fill(1);
  const nothing: OutlierMask = { keep: everything, masked: 0, gaveUp: false };
  if (n < 4) return nothing;
  const line = huberLine(time_s, mass_kg, HUBER_CORNER);
  if (line === null) return nothing;
  const { residuals, scale: sigma } = line;
  // A record without noise leaves rounding errors only: nothing there is an outlier.
  if (sigma <= 1e-12 * (Math.abs(mass_kg[n - 1]!) + Math.abs(mass_kg[0]!))) return nothing;

  const keep = new Uint8Array(n).fill(1);
  let left = 0;
  let right = 0;
  let masked = 0;
  for (let i = 0; i < n; i++) {
    if (Math.abs(residuals[i]!) <= FLAG_AT * sigma) continue;
    while (time_s[left]! < time_s[i]! - WIDEN_s) left++;
    right = Math.max(right, left);
    while (right < n && time_s[right]! <= time_s[i]! + WIDEN_s) {
      keep[right] = 0;
      masked++;
      right++;
    }
  }
  if (masked > LARGEST_SHARE * n) return { keep: everything, masked: 0, gaveUp: true };
  return { keep, masked, gaveUp: false };
}
