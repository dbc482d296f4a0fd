import type { Absence } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { Budget } from '../budget/budget.ts';
import { catchBudget } from '../budget/catch-budget.ts';
import { sharedOfFlow } from '../budget/shared-of-flow.ts';
import type { CatchContext } from './analyse-catch.ts';
import { ASSUMED_SETTING_U_Pa } from './analyse-curve.ts';
import type { CurveAnswer, CurveBudgets } from './analyse-curve.ts';
import type { AnalysedCatch } from './analysis.ts';
import { catchPressure } from './catch-pressure.ts';
import { analyseRigCurve } from './rig-sweep.ts';

/** Beside the documented analysis, not in it: `catches[i]` is of `analysis.catches[i]`, null where there is no flow. */
export interface CaptureBudgets extends CurveBudgets {
  readonly catches: readonly (Budget | null)[];
}

/** The curve of a capture's catches and all its budgets, from what its header says. */
export function captureCurve(
  catches: readonly AnalysedCatch[],
  about: CaptureHeader,
  context: CatchContext,
  { noCatchesBecause }: { readonly noCatchesBecause: Absence },
): { readonly curve: CurveAnswer; readonly budgets: CaptureBudgets } {
  const metered = context.meter !== null && context.pulses.some((count) => Number.isFinite(count));
  const sprayCanMissUnseen = !metered && about.standsOnScale !== 'sprayer';
  const budgets = catches.map((caught) => catchBudget(caught, { ...context, sprayCanMissUnseen }));
  const curve = analyseRigCurve(context.rig ?? null, catches, {
    protocol: about.settingProtocol ?? 're-set',
    settingStandardUncertainty_Pa: about.settingStandardUncertainty_Pa ?? ASSUMED_SETTING_U_Pa,
    pressureFullScale_Pa: about.pressureFullScale_Pa ?? null,
    pressureStandardUncertainty_Pa: about.pressureStandardUncertainty_Pa ?? null,
    ratedFlow_m3_per_s: about.ratedFlow_m3_per_s ?? null,
    ratedPressure_Pa: about.ratedPressure_Pa ?? null,
    noCatchesBecause,
    budgets,
    pressures: catches.map(({ start_s, stop_s }) => catchPressure(context, start_s, stop_s)),
    sharedOf: (c) => sharedOfFlow(context, c.flowFrom ?? 'mass', c.flow_m3_per_s ?? 0),
  });
  return { curve, budgets: { catches: budgets, ...curve.budgets } };
}
