import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { lowFrequencyVariance } from '../flow/low-frequency-variance.ts';
import { BACK_TRIM_s, firstAtOrAfter, FRONT_TRIM_s } from '../flow/steady-window.ts';

/** Pressure that a sensor read during a catch; what all catches share (the sensor's own offset and gain) is not in it. */
export interface CatchPressure {
  readonly mean_Pa: number;
  /** Standard deviation about a straight line: noise of the sensor and wander of the pump. */
  readonly wander_Pa: number;
  /** Change over the window by the line through it: a can that empties. */
  readonly change_Pa: number;
  /** Of the mean, from the slow waves of the wander; null where the readings are too few to tell. */
  readonly standardUncertainty_Pa: number | null;
  readonly degreesOfFreedom: number | null;
}

/**
 * What: mean and wander of the pressure in the steady part of a catch.
 * Formula: u(mean) = √(S0/n), S0 the low-frequency variance about a line (`low-frequency-variance.ts`): a pump that hunts slowly counts
 *   in full, a steady fall not at all, for the flow falls with it and mean belongs to mean.
 * Columns of the whole capture, times ascending, NaN where nothing was read. Null without a reading.
 */
export function catchPressure(
  { time_s, pressure_Pa }: { readonly time_s: Float64Array; readonly pressure_Pa: Float64Array },
  start_s: number,
  stop_s: number,
): CatchPressure | null {
  const at: number[] = [];
  const read: number[] = [];
  const to_s = stop_s - BACK_TRIM_s;
  for (let i = firstAtOrAfter(time_s, time_s.length, start_s + FRONT_TRIM_s); i < time_s.length; i++) {
    if (time_s[i]! > to_s) break;
    if (!Number.isFinite(pressure_Pa[i]!)) continue;
    at.push(time_s[i]!);
    read.push(pressure_Pa[i]!);
  }
  const n = at.length;
  if (n === 0) return null;
  const line = ordinaryLine(at, read);
  const slow = line === null ? null : lowFrequencyVariance(at, line.residuals);
  return {
    mean_Pa: line?.meanY ?? read[0]!,
    wander_Pa: line?.residualStandardDeviation ?? 0,
    change_Pa: line === null ? 0 : line.slope * (at[n - 1]! - at[0]!),
    standardUncertainty_Pa: slow === null ? null : Math.sqrt(slow.variance / n),
    degreesOfFreedom: slow?.degreesOfFreedom ?? null,
  };
}
