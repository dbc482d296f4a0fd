import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import { head, massFlowFields, pressureFields, SHORT_CATCH_s, voidCatch } from './analyse-catch.ts';
import type { CatchContext, CatchPlace } from './analyse-catch.ts';
import type { AnalysedCatch } from './analysis.ts';
import { findPlateaus, PLATEAU_BACK_TRIM_s } from './plateaus.ts';

/**
 * One pour during which the settings of `plan_Pa` were visited in order: one entry a plateau, all with the pour's number. Settings go by
 * order; too few or too many plateaus: setting null for all of them, for nobody can say which one is missing.
 * A plateau has no mass and no drip of its own. The jet's push is taken from the pour's start edge (the only step there is).
 */
export function analysePlateaus(
  caught: DetectedCatch,
  pour: number,
  plan_Pa: readonly number[],
  struckAt: (start_s: number) => boolean,
  context: CatchContext,
): AnalysedCatch[] {
  const { time_s, mass_kg, averagedReadings } = context;
  const placeOf = (start_s: number, setting_Pa: number | null): CatchPlace => ({
    setting_Pa,
    settingBecause: 'plateaus-do-not-match-plan',
    pour,
    struck: struckAt(start_s),
  });
  const isUnitUnknown = context.isUnitUnknown(caught.start_s, caught.stop_s);
  const voided = caught.voidBecause ?? (isUnitUnknown ? 'unit-unknown' : null);
  if (voided !== null) return [voidCatch(caught, placeOf(caught.start_s, null), voided, caught.warnings)];
  const plateaus = findPlateaus(time_s, mass_kg, time_s.length, caught.start_s, caught.stop_s);
  if (plateaus.length === 0) {
    return [voidCatch(caught, placeOf(caught.start_s, null), 'no-steady-window', caught.warnings)];
  }
  const matches = plateaus.length === plan_Pa.length;
  let push_kg: number | null = null;
  return plateaus.map((plateau, i) => {
    const place = placeOf(plateau.start_s, matches ? plan_Pa[i]! : null);
    const found = estimateMassFlow(time_s, mass_kg, time_s.length, plateau.start_s, plateau.stop_s, {
      averagedReadings,
      backTrim_s: PLATEAU_BACK_TRIM_s,
    });
    if (!found.ok || !(found.value.massFlow_kg_per_s > 0)) {
      return voidCatch(plateau, place, 'no-steady-window', caught.warnings);
    }
    const estimate = found.value;
    push_kg ??= jetPush_kg({ ...estimate, before_kg: caught.before_kg, averagedReadings });
    const jet_kg_per_s = jetAllowance_kg_per_s(push_kg, plateau.stop_s - plateau.start_s, context.wand);
    return {
      ...head(plateau, place),
      ...pressureFields(estimate.window.from_s, estimate.window.to_s, context),
      mass_kg: null,
      massBecause: 'plateau-of-a-pour',
      ...massFlowFields(estimate, { jet_kg_per_s, ownTypeB_kg_per_s: 0 }, context),
      drip_m3_per_s: null,
      dripBecause: 'plateau-of-a-pour',
      struck: place.struck,
      voidBecause: null,
      warnings: [
        ...caught.warnings,
        ...(plateau.stop_s - plateau.start_s < SHORT_CATCH_s ? (['short-catch'] as const) : []),
        ...(matches ? [] : (['plateaus-do-not-match-plan'] as const)),
      ],
    };
  });
}
