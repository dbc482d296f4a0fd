import type { Warning } from '../../base/because.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { doubtOfCatch, meanFlow, type SetCatch } from './doubt-of-catch.ts';
import { halfWidth, ratioOf, type OneDoubt } from './ratio.ts';
import type { Ratio, SetCompared } from './tips-compared.ts';

export type { SetCatch } from './doubt-of-catch.ts';

export interface SetInput {
  /** In the order they were caught; labels differ. */
  readonly members: readonly { readonly label: string; readonly catches: readonly SetCatch[] }[];
  /** The first member again, at the end. */
  readonly repeat?: readonly SetCatch[];
  /** Relative limit of the chosen habit: 0.1 = ten per cent. */
  readonly habitLimit: number;
  /** The scale was moved for each member: what its standing anew may do, relative standard uncertainty; repeats there can't show it. */
  readonly placedAnewRelative?: number;
  /** What all catches share (scale, water): in the flows' ±, not in the ratios. */
  readonly sharedRelative?: number;
}

/** Mean of a member's catches: ln, and the doubt of that mean. */
interface Mean {
  readonly flow_m3_per_s: number;
  readonly doubt: OneDoubt;
}

/**
 * What: several tips of a set, each against the mean of all, and how even the set is.
 * Formula: mean flow of each; variance of one catch pooled over all members (relative), never narrower than what the catches claim;
 *   uᵢ² = catch²/nᵢ + placed². Against the mean m = Σq/M, in which the member has a share wᵢ = qᵢ/Σq itself:
 *   u² = (1 − wᵢ)²·uᵢ² + Σ_{j≠i} wⱼ²·uⱼ² (JCGM 100:2008 5.1.2). Coefficient of variation = s(q)/m with divisor M − 1; that of the tips
 *   themselves has the mean of the uᵢ² taken off. Where the first member's repeat shows that the rig moved, what it moved by is put on each
 *   as a rectangle as wide (÷√12).
 * Ties: neighbours in the order of flow whose difference is inside its own 95 % interval are one group, so its ends may differ. Each
 *   statement is made at 95 % by itself, nothing is corrected for their number.
 * Refused `one-tip-only` under two members, `too-few-catches` for one without a catch or where nothing says what a catch is worth,
 *   `flow-not-positive`. Errors: RangeError for labels that repeat or a limit that is not positive.
 */
export function compareSet(input: SetInput): Outcome<SetCompared> {
  const { members, habitLimit } = input;
  if (!(habitLimit > 0)) throw new RangeError(`a limit above zero is needed, not ${habitLimit}`);
  if (new Set(members.map((one) => one.label)).size !== members.length) {
    throw new RangeError('labels of a set must differ');
  }
  if (members.length < 2) return refused('one-tip-only');
  if (members.some((one) => one.catches.length === 0)) return refused('too-few-catches');
  const all = [...members.map((one) => one.catches), ...(input.repeat?.length ? [input.repeat] : [])];
  if (!all.flat().every((one) => one.flow_m3_per_s > 0)) return refused('flow-not-positive');
  const oneCatch = doubtOfCatch(all);
  if (oneCatch === null) return refused('too-few-catches');

  const placed = { standardUncertainty: input.placedAnewRelative ?? 0, degreesOfFreedom: Infinity };
  const meanOf = (catches: readonly SetCatch[], moved: number): Mean => ({
    flow_m3_per_s: meanFlow(catches),
    doubt: combineUncertainty([
      {
        standardUncertainty: oneCatch.standardUncertainty / Math.sqrt(catches.length),
        degreesOfFreedom: oneCatch.degreesOfFreedom,
      },
      placed,
      { standardUncertainty: moved / Math.sqrt(12), degreesOfFreedom: Infinity },
    ]),
  });
  const first = meanOf(members[0]!.catches, 0);
  const repeat = input.repeat?.length ? ratioOfMeans(meanOf(input.repeat, 0), first) : null;
  const moved = repeat?.verdict === 'different' ? Math.abs(Math.log(repeat.ratio)) : 0;
  const means = members.map((one) => meanOf(one.catches, moved));
  const total = means.reduce((sum, one) => sum + one.flow_m3_per_s, 0);
  const mean = total / means.length;

  const spread = Math.sqrt(
    means.reduce((sum, one) => sum + (one.flow_m3_per_s / mean - 1) ** 2, 0) / (means.length - 1),
  );
  const noise = average(means.map((one) => one.doubt.standardUncertainty ** 2));
  const warnings: Warning[] = moved > 0 ? ['rig-moved-meanwhile'] : [];
  return ok({
    members: members.map(({ label, catches }, i) => {
      const { flow_m3_per_s, doubt } = means[i]!;
      const againstMean = againstMeanOf(means, i, total);
      const own = halfWidth(doubt.standardUncertainty, doubt.degreesOfFreedom);
      return {
        label,
        catches: catches.length,
        flow_m3_per_s,
        expandedUncertainty95_m3_per_s:
          flow_m3_per_s * Math.hypot(own, halfWidth(input.sharedRelative ?? 0, Infinity)),
        againstMean,
        habit: habitOf(againstMean, habitLimit),
      };
    }),
    mean_m3_per_s: mean,
    coefficientOfVariation: spread,
    coefficientOfVariationOfTips: Math.sqrt(Math.max(0, spread ** 2 - noise)),
    habitLimit,
    ties: ties(members.map((one, i) => ({ label: one.label, mean: means[i]! }))),
    repeat,
    warnings,
  });
}

function againstMeanOf(means: readonly Mean[], i: number, total: number): Ratio {
  const parts = means.map((one, j) => {
    const share = one.flow_m3_per_s / total;
    return {
      ...one.doubt,
      standardUncertainty: (j === i ? 1 - share : share) * one.doubt.standardUncertainty,
    };
  });
  return ratioOf(
    Math.log((means[i]!.flow_m3_per_s * means.length) / total),
    Math.sqrt(parts.reduce((sum, part) => sum + part.standardUncertainty ** 2, 0)),
    fewest(means),
  );
}

function ratioOfMeans(a: Mean, b: Mean): Ratio {
  return ratioOf(
    Math.log(a.flow_m3_per_s / b.flow_m3_per_s),
    Math.hypot(a.doubt.standardUncertainty, b.doubt.standardUncertainty),
    fewest([a, b]),
  );
}

/** One pooled variance stands behind all means: its degrees of freedom count once, not once for each. */
function fewest(means: readonly Mean[]): number {
  return Math.min(...means.map((one) => one.doubt.degreesOfFreedom));
}

/** Both ends of the interval, which is symmetric as a factor, against the limit. */
function habitOf({ ratio, expandedUncertainty95 }: Ratio, limit: number) {
  const high = ratio + expandedUncertainty95;
  const low = (ratio * ratio) / high;
  if (low >= 1 - limit && high <= 1 + limit) return 'within';
  return low > 1 + limit || high < 1 - limit ? 'outside' : 'cannot-tell';
}

function ties(
  members: readonly { readonly label: string; readonly mean: Mean }[],
): readonly (readonly string[])[] {
  const ordered = [...members].sort((a, b) => b.mean.flow_m3_per_s - a.mean.flow_m3_per_s);
  const groups: string[][] = [];
  ordered.forEach((one, i) => {
    const before = ordered[i - 1];
    const alike = before !== undefined && ratioOfMeans(before.mean, one.mean).verdict === 'none-seen';
    if (alike) groups.at(-1)!.push(one.label);
    else groups.push([one.label]);
  });
  return groups.filter((group) => group.length > 1);
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
