import { invertIncreasing } from './invert-increasing.ts';
import { digamma, trigamma } from './polygamma.ts';

export interface SqueezedVariances {
  readonly variances: readonly number[];
  /** Degrees of freedom that the common value is worth; Infinity: all are one variance as far as can be seen. */
  readonly priorDegreesOfFreedom: number;
  readonly commonVariance: number;
}

/**
 * What: several variances, each estimated with few degrees of freedom, drawn towards their common value as far as they look alike.
 * Purpose: weights. 1/s² of a variance estimated with ν degrees of freedom is too large by ν/(ν − 2) on average (twice with 4), and
 *   the least squares then prefers the catches that look too good by chance.
 * Formula: the spread of ln s² beyond ψ′(ν/2) tells the prior's ν₀ through ψ′(ν₀/2); s̃² = (ν₀s₀² + νs²)/(ν₀ + ν). With no spread
 *   beyond chance ν₀ is infinite and s₀² the pooled Σνs²/Σν. "Beyond chance" is more than two standard errors of that spread.
 * Source: the empirical Bayes squeezing of Smyth (2004), Stat. Appl. Genet. Mol. Biol. 3(1):3 (recalled); the margin is ours.
 * Conditions: variances in units in which they may be one (relative ones, for flows). Fewer than three come back as they are, and
 *   so do they all when one is zero. Errors: RangeError when lengths differ.
 * @example squeezeVariances([1, 1, 1], [4, 4, 4]).variances // 1, 1, 1
 */
export function squeezeVariances(
  variances: readonly number[],
  degreesOfFreedom: readonly number[],
): SqueezedVariances {
  const n = variances.length;
  if (degreesOfFreedom.length !== n) throw new RangeError('one degrees of freedom for each variance');
  const totalDf = degreesOfFreedom.reduce((a, b) => a + b, 0);
  const commonVariance = variances.reduce((sum, s2, i) => sum + s2 * degreesOfFreedom[i]!, 0) / totalDf;
  if (n < 3 || !variances.every((s2) => s2 > 0)) {
    return { variances, priorDegreesOfFreedom: 0, commonVariance };
  }
  // Logarithms freed of what chance alone does to their mean; their variance from chance alone is ψ′(ν/2).
  const logs = variances.map((s2, i) => {
    const half = degreesOfFreedom[i]! / 2;
    return Math.log(s2) - digamma(half) + Math.log(half);
  });
  const mean = logs.reduce((a, b) => a + b, 0) / n;
  const spread = logs.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1);
  const chance = degreesOfFreedom.reduce((sum, df) => sum + trigamma(df / 2), 0) / n;
  const excess = spread - chance;
  // Standard error of a variance of n values, with the heavier tail of ln χ² allowed for.
  if (excess <= 2 * chance * Math.sqrt(3 / (n - 1))) {
    return {
      variances: variances.map(() => commonVariance),
      priorDegreesOfFreedom: Infinity,
      commonVariance,
    };
  }
  const halfPrior = inverseTrigamma(excess);
  const prior = Math.exp(mean + digamma(halfPrior) - Math.log(halfPrior));
  const priorDegreesOfFreedom = 2 * halfPrior;
  return {
    variances: variances.map((s2, i) => {
      const df = degreesOfFreedom[i]!;
      return (priorDegreesOfFreedom * prior + df * s2) / (priorDegreesOfFreedom + df);
    }),
    priorDegreesOfFreedom,
    commonVariance: prior,
  };
}

function inverseTrigamma(value: number): number {
  // ψ′ falls from infinity to 0: 1/(1 + ψ′) rises from 0 to 1.
  return invertIncreasing((x) => (x > 0 ? 1 / (1 + trigamma(x)) : 0), 1 / (1 + value), 1);
}
