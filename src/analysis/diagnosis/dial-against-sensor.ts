import { normalQuantile, tQuantile } from '../../base/statistics/distributions.ts';
import type { SettingProtocol } from '../curve/curve-point.ts';
import type { Diagnosis, DialAgainstSensor } from './diagnosis.ts';
import { LEAST_SETTINGS, USUAL_CATCHES, USUAL_GATE } from './gate.ts';

/** One catch: what the dial was set to, and what a sensor read while the water ran. */
export interface SetAndRead {
  readonly setting_Pa: number;
  readonly pressure_Pa: number;
}

export interface DialQuestion {
  readonly catches: readonly SetAndRead[];
  readonly protocol: SettingProtocol;
  /** Of one setting of the dial. */
  readonly dialStandardUncertainty_Pa: number;
  /** Of the sensor: what all its readings share. */
  readonly sensorStandardUncertainty_Pa: number;
}

/** Settings that the pump follows, to see a line that the others leave. */
const LEAST_BELOW = 3;
const DIFFERS = normalQuantile(0.995);

interface Point {
  readonly set: number;
  readonly read: number;
  readonly u: number;
}

/**
 * What: what a sensor says of dial and pump: does the pressure follow the dial up to a ceiling and no further, and does the dial read
 *   high or low? The flow can tell neither where it is held against what the sensor read.
 * Method: pressure read over setting: a line (the dial's offset and gain free, so that a dial that is off is no ceiling) against a line up
 *   to a setting and one pressure above it; shown where AICc gains the gate of the findings. Its doubts are the dial's as stated, or the
 *   scatter about the better of the two where that is larger. The mean difference, dial less sensor, is over the settings that follow.
 * Null under five settings, or where the dial was set to one pressure.
 */
export function dialAgainstSensor(question: DialQuestion): DialAgainstSensor | null {
  const points = pointsOf(question);
  const levels = [...new Set(points.map(({ set }) => set))].sort((a, b) => a - b);
  if (levels.length < LEAST_SETTINGS) return null;
  const line = deviance(points);
  let best: { readonly first: number; readonly deviance: number } | null = null;
  for (let place = LEAST_BELOW; place < levels.length; place++) {
    const capped = ceilingAt(points, levels[place]!);
    if (capped !== null && (best === null || capped < best.deviance))
      best = { first: levels[place]!, deviance: capped };
  }
  const n = points.length;
  const scatter = best === null ? 1 : Math.max(1, best.deviance / Math.max(1, n - 3));
  const price = penalty(3, n) - penalty(2, n);
  const gain = best === null ? 0 : (line - best.deviance) / scatter - price;
  const shown = best !== null && gain >= USUAL_GATE ? best : null;
  const follow = points.filter(({ set }) => shown === null || set < shown.first);
  const above = points.filter(({ set }) => shown !== null && set >= shown.first);
  const sensor = question.sensorStandardUncertainty_Pa;
  const t = tQuantile(0.975, Math.max(1, n - 3));
  const interval = (some: readonly Point[], value: (point: Point) => number) => {
    const weights = some.map(({ u }) => 1 / u ** 2);
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const mean = some.reduce((sum, point, i) => sum + weights[i]! * value(point), 0) / total;
    // Scatter about the mean counts where it is more than stated: a dial wrong in proportion differs from setting to setting.
    const seen = some.reduce((sum, point, i) => sum + weights[i]! * (value(point) - mean) ** 2, 0);
    const factor = Math.max(1, seen / Math.max(1, some.length - 1));
    return { value_Pa: mean, standardUncertainty_Pa: Math.hypot(Math.sqrt(factor / total), sensor) };
  };
  const difference = interval(follow, ({ set, read }) => set - read);
  const differs = Math.abs(difference.value_Pa) > DIFFERS * difference.standardUncertainty_Pa;
  const ceiling = shown === null ? null : interval(above, ({ read }) => read);
  return {
    dial: !differs ? 'agrees' : difference.value_Pa > 0 ? 'reads-high' : 'reads-low',
    difference_Pa: difference.value_Pa,
    differenceExpandedUncertainty95_Pa: t * difference.standardUncertainty_Pa,
    ceiling:
      ceiling === null || shown === null
        ? null
        : {
            pressure_Pa: ceiling.value_Pa,
            expandedUncertainty95_Pa: t * ceiling.standardUncertainty_Pa,
            from_Pa: shown.first,
            gain,
          },
  };
}

/**
 * The finding with what the sensor says of the dial beside it. A pump that follows no further is the finding where the flow, held against
 * the pressure that was there, shows no fault of its own; else that stands, and the ceiling is told beside it.
 */
export function withDial(
  diagnosis: Diagnosis,
  dial: DialAgainstSensor | null,
  earlierFinding: string | null,
  pressures_Pa: readonly number[],
): Diagnosis {
  if (dial === null) return diagnosis;
  const { finding, reference } = diagnosis;
  const { ceiling } = dial;
  if (ceiling === null || finding.cause !== 'no fault shown' || !finding.fits)
    return { ...diagnosis, dialAgainstSensor: dial };
  const { aicc: values } = finding.evidence;
  const flowAt = (pressure_Pa: number): number =>
    reference.nozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(pressure_Pa);
  const foundTwice = earlierFinding === 'pump-limited';
  return {
    ...diagnosis,
    dialAgainstSensor: dial,
    finding: {
      cause: 'pump-limited',
      orElse: null,
      fits: true,
      evidence: {
        aicc: { ...values, 'pump-limited': values['no fault shown'] - ceiling.gain },
        gain: ceiling.gain,
      },
    },
    said: 'pump-limited',
    orElse: null,
    size: {
      of: 'pump-pressure_Pa',
      value: ceiling.pressure_Pa,
      expandedUncertainty95: ceiling.expandedUncertainty95_Pa,
    },
    modelFlow_m3_per_s: pressures_Pa.map(flowAt),
    marks: [
      {
        kind: 'from-here-up',
        pressure_Pa: ceiling.pressure_Pa,
        expectedFlow_m3_per_s: flowAt(ceiling.pressure_Pa),
        flow_m3_per_s: flowAt(ceiling.pressure_Pa),
      },
    ],
    settledBy: [
      ...new Set([
        'sag-test' as const,
        ...(foundTwice ? [] : (['second-sweep'] as const)),
        ...diagnosis.settledBy,
      ]),
    ],
    standing: foundTwice ? 'found-twice' : 'look-again',
  };
}

/** Of `p` numbers, as the gate of the findings has it (`aicc`). */
function penalty(p: number, points: number): number {
  return 2 * p + (2 * p * (p + 1)) / (Math.max(USUAL_CATCHES, points) - p - 1);
}

/** A dial that is set anew errs each time; one that is not, once for each setting. */
function pointsOf({ catches, protocol, dialStandardUncertainty_Pa: u }: DialQuestion): Point[] {
  if (protocol === 're-set')
    return catches.map(({ setting_Pa, pressure_Pa }) => ({ set: setting_Pa, read: pressure_Pa, u }));
  const bySetting = new Map<number, number[]>();
  for (const { setting_Pa, pressure_Pa } of catches)
    bySetting.set(setting_Pa, [...(bySetting.get(setting_Pa) ?? []), pressure_Pa]);
  return [...bySetting].map(([set, read]) => ({
    set,
    read: read.reduce((sum, one) => sum + one, 0) / read.length,
    u,
  }));
}

/** χ² about the line through them. */
function deviance(points: readonly Point[]): number {
  const { at } = lineThrough(points);
  return points.reduce((sum, { set, read, u }) => sum + ((read - at(set)) / u) ** 2, 0);
}

/** χ² of a line below a setting and one pressure from it up; null where that is no ceiling. */
function ceilingAt(points: readonly Point[], first: number): number | null {
  const below = points.filter(({ set }) => set < first);
  const above = points.filter(({ set }) => set >= first);
  const level = above.reduce((sum, { read }) => sum + read, 0) / above.length;
  const { at, slope } = lineThrough(below);
  const last = Math.max(...below.map(({ set }) => set));
  // Under the line where it begins, and not under what was reached before.
  if (!(slope > 0 && level < at(first) && level >= at((last + Math.min(...below.map(({ set }) => set))) / 2)))
    return null;
  const flat = above.reduce((sum, { read, u }) => sum + ((read - level) / u) ** 2, 0);
  return deviance(below) + flat;
}

function lineThrough(points: readonly Point[]) {
  const n = points.length;
  const x = points.reduce((sum, { set }) => sum + set, 0) / n;
  const y = points.reduce((sum, { read }) => sum + read, 0) / n;
  const xx = points.reduce((sum, { set }) => sum + (set - x) ** 2, 0);
  const slope = points.reduce((sum, { set, read }) => sum + (set - x) * (read - y), 0) / xx;
  return { slope, at: (set: number): number => y + slope * (set - x) };
}
