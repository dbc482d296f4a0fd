import type { NozzleCurve } from '../curve/nozzle-curve.ts';
import type { RigCheckFound } from './evidence.ts';
import type { Datum } from './held-least-squares.ts';
import { PA_PER_METRE } from './hose-loss.ts';

/** Where the constant of a sound tip is known from. `relativeStandardUncertainty`: its own; what the sweep shares is added here. */
export interface Reference {
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number;
  readonly relativeStandardUncertainty: number;
  readonly from: 'baseline' | 'rated' | 'drawer-tip' | 'told';
}

/** Exponent of a leak's flow over pressure for the gate; measurement 5.3. Published leaks lie between 0.5 and 1.5. */
export const LEAK_EXPONENT = 1.25;

/**
 * A sweep without units: pressures over the highest one, flows over what the reference gives there. So k = 1 is the reference, and
 * the choice of units can't change a verdict.
 */
export interface CandidateData {
  readonly pressures: readonly number[];
  readonly flows: readonly number[];
  /** Of each point: own part; pressure's doubt; both together as the curve's weights have them. */
  readonly own: readonly number[];
  readonly pressureDoubts: readonly number[];
  readonly doubts: readonly number[];
  /** Which points are one setting, as indices; ascending pressures. */
  readonly settings: readonly (readonly number[])[];
  /** Catches in them. */
  readonly catches: number;
  readonly pressureUnit_Pa: number;
  readonly flowUnit_m3_per_s: number;
  /** k of a sound tip: 1, with the doubt of the reference and all that the sweep shares. */
  readonly reference: Datum;
  /**
   * A sensor's zero, told in every candidate but within its doubt only; null for a dial, whose shared offset is one of the causes looked
   * for and so is no noise (`compareWithRated` keeps it in the ± of percent of rated, where nothing is looked for).
   */
  readonly sensorZero: Datum | null;
  /** A sensor that was held against a known pressure: its zero can't be the cause. */
  readonly sensorChecked: boolean;
  readonly pressureMeasured: boolean;
  /** What a meter whose offset nobody looked for may add to every flow; null: nothing. */
  readonly flowZero: Datum | null;
  readonly evidence: RigEvidence;
  readonly leakExponent: number;
  /** False: from a meter whose offset nobody looked for; only the height of the curve may be spoken of (measurement 11.12). */
  readonly shapeTrusted: boolean;
}

/** What the two-minute checks of the rig found, without units. */
export interface RigEvidence {
  readonly dialAtZero: Datum | null;
  readonly flowStopsAt: Datum | null;
  /** Leak at the pressure at which it was seen. */
  readonly blankTip: (Datum & { readonly pressure: number }) | null;
  /** Pressure at the wand while the dial stood at `setting`. */
  readonly wand: readonly (Datum & { readonly setting: number })[];
}

/** No constant is known better than this; a header may say 0. */
const LEAST_DOUBT = 1e-5;

export interface SweepToJudge {
  readonly curve: NozzleCurve;
  readonly reference: Reference;
  readonly checks: readonly RigCheckFound[];
  readonly sensorChecked: boolean;
  /** Height of the tip over the gauge; null: not known, taken as none. */
  readonly tipAboveGauge_m: number | null;
  /** Standard uncertainty of what a meter with an unknown offset adds to every flow; 0: none. */
  readonly flowZeroStandardUncertainty_m3_per_s: number;
  readonly leakExponent: number;
  readonly shapeTrusted: boolean;
}

/**
 * What is shared by all flows of the sweep (temperature, density, scale factor) is added to the reference's doubt, never to the weights
 * (measurement 11.2): it moves the whole curve against the reference and leaves its shape alone.
 */
export function candidateData(sweep: SweepToJudge): CandidateData {
  const { curve, reference } = sweep;
  const unit_Pa = curve.highestPressure_Pa;
  const flowUnit = reference.nozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(unit_Pa);
  const byRepeats = curve.protocol === 're-set' ? curve.repeats.factor : 1;
  const k = curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const settingParts = curve.pointParts.map(({ setting }) => byRepeats * setting);
  const { points } = curve;
  return {
    pressures: points.map((point) => point.pressure_Pa / unit_Pa),
    flows: points.map((point) => point.flow_m3_per_s / flowUnit),
    own: points.map(
      ({ standardUncertainty_m3_per_s: u }, i) =>
        Math.sqrt(Math.max(1e-12 * u * u, u * u - settingParts[i]! ** 2)) / flowUnit,
    ),
    // The part of flow was k/(2√P)·u: back to u.
    pressureDoubts: points.map(
      ({ pressure_Pa }, i) => (settingParts[i]! * 2 * Math.sqrt(pressure_Pa)) / k / unit_Pa,
    ),
    doubts: points.map((point) => point.standardUncertainty_m3_per_s / flowUnit),
    settings: settingsOf(curve),
    catches: curve.catches,
    pressureUnit_Pa: unit_Pa,
    flowUnit_m3_per_s: flowUnit,
    reference: {
      mean: 1,
      standardUncertainty: Math.hypot(
        LEAST_DOUBT,
        reference.relativeStandardUncertainty,
        curve.sharedRelativeStandardUncertainty,
        meterDoubt(sweep),
      ),
    },
    sensorZero:
      curve.pressureMeasured && curve.pressureSharedStandardUncertainty_Pa > 0
        ? { mean: 0, standardUncertainty: curve.pressureSharedStandardUncertainty_Pa / unit_Pa }
        : null,
    sensorChecked: sweep.sensorChecked,
    pressureMeasured: curve.pressureMeasured,
    flowZero:
      sweep.flowZeroStandardUncertainty_m3_per_s > 0
        ? { mean: 0, standardUncertainty: sweep.flowZeroStandardUncertainty_m3_per_s / flowUnit }
        : null,
    evidence: rigEvidence(sweep, unit_Pa, flowUnit),
    leakExponent: sweep.leakExponent,
    shapeTrusted: sweep.shapeTrusted,
  };
}

/**
 * An offset that a meter may have is fitted beside k, so that a bend it makes is no misfit. But its size must not be learnt from the shape
 * of a curve that is not trusted: the height carries all of it too, at the mean flow.
 */
function meterDoubt({ curve, flowZeroStandardUncertainty_m3_per_s: u }: SweepToJudge): number {
  const mean =
    curve.points.reduce((sum, point) => sum + point.flow_m3_per_s, 0) / Math.max(1, curve.points.length);
  return u / mean;
}

function settingsOf(curve: NozzleCurve): number[][] {
  const groups = new Map<number, number[]>();
  curve.points.forEach(({ setting_Pa }, i) => {
    const group = groups.get(setting_Pa);
    if (group === undefined) groups.set(setting_Pa, [i]);
    else group.push(i);
  });
  return [...groups].sort(([a], [b]) => a - b).map(([, group]) => group);
}

/**
 * The last check of each kind counts (of the wand's gauge: of each setting). With a sensor in the line, what the dial shows says nothing
 * of the pressures that were used. A gauge at the wand says nothing against the rig's own baseline, which lost as much on the way.
 */
function rigEvidence(
  { checks, curve, reference, tipAboveGauge_m }: SweepToJudge,
  unit_Pa: number,
  flowUnit: number,
): RigEvidence {
  let dialAtZero: Datum | null = null;
  let flowStopsAt: Datum | null = null;
  let blankTip: RigEvidence['blankTip'] = null;
  const wand = new Map<number, RigEvidence['wand'][number]>();
  // A reading has a doubt even if none was told: a thousandth of the highest pressure or flow.
  const doubt = (u: number): number => Math.max(1e-3, u);
  for (const check of checks) {
    switch (check.kind) {
      case 'dial-at-zero':
        dialAtZero = datum(check.shown_Pa, check.standardUncertainty_Pa);
        break;
      case 'flow-stops-at':
        // Water stands in the hose up to the tip: so much the gauge still shows when the flow stops.
        flowStopsAt = datum(
          check.shown_Pa - (tipAboveGauge_m ?? 0) * PA_PER_METRE,
          check.standardUncertainty_Pa,
        );
        break;
      case 'blank-tip':
        blankTip = {
          mean: check.leak_m3_per_s / flowUnit,
          standardUncertainty: Math.max(1e-6, check.standardUncertainty_m3_per_s / flowUnit),
          pressure: check.pressure_Pa / unit_Pa,
        };
        break;
      case 'wand-gauge':
        wand.set(check.setting_Pa, {
          ...datum(check.wand_Pa, check.standardUncertainty_Pa),
          setting: check.setting_Pa / unit_Pa,
        });
        break;
      case 'sag-test':
      // The order of the settings is drawn so that a sag is scatter, not shape: it is told beside the finding, not fitted.
    }
  }
  const ofTheDial = !curve.pressureMeasured;
  return {
    dialAtZero: ofTheDial ? dialAtZero : null,
    flowStopsAt: ofTheDial ? flowStopsAt : null,
    blankTip,
    wand: ofTheDial && reference.from !== 'baseline' ? [...wand.values()] : [],
  };

  function datum(value_Pa: number, u_Pa: number): Datum {
    return { mean: value_Pa / unit_Pa, standardUncertainty: doubt(u_Pa / unit_Pa) };
  }
}
