/** Mass at the middle of successive strokes, averaged over each. */
export interface StrokeMeans {
  readonly time_s: readonly number[];
  readonly mass_kg: readonly number[];
}

export interface StrokeDrift {
  readonly flow_kg_per_s: number;
  readonly standardUncertainty_kg_per_s: number;
  readonly degreesOfFreedom: number;
  readonly strokes: number;
  /** Standard deviation of one stroke's water, relative to its mean; 0 when none was to be seen. */
  readonly strokeScatter: number;
  /** Noise of one stroke's mean, kg. */
  readonly noise_kg: number;
}

/** Shares of the strokes' own scatter in the noise that are tried: variance of a stroke's water over variance of a stroke's mean. */
const RATIOS = [0, 0.003, 0.01, 0.03, 0.1, 0.2, 0.4, 0.8, 1.6, 3, 6, 12, 30, 100];
/** One degree of freedom for so many strokes: the share is found from the same few strokes. */
const STROKES_PER_DEGREE = 3;

/**
 * What: the flow at a rhythm, from the masses at successive strokes.
 * Purpose: no stroke gives quite the same water, and that adds up in the pail: a random walk about the line, beside the noise of the
 *   scale. Least squares takes it for noise that forgets, and its ± is then too small.
 * Formula: m_i = a + Q·t_i + w_i + e_i, w a random walk with steps of variance σv², e white with σe². For each ratio σv²/σe² generalised
 *   least squares with covariance σe²(I + ratio·min(i, j)) gives Q, u(Q) and the restricted likelihood; the estimates are averaged over
 *   the ratios with that likelihood as the weight (equal weights before), and the spread of Q between them is added to the variance.
 * Source: generalised least squares and restricted likelihood, textbook statistics (recalled, not looked up).
 * Degrees of freedom: strokes/3 (measured on simulation: see the benchmark `rigs`). Null with fewer than six strokes.
 * @example strokeDrift({ time_s: [0, 2, 4, 6, 8, 10], mass_kg: [0, 1, 2, 3, 4, 5] })?.flow_kg_per_s // 0.5
 */
export function strokeDrift({ time_s, mass_kg }: StrokeMeans): StrokeDrift | null {
  const n = time_s.length;
  if (n < 6) return null;
  const level_kg = mass_kg[0]!;
  const middle_s = time_s.reduce((sum, t) => sum + t, 0) / n;
  const fits = RATIOS.flatMap((ratio) => {
    const factor = choleskyOfWalk(n, ratio);
    const one = solved(
      factor,
      time_s.map(() => 1),
    );
    const t = solved(
      factor,
      time_s.map((at_s) => at_s - middle_s),
    );
    const m = solved(
      factor,
      mass_kg.map((mass) => mass - level_kg),
    );
    const [oo, ot, tt, om, tm, mm] = [
      dot(one, one),
      dot(one, t),
      dot(t, t),
      dot(one, m),
      dot(t, m),
      dot(m, m),
    ];
    const det = oo * tt - ot * ot;
    if (!(det > 0)) return [];
    const slope = (oo * tm - ot * om) / det;
    const start = (tt * om - ot * tm) / det;
    const rest = Math.max(0, mm - slope * tm - start * om);
    const variance = rest / (n - 2);
    const logDeterminant = 2 * factor.reduce((sum, row, i) => sum + Math.log(row[i]!), 0);
    const logLikelihood =
      -0.5 * ((n - 2) * Math.log(Math.max(variance, 1e-300)) + logDeterminant + Math.log(det));
    return [{ slope, variance, slopeVariance: (variance * oo) / det, ratio, logLikelihood }];
  });
  if (fits.length === 0) return null;
  const best = Math.max(...fits.map((fit) => fit.logLikelihood));
  const weights = fits.map((fit) => Math.exp(fit.logLikelihood - best));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const averaged = (of: (fit: (typeof fits)[number]) => number): number =>
    fits.reduce((sum, fit, i) => sum + weights[i]! * of(fit), 0) / total;
  const slope = averaged((fit) => fit.slope);
  const period_s = (time_s[n - 1]! - time_s[0]!) / (n - 1);
  return {
    flow_kg_per_s: slope,
    standardUncertainty_kg_per_s: Math.sqrt(averaged((fit) => fit.slopeVariance + (fit.slope - slope) ** 2)),
    degreesOfFreedom: Math.max(3, n / STROKES_PER_DEGREE),
    strokes: n,
    strokeScatter:
      Math.sqrt(averaged((fit) => fit.variance * fit.ratio)) / Math.max(1e-12, Math.abs(slope) * period_s),
    noise_kg: Math.sqrt(averaged((fit) => fit.variance)),
  };
}

/** Lower factor of I + ratio·min(i, j), rows. */
function choleskyOfWalk(n: number, ratio: number): Float64Array[] {
  const rows: Float64Array[] = [];
  for (let i = 0; i < n; i++) {
    const row = new Float64Array(n);
    for (let j = 0; j <= i; j++) {
      let sum = (i === j ? 1 : 0) + ratio * (Math.min(i, j) + 1);
      for (let k = 0; k < j; k++) sum -= row[k]! * (j === i ? row[k]! : rows[j]![k]!);
      row[j] = i === j ? Math.sqrt(sum) : sum / rows[j]![j]!;
    }
    rows.push(row);
  }
  return rows;
}

function solved(factor: readonly Float64Array[], right: readonly number[]): Float64Array {
  const x = new Float64Array(right.length);
  for (let i = 0; i < x.length; i++) {
    let sum = right[i]!;
    for (let k = 0; k < i; k++) sum -= factor[i]![k]! * x[k]!;
    x[i] = sum / factor[i]![i]!;
  }
  return x;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
}
