/**
 * What: the first two derivatives of ln Γ, for x above 0.
 * Purpose: mean and variance of the logarithm of an estimated variance: ln(χ²ᵥ/ν) has mean ψ(ν/2) − ln(ν/2), variance ψ′(ν/2).
 * Formula: upward recurrence to x ≥ 8, then the asymptotic series. Source: Abramowitz & Stegun 6.3.5, 6.3.18, 6.4.6, 6.4.12 (recalled).
 * Errors: RangeError unless x is above 0.
 * @example digamma(1) // -0.5772157 (−Euler's constant); trigamma(1) // 1.644934 (π²/6)
 */
export function digamma(x: number): number {
  let sum = 0;
  let z = positive(x);
  for (; z < 8; z++) sum -= 1 / z;
  const w = 1 / (z * z);
  return (
    sum + Math.log(z) - 1 / (2 * z) - w * (1 / 12 - w * (1 / 120 - w * (1 / 252 - w * (1 / 240 - w / 132))))
  );
}

export function trigamma(x: number): number {
  let sum = 0;
  let z = positive(x);
  for (; z < 8; z++) sum += 1 / (z * z);
  const w = 1 / (z * z);
  return sum + 1 / z + w / 2 + (w / z) * (1 / 6 - w * (1 / 30 - w * (1 / 42 - w * (1 / 30 - (5 * w) / 66))));
}

function positive(x: number): number {
  if (!(x > 0 && x < Infinity)) throw new RangeError(`above zero and finite is needed, not ${x}`);
  return x;
}
