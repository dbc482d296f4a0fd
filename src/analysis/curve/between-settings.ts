import { lackOfFit } from '../../base/statistics/lack-of-fit.ts';
import type { LackOfFit } from '../../base/statistics/lack-of-fit.ts';
import type { FitPoint } from './fit-points.ts';

interface SettingResidual {
  readonly root: number;
  readonly residual: number;
  readonly u: number;
}

/**
 * Lack of fit: the settings' mean residuals against their uncertainties, settings − 1 degrees of freedom (set once: the points
 * themselves). Repeats within a setting say nothing about the shape of the curve; left in, they blind the test when they happen to
 * agree and cry wolf when the knob repeats badly (simulated, 1000 sweeps of 5 x 3 at 1 % and 1.5 psi: false alarms 4.3 % at a
 * nominal 5 %, 13 % with a knob of 2.5 psi stated as 1.5; over all 14 degrees of freedom it was 0.4 % or 78 %).
 *
 * `sensor`: an offset that all read pressures share bends the curve by k/(2√P) times itself, and as much of it as the sensor's ± allows
 * is no evidence against the square root. It is fitted beside k, held by its own doubt: Σ(rᵢ − b·k/(2√Pᵢ) − δ·√Pᵢ)²/uᵢ² + b²/s²,
 * which leaves the degrees of freedom as they are. Without it a sensor 0.4 psi off makes 52 % of healthy sweeps fail (simulated).
 */
export function betweenSettings(
  points: readonly FitPoint[],
  residuals: ArrayLike<number>,
  sensor: { readonly nozzleConstant: number; readonly sharedStandardUncertainty_Pa: number } | null,
): LackOfFit | null {
  const sums = new Map<number, { weight: number; weighted: number; roots: number }>();
  points.forEach((point, i) => {
    const sum = sums.get(point.setting_Pa) ?? { weight: 0, weighted: 0, roots: 0 };
    const weight = 1 / point.standardUncertainty_m3_per_s ** 2;
    sum.weight += weight;
    sum.weighted += weight * residuals[i]!;
    sum.roots += weight * Math.sqrt(point.pressure_Pa);
    sums.set(point.setting_Pa, sum);
  });
  const means = [...sums.values()].map((sum): SettingResidual => ({
    root: sum.roots / sum.weight,
    residual: sum.weighted / sum.weight,
    u: 1 / Math.sqrt(sum.weight),
  }));
  if (sensor === null || !(sensor.sharedStandardUncertainty_Pa > 0)) {
    return lackOfFit(
      means.map(({ residual }) => residual),
      means.map(({ u }) => u),
      1,
    );
  }
  const { residuals: left, held } = withoutOffset(means, sensor);
  // What the offset costs against its own doubt is one more residual, and the offset one more parameter.
  return lackOfFit([...left, held], [...means.map(({ u }) => u), 1], 2);
}

/** The residuals once offset b (in units of its doubt) and the change δ of k that goes with it are taken out. */
function withoutOffset(
  means: readonly SettingResidual[],
  sensor: { readonly nozzleConstant: number; readonly sharedStandardUncertainty_Pa: number },
): { readonly residuals: number[]; readonly held: number } {
  const bend = (root: number): number =>
    (sensor.nozzleConstant / (2 * root)) * sensor.sharedStandardUncertainty_Pa;
  // Columns over u: δ in units of k, so that both are near one.
  const columns = means.map(({ root, residual, u }) => ({
    a: (sensor.nozzleConstant * root) / u,
    b: bend(root) / u,
    r: residual / u,
  }));
  let [aa, ab, bb, ar, br] = [0, 0, 1, 0, 0];
  for (const { a, b, r } of columns) {
    aa += a * a;
    ab += a * b;
    bb += b * b;
    ar += a * r;
    br += b * r;
  }
  const determinant = aa * bb - ab * ab;
  const delta = (bb * ar - ab * br) / determinant;
  const held = (aa * br - ab * ar) / determinant;
  return {
    residuals: means.map(
      ({ root, residual }) => residual - delta * sensor.nozzleConstant * root - held * bend(root),
    ),
    held,
  };
}
