import { createCatchDetector } from '../../src/signal/catches/catch-detector.ts';
import { isScenarioName, type ScenarioName } from '../../src/simulation/scenario.ts';
import { scoreEvents, type EventScore } from './events-parts/score-events.ts';
import { createSimpleThreshold } from './events-parts/simple-threshold.ts';

/** Numbers may come as text, from the command line: `npm run benchmark -- events --scenario=rough --fills=2000`. */
export interface EventsOptions {
  /** One name, or several with commas between. */
  readonly scenario?: string;
  readonly fills?: number | string;
  readonly seedBase?: number | string;
}

/** Seeds below 1000 were used in tuning. */
export const unseenSeeds = 100_000;

const round = (value: number): number => Math.round(value * 1000) / 1000;

function quantiles(values: readonly number[]): Record<string, number> | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const at = (p: number): number =>
    round(sorted[Math.min(sorted.length - 1, Math.floor(p * sorted.length))] ?? 0);
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const square = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, values.length - 1);
  return {
    median: at(0.5),
    mean: round(mean),
    sd: round(Math.sqrt(square)),
    p5: at(0.05),
    p95: at(0.95),
    most: at(1),
  };
}

export function summary(score: EventScore): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(score).map(([name, value]) => [
      name,
      Array.isArray(value) && name !== 'failures' ? quantiles(value as number[]) : (value as unknown),
    ]),
  );
}

/**
 * Scores the detector on simulated fills with seeds it was not tuned on, next to a simple one-second threshold in the same run.
 * Missed, false, split and merged fills; edge errors and latencies in seconds after the valve.
 */
export function run(options: EventsOptions = {}): Record<string, unknown>[] {
  const fills = Number(options.fills ?? 2000);
  const seedBase = Number(options.seedBase ?? unseenSeeds);
  if (!(fills > 0) || !Number.isInteger(seedBase))
    throw new Error('fills and seedBase must be whole numbers');
  return (options.scenario ?? 'typical,rough,worst').split(',').map((scenario) => {
    if (!isScenarioName(scenario)) throw new Error(`no scenario ${scenario}`);
    return scoreScenario(scenario, fills, seedBase);
  });
}

function scoreScenario(scenario: ScenarioName, fills: number, seedBase: number): Record<string, unknown> {
  const [ours, simple] = scoreEvents({ scenario, fills, seedBase }, [
    ({ scenario: { averagedReadings } }) => createCatchDetector({ averagedReadings }),
    createSimpleThreshold,
  ]);
  if (ours === undefined || simple === undefined) throw new Error('two detectors, two scores');
  const { missed, false: wrong, split, merged } = simple;
  return {
    benchmark: 'events',
    scenario,
    fills,
    seedBase,
    detector: summary(ours),
    simpleThreshold: {
      missed,
      false: wrong,
      split,
      merged,
      start_s: quantiles(simple.start_s),
      stop_s: quantiles(simple.stop_s),
    },
  };
}
