import { tQuantile } from '../../base/statistics/distributions.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';

/** How a sweep was made: by what reaches the pail, or by what leaves the sprayer (its loss, or a meter). */
export type Way = 'pail' | 'sprayer' | 'meter';

/** One good catch of either sweep. */
export interface CaughtOneWay {
  readonly setting_Pa: number;
  readonly flow_m3_per_s: number;
  /** Of this catch alone: readings, jet or hose, own Type B. */
  readonly ownStandardUncertainty_m3_per_s: number;
  readonly ownDegreesOfFreedom: number;
}

export interface OneWay {
  readonly way: Way;
  readonly catches: readonly CaughtOneWay[];
  /** What all its catches share with one another and not with the other sweep, relative standard uncertainty. */
  readonly sharedRelative: number;
  /** What setting the control anew is worth; 0 for a control that clicks: both ways then have the same error. */
  readonly settingStandardUncertainty_Pa: number;
}

export interface WayCompared {
  readonly leaves: Exclude<Way, 'pail'>;
  /** Share of the water that leaves the sprayer and does not reach the pail; negative: more arrives than leaves. */
  readonly lostShare: number;
  readonly lostShareExpanded95: number;
  readonly degreesOfFreedom: number;
  readonly verdict: 'leak-or-mist' | 'none-seen' | 'more-arrives';
  /** Settings that both caught, ascending. */
  readonly settings: readonly {
    readonly setting_Pa: number;
    readonly leaves_m3_per_s: number;
    readonly reaches_m3_per_s: number;
  }[];
}

const MOST_DEGREES = 1e6;

/**
 * What: water that leaves the sprayer and does not reach the pail, as a share with its ±, from the settings both sweeps caught.
 * Formula: at each setting d = ln(mean leaving) − ln(mean reaching); variance of a mean of n catches = max(own² + dial², pooled
 *   between-catch²)/n, relative, the pooled one over all settings of both sweeps (measurement rule 11.6); the d are averaged with the
 *   inverse of their variances; share = 1 − e^(−d). dial = u(setting)/(2·setting), since flow goes as √pressure.
 *   What either sweep shares is added once (rule 11.2). Expanded with t; degrees of freedom of the
 *   pooled variance where that rules, else Welch-Satterthwaite of the catches' own.
 * Source: JCGM 100:2008 5.1, G.4.1; the pooled variance: NIST/SEMATECH e-Handbook 7.3.1.
 * Conditions: flows above zero. Refused `sweeps-not-alike` without a common setting, or when both or neither reach the pail.
 */
export function compareWays(a: OneWay, b: OneWay): Outcome<WayCompared> {
  const [left, pail] = a.way === 'pail' ? [b, a] : [a, b];
  if (pail.way !== 'pail' || left.way === 'pail') return refused('sweeps-not-alike');
  const common = [...new Set(left.catches.map((c) => c.setting_Pa))]
    .filter((setting_Pa) => pail.catches.some((c) => c.setting_Pa === setting_Pa))
    .sort((x, y) => x - y);
  if (common.length === 0) return refused('sweeps-not-alike');
  const groups = common.map((setting_Pa) => ({
    setting_Pa,
    left: left.catches.filter((c) => c.setting_Pa === setting_Pa),
    pail: pail.catches.filter((c) => c.setting_Pa === setting_Pa),
  }));
  const between = pooled(groups.flatMap((group) => [group.left, group.pail]));
  let sum = 0;
  let weights = 0;
  let fourths = 0;
  let ruledByBetween = false;
  for (const group of groups) {
    let variance = 0;
    const parts: { readonly variance: number; readonly degreesOfFreedom: number }[] = [];
    for (const [side, catches] of [[left, group.left] as const, [pail, group.pail] as const]) {
      const dial = side.settingStandardUncertainty_Pa / (2 * group.setting_Pa);
      const own = mean(catches.map((c) => (c.ownStandardUncertainty_m3_per_s / c.flow_m3_per_s) ** 2));
      const single = Math.max(own + dial ** 2, between.variance);
      if (single === between.variance && between.variance > 0) ruledByBetween = true;
      variance += single / catches.length;
      const ownDf = Math.min(...catches.map((c) => c.ownDegreesOfFreedom)) * catches.length;
      parts.push({ variance: own / catches.length, degreesOfFreedom: Math.min(MOST_DEGREES, ownDf) });
    }
    const weight = 1 / Math.max(variance, 1e-18);
    sum += weight * Math.log(meanFlow(group.left) / meanFlow(group.pail));
    weights += weight;
    for (const part of parts) fourths += (weight ** 2 * part.variance) ** 2 / part.degreesOfFreedom;
  }
  const difference = sum / weights;
  const own = Math.sqrt(1 / weights);
  const ownDf = fourths > 0 ? Math.min(MOST_DEGREES, weights ** 2 / fourths) : MOST_DEGREES;
  const df = ruledByBetween ? between.degreesOfFreedom : ownDf;
  const shared = Math.hypot(left.sharedRelative, pail.sharedRelative);
  const u = Math.hypot(own, shared);
  // The shared part is known; it takes nothing from the degrees of freedom.
  const effective = Math.min(MOST_DEGREES, own > 0 ? df * (u / own) ** 4 : MOST_DEGREES);
  const reaching = Math.exp(-difference);
  const lostShare = 1 - reaching;
  const lostShareExpanded95 = reaching * tQuantile(0.975, effective) * u;
  return ok({
    leaves: left.way,
    lostShare,
    lostShareExpanded95,
    degreesOfFreedom: effective,
    verdict:
      lostShare > lostShareExpanded95
        ? 'leak-or-mist'
        : lostShare < -lostShareExpanded95
          ? 'more-arrives'
          : 'none-seen',
    settings: groups.map((group) => ({
      setting_Pa: group.setting_Pa,
      leaves_m3_per_s: meanFlow(group.left),
      reaches_m3_per_s: meanFlow(group.pail),
    })),
  });
}

/** Relative variance of one catch about its setting's mean, over all groups. */
function pooled(groups: readonly (readonly CaughtOneWay[])[]) {
  let squares = 0;
  let degreesOfFreedom = 0;
  for (const group of groups) {
    const centre = meanFlow(group);
    squares += group.reduce((sum, c) => sum + (c.flow_m3_per_s / centre - 1) ** 2, 0);
    degreesOfFreedom += group.length - 1;
  }
  return { variance: degreesOfFreedom > 0 ? squares / degreesOfFreedom : 0, degreesOfFreedom };
}

function meanFlow(catches: readonly CaughtOneWay[]): number {
  return mean(catches.map((c) => c.flow_m3_per_s));
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
