/** One tip of the Rack as the curve's picture wants it. */
import type { CurveInput } from '../charts/curve-picture.ts';
import type { Diagnosis, PlannedSetting, RackTip } from '../contract.ts';
import { flowsOfFinding } from '../wording/finding-mark.ts';
import type { ShownUnits } from '../wording/units.ts';

/** What was done at each setting is the plan. */
export function planOfTip(tip: Pick<RackTip, 'curve'>): readonly PlannedSetting[] {
  return (tip.curve?.settings ?? []).map(({ setting_Pa, catches }) => ({
    setting_Pa,
    wanted: catches.length,
    done: catches.length,
  }));
}

export function curveInputOfTip(tip: RackTip, diagnosis: Diagnosis | null, units: ShownUnits): CurveInput {
  const plan = planOfTip(tip);
  const { curve, ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = tip;
  return {
    plan,
    catches: [],
    picture: curve,
    rated: flow === null || pressure === null ? null : { flow_m3_per_s: flow, pressure_Pa: pressure },
    litSetting_Pa: null,
    running: null,
    ...(diagnosis === null || curve === null
      ? {}
      : {
          alsoFlows_m3_per_s: flowsOfFinding(
            diagnosis,
            curve.pressures_Pa,
            plan.map(({ setting_Pa }) => setting_Pa),
          ),
        }),
    units,
  };
}
