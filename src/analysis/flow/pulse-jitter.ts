/** The line through edges whose jitter adds up scatters more than their ends by √(6/5) (arithmetic: integral of a random walk). */
const LINE_OVER_ENDS = Math.sqrt(6 / 5);
const FEWEST_SPACINGS = 8;

export interface PulseJitter {
  /** Of the frequency, as a share of it. */
  readonly relativeStandardUncertainty: number;
  readonly degreesOfFreedom: number;
}

/**
 * What: doubt of a frequency from the spacings of its edges, where the jitter of each spacing adds up (a rotor that slips, a flow that is not
 * even): the residuals of a line through such edges wander, and a bar that takes them for flat noise covers 65-74 % where it claims 95 %
 * (`npm run benchmark -- meter`). The spacings themselves are flat at low frequencies; unlike blades are above them and fall out.
 * Formula: d_j = spacing per pulse; S0 = mean over k = 1..ν of (√(2/N)·Σ (d_j − d̄)·cos(πk(j + ½)/N))²; u = √(S0/N)/d̄·√(6/5), ν degrees of
 * freedom. Source: cosine (equal-weighted) estimate of a long-run variance; from memory, checked by simulation.
 * Columns of one length, ascending times; null under 8 spacings. `window_s / 6`, from 3 to 6 cosines.
 */
export function pulseJitter(at_s: ArrayLike<number>, counted: ArrayLike<number>): PulseJitter | null {
  const n = at_s.length - 1;
  if (n < FEWEST_SPACINGS) return null;
  const window_s = at_s[n]! - at_s[0]!;
  const mean = window_s / (counted[n]! - counted[0]!);
  const cosines = Math.min(6, Math.max(3, Math.floor(window_s / 6)));
  let sum = 0;
  for (let k = 1; k <= cosines; k++) {
    let projected = 0;
    for (let j = 0; j < n; j++) {
      const pulses = counted[j + 1]! - counted[j]!;
      // Weighted by its pulses, so that readings which hold several are no quieter than they are.
      projected += (at_s[j + 1]! - at_s[j]! - mean * pulses) * Math.cos((Math.PI * k * (j + 0.5)) / n);
    }
    sum += (2 / n) * projected ** 2;
  }
  const ofWindow_s = Math.sqrt((sum / cosines) * n);
  return {
    relativeStandardUncertainty: (LINE_OVER_ENDS * ofWindow_s) / window_s,
    degreesOfFreedom: cosines,
  };
}
