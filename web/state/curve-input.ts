import type { CurveInput } from '../charts/curve-picture.ts';
import type { SweepView, TipSetup } from '../contract.ts';
import type { ShownUnits } from '../wording/units.ts';
import type { ResultData } from './result-data.ts';

function ratedOf(tip: TipSetup | null): CurveInput['rated'] {
  if (tip === null || tip.ratedFlow_m3_per_s === null || tip.ratedPressure_Pa === null) return null;
  return { flow_m3_per_s: tip.ratedFlow_m3_per_s, pressure_Pa: tip.ratedPressure_Pa };
}

/** The curve while the sweep runs: the upright to do next is lit, and the flow so far stands on it. */
export function curveInputOfSweep(sweep: SweepView, units: ShownUnits): CurveInput {
  const { running, settingNow_Pa } = sweep;
  const flow = running?.flow_m3_per_s ?? null;
  return {
    plan: sweep.plan,
    catches: sweep.catches,
    picture: sweep.picture,
    rated: ratedOf(sweep.setup.tip),
    litSetting_Pa: sweep.phase === 'done' ? null : settingNow_Pa,
    running:
      running === null || flow === null || running.expanded_m3_per_s === null || settingNow_Pa === null
        ? null
        : { setting_Pa: settingNow_Pa, flow_m3_per_s: flow, expanded_m3_per_s: running.expanded_m3_per_s },
    units,
  };
}

export function curveInputOfResult(data: ResultData, units: ShownUnits): CurveInput {
  return {
    plan: data.plan,
    catches: data.catches,
    picture: data.picture,
    rated: ratedOf(data.rated),
    litSetting_Pa: null,
    running: null,
    units,
  };
}
