import { median } from '../../base/statistics/median.ts';
import { squeezeVariances } from '../../base/statistics/squeeze-variances.ts';
import type { CurvePoint } from './curve-point.ts';

/**
 * Under this many degrees of freedom of a typical point's whole variance (own and pressure) the weights are pooled: 1/s² is then
 * too large by more than 7 % on average. Where the dial rules, points have hundreds and nothing is touched.
 */
const FEW_DEGREES_OF_FREEDOM = 30;

/** Of the own part, what was estimated from scatter, with its degrees of freedom; the rest is known. */
export interface OwnParts {
  readonly estimated: number;
  readonly estimatedDegreesOfFreedom: number;
  readonly known: number;
}

/** A point that says nothing of its parts: all of it estimated if its degrees of freedom are finite, else all of it known. */
export function ownParts(point: CurvePoint): OwnParts {
  const own = point.ownStandardUncertainty_m3_per_s;
  const degreesOfFreedom = point.ownDegreesOfFreedom ?? Infinity;
  const parts = point.estimated;
  if (parts !== undefined) {
    const estimated = Math.min(own, parts.standardUncertainty_m3_per_s);
    return {
      estimated,
      estimatedDegreesOfFreedom: parts.degreesOfFreedom,
      known: Math.sqrt(Math.max(0, own * own - estimated * estimated)),
    };
  }
  return degreesOfFreedom === Infinity
    ? { estimated: 0, estimatedDegreesOfFreedom: Infinity, known: own }
    : { estimated: own, estimatedDegreesOfFreedom: degreesOfFreedom, known: 0 };
}

/**
 * Points whose estimated parts are pooled over the sweep (relative to the flow) where a typical point's variance rests on few
 * degrees of freedom; else null. Simulated, 5 x 3 catches of 1 %, all of it estimated with 4 degrees of freedom, 0.25 psi: weights from
 * single estimates make the interval of k cover 85 %, pooled ones 95 % (tests/analysis/curve/coverage.test.ts).
 */
export function poolDoubts(
  points: readonly CurvePoint[],
  pressureParts: readonly number[],
): readonly CurvePoint[] | null {
  const parts = points.map(ownParts);
  if (
    points.length < 3 ||
    !parts.every((part) => part.estimated > 0 && part.estimatedDegreesOfFreedom < Infinity)
  )
    return null;
  const degrees = parts.map(({ estimated, estimatedDegreesOfFreedom, known }, i) => {
    const variance = estimated ** 2 + known ** 2 + pressureParts[i]! ** 2;
    return (variance / estimated ** 2) ** 2 * estimatedDegreesOfFreedom;
  });
  if (!(median(degrees) < FEW_DEGREES_OF_FREEDOM)) return null;
  const squeezed = squeezeVariances(
    parts.map(({ estimated }, i) => (estimated / points[i]!.flow_m3_per_s) ** 2),
    parts.map((part) => part.estimatedDegreesOfFreedom),
  ).variances;
  return points.map((point, i) => {
    const { known, estimatedDegreesOfFreedom } = parts[i]!;
    const estimated = Math.sqrt(squeezed[i]!) * point.flow_m3_per_s;
    const own = Math.hypot(estimated, known);
    return {
      ...point,
      ownStandardUncertainty_m3_per_s: own,
      // Each still counts its own degrees of freedom: together they make the pooled figure's, once.
      ownDegreesOfFreedom: (own / estimated) ** 4 * estimatedDegreesOfFreedom,
      estimated: {
        standardUncertainty_m3_per_s: estimated,
        degreesOfFreedom: estimatedDegreesOfFreedom,
      },
    };
  });
}
