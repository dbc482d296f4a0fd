import { ok, type Outcome } from '../../base/outcome.ts';
import { analysedCurve, buildPicture } from '../curve/build-picture.ts';
import type { Budget, CaptureBudgets } from '../budget/budget.ts';
import { handBudget } from '../budget/catch-budget.ts';
import { nozzleConstantBudget, ratedBudget } from '../budget/nozzle-constant-budget.ts';
import { compareWithRated, sharedOffset_Pa, type RatedTip } from '../curve/compare-with-rated.ts';
import type { CurveInput, SettingProtocol } from '../curve/curve-point.ts';
import { fitNozzleCurve } from '../curve/nozzle-curve.ts';
import { diagnose, isDiagnosis } from '../diagnosis/diagnose.ts';
import type { DiagnosisInput } from '../diagnosis/diagnose.ts';
import { judgedCurve } from '../diagnosis/judged-curve.ts';
import type { Diagnosis, NoDiagnosis } from '../diagnosis/diagnosis.ts';
import { flowByHand, type HandTiming } from '../flow/by-hand.ts';
import { SHORTEST_TRUSTED_CATCH_S } from '../../base/shortest-catch.ts';
import { asAbsence } from './analyse-curve.ts';
import type { AnalysedCatch, Analysis, CurvePicture } from './analysis.ts';
import { documentedFinding } from './finding.ts';

/** No jet and no density in a volume read at marks. */
const NOTHING_TO_HELP = { wand: 'guided', waterAssumed: false } as const;

const NO_PLUMBING = { gaugeAt: null, hoseLength_m: null, hoseBore_m: null, tipAboveGauge_m: null };

export interface HandTimedInput {
  readonly name: string;
  readonly estimatorVersion: string;
  readonly catches: readonly (HandTiming & { readonly setting_Pa: number })[];
  readonly protocol: SettingProtocol;
  readonly settingStandardUncertainty_Pa: number;
  readonly tip: RatedTip;
  /** For the finding, where more is known than what is stamped on the tip. */
  readonly known?: Partial<Pick<DiagnosisInput, 'reference' | 'checks' | 'plumbing' | 'earlierFinding'>>;
}

/**
 * Catches timed by thumb, as the same analysis that a capture gives. Times are laid end to end, since only lengths were kept.
 * Refused with the first catch's reason (`time-not-positive`, `volume-not-positive`) and its number.
 */
export function analyseByHand(input: HandTimedInput): Outcome<{
  readonly analysis: Analysis;
  readonly picture: CurvePicture | null;
  readonly budgets: CaptureBudgets;
  readonly diagnosis: Diagnosis | NoDiagnosis;
}> {
  const budgets: Budget[] = [];
  const catches: AnalysedCatch[] = [];
  const points: CurveInput['points'][number][] = [];
  let start_s = 0;
  for (const [index, timing] of input.catches.entries()) {
    const flow = flowByHand(timing);
    if (!flow.ok) return { ...flow, facts: { ...flow.facts, catch: index + 1 } };
    const { value } = flow;
    catches.push({
      start_s,
      stop_s: start_s + timing.duration_s,
      setting_Pa: timing.setting_Pa,
      pressure_Pa: null,
      pressureBecause: 'no-sensor',
      pour: index + 1,
      mass_kg: null,
      massBecause: 'no-mass',
      massFlow_kg_per_s: null,
      massFlowBecause: 'no-mass',
      flow_m3_per_s: value.flow_m3_per_s,
      flowFrom: null,
      flowFromBecause: 'no-mass',
      typeA_m3_per_s: null,
      typeABecause: 'no-degrees-of-freedom',
      typeADegreesOfFreedom: null,
      typeADegreesOfFreedomBecause: 'no-degrees-of-freedom',
      jetAllowance_m3_per_s: null,
      jetAllowanceBecause: 'no-mass',
      ownTypeB_m3_per_s: value.ownTypeB_m3_per_s,
      sharedTypeB_m3_per_s: value.sharedTypeB_m3_per_s,
      standardUncertainty_m3_per_s: value.standardUncertainty_m3_per_s,
      degreesOfFreedom: value.degreesOfFreedom,
      expandedUncertainty95_m3_per_s: value.expandedUncertainty95_m3_per_s,
      drip_m3_per_s: null,
      dripBecause: 'no-mass',
      struck: false,
      voidBecause: null,
      warnings:
        timing.duration_s < SHORTEST_TRUSTED_CATCH_S ? ['timed-by-hand', 'short-catch'] : ['timed-by-hand'],
    });
    budgets.push(handBudget(value.flow_m3_per_s, timing));
    points.push({
      pressure_Pa: timing.setting_Pa,
      setting_Pa: timing.setting_Pa,
      flow_m3_per_s: value.flow_m3_per_s,
      ownStandardUncertainty_m3_per_s: value.ownTypeB_m3_per_s,
      sharedRelativeStandardUncertainty: value.sharedTypeB_m3_per_s / value.flow_m3_per_s,
    });
    start_s += timing.duration_s;
  }
  const curveInput: CurveInput = {
    points,
    protocol: input.protocol,
    settingStandardUncertainty_Pa: input.settingStandardUncertainty_Pa,
    pressureMeasured: false,
  };
  const fitted = fitNozzleCurve(curveInput);
  const indices = points.map((_, i) => i);
  const picture = fitted.ok
    ? buildPicture(curveInput, fitted.value, indices, compareWithRated(fitted.value, input.tip))
    : null;
  const curve = fitted.ok ? analysedCurve(fitted.value, indices) : null;
  const judged = fitted.ok ? judgedCurve(curveInput, fitted.value) : null;
  const diagnosis = diagnose({
    curve: judged?.curve ?? null,
    pressures_Pa: picture?.pressures_Pa ?? [],
    reference: input.known?.reference ?? {
      ratedFlow_m3_per_s: input.tip.ratedFlow_m3_per_s ?? undefined,
      ratedPressure_Pa: input.tip.ratedPressure_Pa ?? undefined,
    },
    checks: input.known?.checks ?? [],
    plumbing: input.known?.plumbing ?? NO_PLUMBING,
    sensorChecked: false,
    // No scale was used.
    scaleChecked: true,
    meter: null,
    standsApart: judged?.standsApart ?? false,
    earlierFinding: input.known?.earlierFinding ?? null,
  });
  const shared = budgets[0]?.lines.find((line) => line.input === 'pail-marks');
  const nozzleConstant =
    fitted.ok && shared !== undefined
      ? nozzleConstantBudget(
          fitted.value,
          budgets,
          [{ ...shared, relative: shared.standardUncertainty }],
          NOTHING_TO_HELP,
        )
      : null;
  const ratioToRated =
    fitted.ok && nozzleConstant !== null
      ? ratedBudget(
          fitted.value,
          nozzleConstant,
          picture?.rated ?? null,
          sharedOffset_Pa(fitted.value),
          NOTHING_TO_HELP,
        )
      : null;
  return ok({
    analysis: {
      format: 'catchbench-analysis 1',
      file: input.name,
      estimatorVersion: input.estimatorVersion,
      simulated: false,
      readings: 0,
      linesRefused: 0,
      gaps: 0,
      duration_s: start_s,
      clockRatio: null,
      clockRatioBecause: 'device-has-no-clock',
      clockRatioStandardUncertainty: null,
      clockRatioStandardUncertaintyBecause: 'device-has-no-clock',
      warnings: ['timed-by-hand', ...(isDiagnosis(diagnosis) ? diagnosis.warnings : [])],
      catches,
      withdrawn: [],
      curve,
      curveBecause: fitted.ok ? null : asAbsence(fitted.because),
      ...documentedFinding(diagnosis),
    },
    picture,
    budgets: { catches: budgets, nozzleConstant, ratioToRated },
    diagnosis,
  });
}
