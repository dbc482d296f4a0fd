import type { Absence } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { BudgetFacts } from '../budget/capture-budgets.ts';
import type { DialZero } from '../curve/dial-zero.ts';
import { sharedOfFlow } from '../budget/shared-of-flow.ts';
import { wasBalanced } from '../checks/mass-balance.ts';
import type { CatchContext } from './analyse-catch.ts';
import { ASSUMED_SETTING_U_Pa } from './analyse-curve.ts';
import type { CurveAnswer } from './analyse-curve.ts';
import type { AnalysedCatch } from './analysis.ts';
import { catchPressure } from './catch-pressure.ts';
import { analyseRigCurve } from './rig-sweep.ts';

/** The curve of a capture's catches from what its header says, and what their budgets need. */
export function captureCurve(
  catches: readonly AnalysedCatch[],
  about: CaptureHeader,
  context: CatchContext,
  {
    noCatchesBecause,
    several = false,
    dialZero,
  }: {
    readonly noCatchesBecause: Absence;
    readonly several?: boolean;
    readonly dialZero: DialZero | null;
  },
): { readonly curve: CurveAnswer; readonly budgetFacts: BudgetFacts } {
  const sprayCanMissUnseen = (caught: AnalysedCatch): boolean =>
    about.standsOnScale !== 'sprayer' && !wasBalanced(caught, context);
  const help = {
    wand: context.wand,
    waterAssumed: about.waterTemperature_degC === undefined,
    runsDown: context.rig?.kind === 'pumped-up',
  };
  const fitted = (): CurveAnswer =>
    analyseRigCurve(context.rig ?? null, catches, {
      protocol: about.settingProtocol ?? 're-set',
      settingStandardUncertainty_Pa: about.settingStandardUncertainty_Pa ?? ASSUMED_SETTING_U_Pa,
      pressureFullScale_Pa: about.pressureFullScale_Pa ?? null,
      pressureStandardUncertainty_Pa: about.pressureStandardUncertainty_Pa ?? null,
      ratedFlow_m3_per_s: about.ratedFlow_m3_per_s ?? null,
      ratedPressure_Pa: about.ratedPressure_Pa ?? null,
      dialZero,
      noCatchesBecause,
      pressures: catches.map(({ start_s, stop_s }) => catchPressure(context, start_s, stop_s)),
      sharedOf: (c) => sharedOfFlow(context, c.flowFrom ?? 'mass', c.flow_m3_per_s ?? 0),
    });
  // A curve through the water of several tips would be nobody's.
  const curve: CurveAnswer = several
    ? { picture: null, because: 'several-tips', warnings: [], fitted: null }
    : fitted();
  const { shared, meter, volumePerMass_m3_per_kg } = context;
  return {
    curve,
    budgetFacts: {
      catches,
      about: { about, shared, meter, volumePerMass_m3_per_kg, sprayCanMissUnseen, help },
      fitted: curve.fitted,
      rated: curve.picture?.rated ?? null,
    },
  };
}
