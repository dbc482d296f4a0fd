import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import type { FitPointParts } from '../curve/fit-points.ts';
import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import type { RatedComparison } from '../sweep/analysis.ts';
import type { Budget, BudgetInput, BudgetLine, SharedPart } from './budget.ts';
import { endless } from './shared-degrees.ts';
import { sharedLine, sumLines } from './sum-lines.ts';
import { curveHelps, ratioHelps } from './what-would-help.ts';
import type { HelpFacts } from './what-would-help.ts';

const K_UNIT = 'm³/s/√Pa';

/**
 * The JCGM 100 budget of k: what the catches' own parts (by input, where their budgets are given), the setting or the reading of the
 * pressure, and the repeats where their scatter stands instead (measurement rule 11.6) bring through the fit's weights, and the shared
 * parts once. Comes to the curve's own standard uncertainty and effective degrees of freedom.
 * Sensitivities: of k to a relative or absolute change as `unit` says; k moves with flow i by √Pᵢ/uᵢ² ÷ Σ(P/u²).
 * `catches[i]`: the budget of the curve's input point i; null or missing: its own part is one line `catches`.
 */
export function nozzleConstantBudget(
  curve: NozzleCurve,
  catches: readonly (Budget | null)[],
  shared: readonly SharedPart[],
  facts: HelpFacts,
): Budget {
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const brings = new Map<BudgetInput, UncertaintyPart[]>();
  const bring = (input: BudgetInput, contribution: number, degreesOfFreedom: number): void => {
    if (!(contribution > 0)) return;
    const parts = brings.get(input) ?? [];
    parts.push({ standardUncertainty: contribution, degreesOfFreedom: endless(degreesOfFreedom) });
    brings.set(input, parts);
  };
  const { factor } = curve.repeats;
  const sumWP = curve.points.reduce((sum, p) => sum + p.pressure_Pa / p.standardUncertainty_m3_per_s ** 2, 0);

  curve.points.forEach((point, i) => {
    const sensitivity = Math.sqrt(point.pressure_Pa) / point.standardUncertainty_m3_per_s ** 2 / sumWP;
    const parts = curve.pointParts[i]!;
    const settingInput = curve.pressureMeasured ? 'pressure-reading' : 'setting';
    const own = ownBrings(point.catches, parts, catches);
    // A knob set anew: the repeats hold the setting too, and the raised figure stands for both.
    const raisesSetting = curve.protocol === 're-set';
    if (factor > 1) {
      const known = combineUncertainty([
        ...own.map(({ u, degreesOfFreedom }) => ({ standardUncertainty: u, degreesOfFreedom })),
        ...(raisesSetting
          ? [{ standardUncertainty: parts.setting, degreesOfFreedom: parts.settingDegreesOfFreedom }]
          : []),
      ]);
      bring(
        'repeats',
        sensitivity * factor * known.standardUncertainty,
        sharedOut(curve, known.degreesOfFreedom),
      );
    } else for (const { input, u, degreesOfFreedom } of own) bring(input, sensitivity * u, degreesOfFreedom);
    if (factor === 1 || !raisesSetting)
      bring(settingInput, sensitivity * parts.setting, parts.settingDegreesOfFreedom);
  });

  const lines: BudgetLine[] = [...brings].map(([input, parts]) => {
    const together = combineUncertainty(parts);
    // One pooled figure serves all catches: its degrees of freedom count once.
    const degreesOfFreedom =
      input === 'repeats' && curve.protocol === 're-set'
        ? (curve.repeats.degreesOfFreedom ?? together.degreesOfFreedom)
        : together.degreesOfFreedom;
    return {
      input,
      value: input === 'setting' || input === 'pressure-reading' ? null : curve.catches,
      unit: '1',
      // As a share of k: the inputs differ from catch to catch, and this is what they come to together.
      standardUncertainty: together.standardUncertainty / k,
      distribution: isScatter(input)
        ? 'scatter'
        : input === 'jet-push' || input === 'hose-pull'
          ? 'rectangular'
          : 'normal',
      sensitivity: k,
      degreesOfFreedom: Math.min(MOST_DEGREES_OF_FREEDOM, degreesOfFreedom),
      scope: 'own',
      contribution: together.standardUncertainty,
      included: true,
    };
  });
  lines.push(...shared.map((part) => sharedLine(part, k)));
  const sensor_Pa = curve.pressureSharedStandardUncertainty_Pa;
  if (sensor_Pa > 0) lines.push(sensorLine(curve, sensor_Pa));
  // What nobody can say of a catch nobody can say of k: once each.
  for (const line of catches.flatMap((one) => one?.lines ?? [])) {
    if (!line.included && !lines.some(({ input }) => input === line.input)) lines.push(line);
  }
  const budget = sumLines({ result: 'nozzle-constant', value: k, unit: K_UNIT }, lines);
  return { ...budget, helps: curveHelps(budget, curve, facts) };
}

/** Measured over rated flow: k's lines and the dial's shared offset (rule 11.4 b). Null without a comparison. */
export function ratedBudget(
  curve: NozzleCurve,
  budget: Budget,
  rated: RatedComparison | null,
  sharedOffset_Pa: number,
  facts: HelpFacts,
): Budget | null {
  if (rated === null) return null;
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const lines: BudgetLine[] = budget.lines.map((line) => ({
    ...line,
    sensitivity: (line.sensitivity * rated.ratio) / k,
    contribution: (line.contribution * rated.ratio) / k,
  }));
  if (sharedOffset_Pa > 0) {
    const sensitivity = rated.ratio * curve.offsetSensitivity_per_Pa;
    lines.push({
      input: 'setting',
      value: null,
      unit: 'Pa',
      standardUncertainty: sharedOffset_Pa,
      distribution: 'normal',
      sensitivity,
      degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      scope: 'shared',
      contribution: sensitivity * sharedOffset_Pa,
      included: true,
    });
  }
  const ratio = sumLines({ result: 'ratio-to-rated', value: rated.ratio, unit: '1' }, lines);
  return { ...ratio, helps: ratioHelps(ratio, curve, facts) };
}

interface OwnBring {
  readonly input: BudgetInput;
  readonly u: number;
  readonly degreesOfFreedom: number;
}

/** The own part of one point by its inputs, in m³/s; scatter as the weights use it (it may be pooled over the sweep). */
function ownBrings(
  indices: readonly number[],
  parts: FitPointParts,
  catches: readonly (Budget | null)[],
): OwnBring[] {
  const own = parts.catches.map(({ estimated, known }) => Math.hypot(estimated, known));
  if (indices.some((i) => (catches[i] ?? null) === null)) {
    return [
      {
        input: 'catches',
        u: Math.hypot(...own) / indices.length,
        degreesOfFreedom: parts.ownDegreesOfFreedom,
      },
    ];
  }
  return indices.flatMap((i, at) => {
    const lines = catches[i]!.lines.filter((line) => line.scope === 'own' && line.contribution > 0);
    const raw = Math.hypot(...lines.filter((line) => isScatter(line.input)).map((line) => line.contribution));
    const scale = raw > 0 ? parts.catches[at]!.estimated / raw : 1;
    const brought: OwnBring[] = lines.map(({ input, contribution, degreesOfFreedom }) => ({
      input,
      u: ((isScatter(input) ? scale : 1) * contribution) / indices.length,
      degreesOfFreedom: endless(degreesOfFreedom),
    }));
    const rest = (own[at]! / indices.length) ** 2 - brought.reduce((sum, { u }) => sum + u * u, 0);
    // Arithmetic water has no scatter; its least weight is not an input of anybody's.
    if (rest > 1e-9 * (own[at]! / indices.length) ** 2) {
      brought.push({ input: 'catches', u: Math.sqrt(rest), degreesOfFreedom: Infinity });
    }
    return brought;
  });
}

const isScatter = (input: BudgetInput): boolean =>
  input === 'scatter-of-readings' || input === 'pulses' || input === 'repeats';

/** Set once and worse than stated: the pooled figure's degrees of freedom, shared out over the means as the fit does. */
function sharedOut(curve: NozzleCurve, stated: number): number {
  const { degreesOfFreedom } = curve.repeats;
  return degreesOfFreedom === null ? stated : degreesOfFreedom / curve.points.length;
}

function sensorLine(curve: NozzleCurve, sensor_Pa: number): BudgetLine {
  const sensitivity = curve.nozzleConstant_m3_per_s_per_sqrtPa * curve.offsetSensitivity_per_Pa;
  return {
    input: 'pressure-reading',
    value: null,
    unit: 'Pa',
    standardUncertainty: sensor_Pa,
    distribution: 'rectangular',
    sensitivity,
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    scope: 'shared',
    contribution: sensitivity * sensor_Pa,
    included: true,
  };
}
