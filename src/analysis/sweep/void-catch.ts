import type { Absence, VoidReason, Warning } from '../../base/because.ts';
import type { AnalysedCatch } from './analysis.ts';

/** Where a catch stands in the capture, decided from the marks. */
export interface CatchPlace {
  readonly setting_Pa: number | null;
  readonly settingBecause: Absence | Warning;
  readonly pour: number;
  readonly struck: boolean;
}

interface Times {
  readonly start_s: number;
  readonly stop_s: number;
}

/** What stands of a catch whatever became of it. */
export function head({ start_s, stop_s }: Times, place: CatchPlace) {
  const { setting_Pa, settingBecause, pour } = place;
  return { start_s, stop_s, setting_Pa, ...(setting_Pa === null ? { settingBecause } : {}), pour };
}

/** Times, pour and setting stand; every quantity is null, with the reason beside it. */
export function voidCatch(
  times: Times,
  place: CatchPlace,
  voidBecause: VoidReason,
  warnings: readonly Warning[],
): AnalysedCatch {
  const because = 'catch-is-void';
  return {
    ...head(times, place),
    pressure_Pa: null,
    pressureBecause: because,
    mass_kg: null,
    massBecause: because,
    massFlow_kg_per_s: null,
    massFlowBecause: because,
    flow_m3_per_s: null,
    flowBecause: because,
    flowFrom: null,
    flowFromBecause: because,
    typeA_m3_per_s: null,
    typeABecause: because,
    typeADegreesOfFreedom: null,
    typeADegreesOfFreedomBecause: because,
    jetAllowance_m3_per_s: null,
    jetAllowanceBecause: because,
    ownTypeB_m3_per_s: null,
    ownTypeBBecause: because,
    sharedTypeB_m3_per_s: null,
    sharedTypeBBecause: because,
    standardUncertainty_m3_per_s: null,
    standardUncertaintyBecause: because,
    degreesOfFreedom: null,
    degreesOfFreedomBecause: because,
    expandedUncertainty95_m3_per_s: null,
    expandedUncertainty95Because: because,
    drip_m3_per_s: null,
    dripBecause: because,
    struck: place.struck,
    voidBecause,
    warnings,
  };
}
