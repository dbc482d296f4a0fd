import type { enoughFills } from './enough-fills.ts';
import type { fixedFills, ScoredFill } from './fixed-fills.ts';

export type Pair = readonly [error: number, halfWidth: number];

/** The summary of a campaign of fills of the scenario's own lengths; percent of the flow that came into the pail. */
export function fixedFigures({ scored, missed, voids, jugs }: ReturnType<typeof fixedFills>) {
  const bounds = scored.filter((fill) => Number.isFinite(fill.bound));
  const errors = scored.map((fill) => fill.error);
  const bound = rms(bounds.map((fill) => fill.bound));
  const attainable = rms(bounds.map((fill) => Math.hypot(fill.bound, fill.drift)));
  const medianBound = quantile(
    bounds.map((fill) => fill.bound),
    0.5,
  );
  const ours = figures(scored.map(({ error, halfWidth }) => [error, halfWidth]));
  return {
    scored: scored.length,
    missed,
    voids,
    ...(Object.keys(jugs).length > 0 && { jugs }),
    ...ours,
    coverageWithoutJetPercent: covered(scored.map(({ error, bareHalfWidth }) => [error, bareHalfWidth])),
    within95Percent: 100 * quantile(errors.map(Math.abs), 0.95),
    biasPercent: 100 * mean(errors),
    boundRmsPercent: 100 * bound,
    boundMedianPercent: 100 * medianBound,
    rmseOverBound: rms(errors) / bound,
    rmseOverBoundWithDrift: rms(errors) / attainable,
    medianHalfWidthOverBound: (ours?.medianHalfWidthPercent ?? NaN) / 100 / (1.96 * medianBound),
    plainLeastSquares: figures(scored.map((fill) => [fill.plainError, fill.plainHalfWidth])),
    stopwatchAndPail: {
      model: 'thumb sd 0.10 s, level read to a quarter of 50 mL, marks good to 2 %',
      ...figures(scored.map((fill) => [fill.byHandError, fill.byHandHalfWidth])),
    },
    warnings: warningShares(scored),
  };
}

/** Share of the catches that carry each warning, percent. */
export function warningShares(scored: readonly ScoredFill[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const { warnings } of scored)
    for (const warning of warnings) counts[warning] = (counts[warning] ?? 0) + 1;
  return Object.fromEntries(
    Object.entries(counts).map(([warning, n]) => [warning, (100 * n) / scored.length]),
  );
}

export function enoughFigures({ stopped, missed }: ReturnType<typeof enoughFills>) {
  const reasons: Record<string, number> = {};
  for (const { because } of stopped) reasons[because] = (reasons[because] ?? 0) + 1;
  return {
    missed,
    reasons,
    medianLength_s: quantile(
      stopped.map((fill) => fill.length_s),
      0.5,
    ),
    shorterThan16_s: stopped.filter((fill) => fill.length_s < 16).length,
    atThatMoment: figures(stopped.map((fill) => [fill.runningError, fill.runningHalfWidth])),
    atThatMomentShort: figures(
      stopped.filter((f) => f.length_s < 16).map((fill) => [fill.runningError, fill.runningHalfWidth]),
    ),
    asKept: figures(stopped.map((fill) => [fill.finalError, fill.finalHalfWidth])),
  };
}

export function figures(pairs: readonly Pair[]) {
  if (pairs.length === 0) return null;
  return {
    rmsePercent: 100 * rms(pairs.map(([error]) => error)),
    coveragePercent: covered(pairs),
    medianHalfWidthPercent:
      100 *
      quantile(
        pairs.map(([, half]) => half),
        0.5,
      ),
  };
}

export function covered(pairs: readonly Pair[]): number {
  return (100 * pairs.filter(([error, half]) => Math.abs(error) <= half).length) / pairs.length;
}

export function rms(values: readonly number[]): number {
  return Math.sqrt(mean(values.map((value) => value * value)));
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

export function quantile(values: readonly number[], p: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? NaN;
}
