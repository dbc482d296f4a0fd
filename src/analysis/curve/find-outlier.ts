import { normalQuantile, tCdf } from '../../base/statistics/distributions.ts';
import { grubbsTest } from '../../base/statistics/grubbs.ts';
import { squeezeVariances } from '../../base/statistics/squeeze-variances.ts';
import type { CurveInput } from './curve-point.ts';
import { groupBySetting, pointsAgainstPressure, pressureDoubt } from './curve-point.ts';
import { pressurePart } from './fit-points.ts';
import type { NozzleCurve } from './nozzle-curve.ts';
import { ownParts } from './pooled-doubts.ts';

export interface CurveOutlier {
  /** Place among the points that came in. */
  readonly index: number;
  readonly statistic: number;
  readonly criticalValue: number;
}

/**
 * The one catch that stands apart from a whole sweep, if there is one: Grubbs, two-sided, 5 %, on standardised residuals, at least
 * eight of them (rule 11.8). It points; only a person strikes.
 * Knob set anew: residuals from the curve over own and setting's uncertainty. Set once: the dial's error is one for all catches of a
 * setting, so departures from the settings' means, over own uncertainty, with √(n/(n − 1)) for the mean taken from the same few; settings
 * with a single catch have none. Own parts estimated with few degrees of freedom are squeezed, and each residual is carried from its t to
 * the normal that Grubbs asks for (without both, 5 x 3 catches with 4 degrees of freedom each would raise 13-21 % false alarms).
 */
export function findOutlier(input: CurveInput, curve: NozzleCurve): CurveOutlier | null {
  const points = pointsAgainstPressure(input);
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const own = ownSqueezed(input);
  const departures = points.map((point) => point.flow_m3_per_s - k * Math.sqrt(point.pressure_Pa));
  const standardised =
    curve.protocol === 're-set'
      ? points.map((point, index) => {
          const setting = pressurePart(k, point.pressure_Pa, pressureDoubt(input, point).u_Pa);
          return { index, value: asNormal(departures[index]!, own[index]!, setting) };
        })
      : groupBySetting(points).flatMap(({ indices }) => {
          const n = indices.length;
          if (n < 2) return [];
          const mean = indices.reduce((sum, i) => sum + departures[i]!, 0) / n;
          return indices.map((index) => ({
            index,
            value: asNormal((departures[index]! - mean) * Math.sqrt(n / (n - 1)), own[index]!, 0),
          }));
        });
  const found = grubbsTest(standardised.map(({ value }) => value));
  if (!found.ok || !found.value.isOutlier) return null;
  const { statistic, criticalValue } = found.value;
  return { index: standardised[found.value.index]!.index, statistic, criticalValue };
}

interface Own {
  readonly estimated: number;
  readonly degreesOfFreedom: number;
  readonly known: number;
}

function ownSqueezed({ points }: CurveInput): Own[] {
  const parts = points.map(ownParts);
  if (
    !parts.every(
      ({ estimated, estimatedDegreesOfFreedom }) => estimated > 0 && estimatedDegreesOfFreedom < Infinity,
    )
  ) {
    return parts.map(({ estimated, estimatedDegreesOfFreedom: degreesOfFreedom, known }) => {
      return { estimated, degreesOfFreedom, known };
    });
  }
  const { variances, priorDegreesOfFreedom } = squeezeVariances(
    parts.map(({ estimated }, i) => (estimated / points[i]!.flow_m3_per_s) ** 2),
    parts.map((part) => part.estimatedDegreesOfFreedom),
  );
  return parts.map(({ known, estimatedDegreesOfFreedom }, i) => ({
    estimated: Math.sqrt(variances[i]!) * points[i]!.flow_m3_per_s,
    degreesOfFreedom: priorDegreesOfFreedom + estimatedDegreesOfFreedom,
    known,
  }));
}

/** The normal deviate as rare as this departure is under its t. */
function asNormal(departure: number, { estimated, degreesOfFreedom, known }: Own, setting: number): number {
  const variance = estimated ** 2 + known ** 2 + setting ** 2;
  const size = Math.abs(departure) / Math.sqrt(variance);
  const effective = estimated > 0 ? (variance / estimated ** 2) ** 2 * degreesOfFreedom : Infinity;
  // Beyond this a probability is 1 to the last digit: far out is far out.
  if (!(effective < MANY) || !(size > 0)) return Math.sign(departure) * size;
  const below = Math.min(1 - 1e-14, tCdf(size, effective));
  return Math.sign(departure) * normalQuantile(below);
}

/** From here on t and normal differ by less than what matters to a test at 5 %. */
const MANY = 1000;
