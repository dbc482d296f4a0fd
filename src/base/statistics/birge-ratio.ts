/**
 * What: how much more several results scatter than their stated uncertainties allow, never below 1.
 * Purpose: widening the ± of the mean of repeat catches: within-catch bars miss what changes between catches.
 * Formula: max(1, √(χ²/(n − 1))), χ² = Σ ((x − weighted mean)/u)².
 * Source: R. T. Birge, Phys. Rev. 40 (1932) 207 (recalled, not looked up).
 * Conditions: u holds own parts only; a shared part would hide the scatter.
 * Returns null for fewer than two results. Errors: RangeError when lengths differ or a u is not positive.
 * @example birgeRatio([0, 4], [1, 1]) // 2.82843
 */
export function birgeRatio(values: ArrayLike<number>, standardUncertainty: ArrayLike<number>): number | null {
  const n = values.length;
  if (standardUncertainty.length !== n) throw new RangeError('values and u must have one length');
  if (n < 2) return null;
  let sw = 0;
  let swx = 0;
  const first = values[0]!;
  for (let i = 0; i < n; i++) {
    const u = standardUncertainty[i]!;
    if (!(u > 0)) throw new RangeError(`a positive uncertainty is needed, not ${u}`);
    sw += 1 / (u * u);
    swx += (values[i]! - first) / (u * u);
  }
  let chiSquare = 0;
  for (let i = 0; i < n; i++) {
    chiSquare += ((values[i]! - first - swx / sw) / standardUncertainty[i]!) ** 2;
  }
  return Math.max(1, Math.sqrt(chiSquare / (n - 1)));
}
