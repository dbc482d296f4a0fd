import type { Line } from './running-fill.ts';
import { lineThrough } from './running-fill.ts';
import { medianOf } from './slope.ts';
import type { Watch } from './watch.ts';

/** Two stories of a stretch in which the slope was low and now is steep again. */
export interface Interruption {
  /** Best "off" story: the water stopped here, the level stood at this, and the water came back here. */
  readonly stop_s: number;
  readonly level_kg: number;
  readonly restart_s: number;
  /** How much worse "it ran all the time, something knocked" explains the readings: sum of squares in noise units, each cut at 9. */
  readonly evidence: number;
  /** Seconds of water that are missing now against the line before. */
  readonly missing_s: number;
  /** How much worse than "off" is "it ran all the time, but a weight was taken away here": one jump between the two lines. */
  readonly stepped: number;
  /** Flow of the "ran all the time" story, from before to now, kg/s. */
  readonly commonFlow_kg_per_s: number;
}

const CUT = 9;

/**
 * Compares "one line throughout" with "line, level, line" over `from_s` … `now`, knocks counting little in both.
 * `before` is the line until `low_s`, if there is one. Null when there are too few readings.
 */
export function judgeInterruption(
  watch: Watch,
  from_s: number,
  low_s: number,
  now: number,
  before: Line | null,
): Interruption | null {
  const { times_s, masses_kg, indexAt } = watch.history;
  const first = indexAt(from_s);
  const count = times_s.length - first;
  const until_s = low_s - 0.5 * watch.window_s;
  const early = before ?? lineThrough(watch, from_s, until_s);
  const late = lineThrough(watch, now - Math.max(1.2, 5.5 * watch.period_s), now + 1e-6);
  if (early === null || late === null || count < 15) return null;
  const noise_kg = Math.max(early.residualSd_kg, 0.5 * watch.step_kg, 0.001);
  const cost = (mass_kg: number, should_kg: number): number =>
    Math.min(CUT, ((mass_kg - should_kg) / noise_kg) ** 2);
  const along = (line: Line): number[] => {
    const sums = [0];
    for (let i = 0; i < count; i++)
      sums.push((sums[i] ?? 0) + cost(masses_kg[first + i] ?? 0, line.at_kg(times_s[first + i] ?? 0)));
    return sums;
  };
  const alongEarly = along(early);
  const alongLate = along(late);
  const both = commonLine(watch, first, until_s, now);
  const ranOn = Math.min(alongEarly[count] ?? 0, both === null ? Infinity : (along(both)[count] ?? 0));

  let best: { stop: number; restart: number; level_kg: number; sum: number } | null = null;
  for (const level_kg of levelsBetween(masses_kg, indexAt(until_s), times_s.length)) {
    let stop = 0;
    let stopSum = Infinity;
    let onLevel = 0;
    for (let i = 0; i <= count; i++) {
      // Cheapest stop so far, with the level's running sum taken off, so that one pass does for all pairs.
      const sum = stopSum + onLevel + (alongLate[count] ?? 0) - (alongLate[i] ?? 0);
      if (best === null || sum < best.sum) best = { stop, restart: i, level_kg, sum };
      if ((alongEarly[i] ?? 0) - onLevel < stopSum) {
        stopSum = (alongEarly[i] ?? 0) - onLevel;
        stop = i;
      }
      if (i < count) onLevel += cost(masses_kg[first + i] ?? 0, level_kg);
    }
  }
  if (best === null) return null;
  let stepSum = Infinity;
  for (let i = 0; i <= count; i++)
    stepSum = Math.min(stepSum, (alongEarly[i] ?? 0) + (alongLate[count] ?? 0) - (alongLate[i] ?? 0));
  return {
    stepped: stepSum - best.sum,
    stop_s: times_s[first + best.stop] ?? now,
    restart_s: times_s[first + best.restart] ?? now,
    level_kg: best.level_kg,
    evidence: ranOn - best.sum,
    missing_s: (early.at_kg(now) - late.at_kg(now)) / early.flow_kg_per_s,
    commonFlow_kg_per_s: both?.flow_kg_per_s ?? early.flow_kg_per_s,
  };
}

/** Line through what lay before and what comes now, the time between left out. */
function commonLine(watch: Watch, first: number, until_s: number, now: number): Line | null {
  const { times_s, masses_kg, indexAt } = watch.history;
  const a = indexAt(until_s);
  const b = indexAt(now - Math.max(1.2, 5.5 * watch.period_s));
  const early_s = medianOf(times_s.slice(first, a));
  const late_s = medianOf(times_s.slice(b));
  const early_kg = medianOf(masses_kg.slice(first, a));
  const late_kg = medianOf(masses_kg.slice(b));
  if (early_s === null || late_s === null || early_kg === null || late_kg === null || late_s <= early_s)
    return null;
  const flow_kg_per_s = (late_kg - early_kg) / (late_s - early_s);
  const at_kg = (time_s: number): number => early_kg + flow_kg_per_s * (time_s - early_s);
  return { flow_kg_per_s, residualSd_kg: 0, residualRms_kg: 0, crooked_kg: 0, at_kg };
}

/** Where the level may have stood: medians of neighbours, each once. */
function levelsBetween(masses_kg: readonly number[], from: number, to: number): number[] {
  const levels = new Set<number>();
  for (let i = from; i + 4 < to; i += 2) {
    const level = medianOf(masses_kg.slice(i, i + 5));
    if (level !== null) levels.add(level);
  }
  return [...levels];
}
