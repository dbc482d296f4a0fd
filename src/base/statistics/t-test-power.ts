import { chiSquareQuantile, tCdf, tQuantile } from './distributions.ts';

/** Steps of the integral over the estimated deviation; 200 or 2,000 give the same six digits. */
const STEPS = 400;

/**
 * What: probability that a two-sided t test with `degreesOfFreedom` finds a difference of `noncentrality` standard errors.
 * Formula: the non-central t distribution as a mixture: with x = s/σ of density ∝ x^(ν−1)·e^(−νx²/2), the power is the mean over x of
 *   Φ(δ − t·x) + Φ(−δ − t·x), t = t(1 − α/2; ν). Simpson's rule over x between the 1e-9 quantiles; the density's constant by the same rule.
 * Source: definition of the non-central t, Z + δ over √(χ²/ν); JCGM 101 has no part in it.
 * Errors: RangeError outside the domain of `tQuantile`.
 * @example tTestPower(0, 6) // 0.05
 */
export function tTestPower(noncentrality: number, degreesOfFreedom: number, significance = 0.05): number {
  const t = tQuantile(1 - significance / 2, degreesOfFreedom);
  const seen = (x: number): number =>
    tCdf(noncentrality - t * x, Infinity) + tCdf(-noncentrality - t * x, Infinity);
  if (degreesOfFreedom === Infinity) return seen(1);
  const root = (p: number): number => Math.sqrt(chiSquareQuantile(p, degreesOfFreedom) / degreesOfFreedom);
  const low = degreesOfFreedom < 3 ? 0 : root(1e-9);
  const high = root(1 - 1e-9);
  const step = (high - low) / STEPS;
  let sum = 0;
  let weights = 0;
  for (let i = 0; i <= STEPS; i++) {
    const x = low + i * step;
    // About its largest value (near x = 1), so that many degrees of freedom do not vanish.
    const density =
      x === 0
        ? degreesOfFreedom === 1
          ? Math.exp(0.5)
          : 0
        : Math.exp((degreesOfFreedom - 1) * Math.log(x) - (degreesOfFreedom * (x * x - 1)) / 2);
    const weight = density * (i === 0 || i === STEPS ? 1 : i % 2 === 1 ? 4 : 2);
    sum += weight * seen(x);
    weights += weight;
  }
  return sum / weights;
}
