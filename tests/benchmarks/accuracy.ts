import { isScenarioName } from '../../src/simulation/scenario.ts';
import { enoughFills } from './accuracy-parts/enough-fills.ts';
import { fixedFills, wandOf } from './accuracy-parts/fixed-fills.ts';

const HELD_OUT_FROM = 200_000;

/**
 * `npm run benchmark -- accuracy [--scenario=typical] [--fills=2000] [--seedBase=200000] [--targets=0.005,0.01] [--enoughFills=600]`
 * The whole pipeline on simulated fills with the detector's own edges, beside the bound and the stopwatch, and the same at the moment
 * the "enough" rule stops. Seeds from 200000 up were not used in tuning.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const scenario = options['scenario'] ?? 'typical';
  if (!isScenarioName(scenario)) throw new Error(`no scenario ${scenario}`);
  const fills = Number(options['fills'] ?? (scenario.startsWith('typical') ? 2000 : 500));
  const seedBase = Number(options['seedBase'] ?? HELD_OUT_FROM);
  const targets = (options['targets'] ?? '0.005,0.01').split(',').map(Number);
  const stoppedFills = Number(options['enoughFills'] ?? Math.min(fills, 600));
  const fixed = fixedFills(scenario, fills, seedBase);
  return {
    scenario,
    wand: wandOf(scenario),
    fills,
    seeds: `from ${seedBase}, 20 fills a session`,
    ...fixedFigures(fixed),
    whenEnough: targets
      .filter(() => stoppedFills > 0)
      .map((target) => ({
        target,
        fills: stoppedFills,
        seeds: `from ${seedBase + 1_000_000}, one fill each`,
        ...enoughFigures(enoughFills(scenario, stoppedFills, seedBase + 1_000_000, target)),
      })),
  };
}

function fixedFigures({ scored, missed, voids }: ReturnType<typeof fixedFills>) {
  const errors = scored.map((fill) => fill.error);
  const attainable = rms(scored.map((fill) => Math.hypot(fill.bound, fill.drift)));
  return {
    scored: scored.length,
    missed,
    voids,
    rmsePercent: 100 * rms(errors),
    within95Percent: 100 * quantile(errors.map(Math.abs), 0.95),
    biasPercent: 100 * mean(errors),
    boundMedianPercent:
      100 *
      quantile(
        scored.map((fill) => fill.bound),
        0.5,
      ),
    rmseOverBoundWithDrift: rms(errors) / attainable,
    coveragePercent: covered(scored.map(({ error, halfWidth }) => [error, halfWidth])),
    medianHalfWidthPercent:
      100 *
      quantile(
        scored.map((fill) => fill.halfWidth),
        0.5,
      ),
    stopwatchAndPail: {
      model: 'thumb sd 0.10 s, level read to a quarter of 50 mL, marks good to 2 %',
      rmsePercent: 100 * rms(scored.map((fill) => fill.byHandError)),
      coveragePercent: covered(scored.map((fill) => [fill.byHandError, fill.byHandHalfWidth])),
      medianHalfWidthPercent:
        100 *
        quantile(
          scored.map((fill) => fill.byHandHalfWidth),
          0.5,
        ),
    },
  };
}

function enoughFigures({ stopped, missed }: ReturnType<typeof enoughFills>) {
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

function figures(pairs: readonly (readonly [number, number])[]) {
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

function covered(pairs: readonly (readonly [number, number])[]): number {
  return (100 * pairs.filter(([error, half]) => Math.abs(error) <= half).length) / pairs.length;
}

function rms(values: readonly number[]): number {
  return Math.sqrt(mean(values.map((value) => value * value)));
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function quantile(values: readonly number[], p: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? NaN;
}
