/** The sentences of a result. First level: trade language, no statistics. */
import { toldPressure_Pa } from '../../src/planning/told-pressure.ts';
import type { Analysis, CurvePicture, RatedComparison } from '../contract.ts';
import { habitSource } from './habit-source.ts';
import { fixed, giveOrTake, significant, withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

/** "0.412 gal/min, give or take 0.005, at 40 psi": flow of a curve with this k, k·√pressure with the ± of k. */
export function flowAt(
  nozzleConstant_m3_per_s_per_sqrtPa: number,
  expanded_m3_per_s_per_sqrtPa: number,
  pressure_Pa: number,
  units: ShownUnits,
): string {
  const root = Math.sqrt(pressure_Pa);
  const flow = giveOrTake(
    units.flow.fromSI(nozzleConstant_m3_per_s_per_sqrtPa * root),
    units.flow.fromSI(expanded_m3_per_s_per_sqrtPa * root),
    units.flow.label,
  );
  return `${flow}, at ${pressureText(pressure_Pa, units)}`;
}

/** Where this result's flow is told: the rated pressure if the sweep reaches it, else the middle setting; null without a setting. */
export function headlinePressure_Pa(picture: CurvePicture): number | null {
  return toldPressure_Pa(
    picture.settings.map(({ setting_Pa }) => setting_Pa),
    picture.rated,
  );
}

export function resultSentence(tipName: string, picture: CurvePicture, units: ShownUnits): string {
  const pressure_Pa = headlinePressure_Pa(picture);
  if (pressure_Pa === null) return `${tipName}: no setting with a flow yet.`;
  const { nozzleConstant_m3_per_s_per_sqrtPa: k } = picture.curve;
  return `${tipName} gives ${flowAt(k, picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa, pressure_Pa, units)}.`;
}

type DialZero = CurvePicture['dialZero'];

const verdicts: Readonly<Record<RatedComparison['verdict'], (limit: string, zero: DialZero) => string>> = {
  'below-limit': (limit) => `under ${limit}.`,
  'above-limit': (limit) => `over ${limit}. Replace it if a second sweep says the same.`,
  'cannot-tell-yet': (limit, zero) => `too near ${limit} to tell yet. ${wayOut(zero)}`,
};

function wayOut(zero: DialZero): string {
  if (zero === undefined) return 'Turn the pump off and let the pressure out: does the dial show zero?';
  if (zero.corrected) return 'The dial was read at no pressure already; more catches make the ± smaller.';
  return zero.shown_Pa === 0
    ? 'The dial shows zero at no pressure; if its needle rests on a pin there, it may read low all the same. Hold a gauge to the wand.'
    : 'What the dial shows at no pressure leaves nothing of the lowest setting: have it put right.';
}

/**
 * "104 % of rated, give or take 3 with the doubt of the dial itself, at 40 psi: under the limit of 110 %." The flow is told at a mark of
 * the dial, the comparison at a true pressure, so its ± is wider. Where the limit comes from is said one step deeper.
 * @param byDial the pressures are the dial's: a sensor's doubt is in both.
 * @param zero what the dial showed at no pressure; undefined: nobody looked.
 */
export function ratedSentence(
  rated: RatedComparison,
  units: ShownUnits,
  byDial = true,
  zero?: DialZero,
): string {
  const cut = withUncertainty(rated.ratio * 100, rated.ratioExpandedUncertainty95 * 100);
  const percent =
    cut === null
      ? `${fixed(rated.ratio * 100, 0)} % of rated`
      : `${cut.value} % of rated, give or take ${cut.plusMinus}${dialDoubt(units, byDial, zero)}`;
  const at = pressureText(rated.ratedPressure_Pa, units);
  return `${percent}, at ${at}: ${verdicts[rated.verdict](`the limit of ${fixed(rated.limitRatio * 100, 0)} %`, zero)}`;
}

function dialDoubt(units: ShownUnits, byDial: boolean, zero: DialZero): string {
  if (!byDial) return '';
  return zero?.corrected === true
    ? ` with the ${signed(zero.shown_Pa, units)} that the dial shows at no pressure taken off`
    : ' with the doubt of the dial itself';
}

function signed(pressure_Pa: number, units: ShownUnits): string {
  return `${pressure_Pa < 0 ? '−' : ''}${pressureText(Math.abs(pressure_Pa), units)}`;
}

/**
 * The comparison against the limit that the person goes by: over it or under it only with the whole ±.
 * @param limitRatio flow over rated; absent: the limit it came with.
 */
export function withLimit(rated: RatedComparison, limitRatio = rated.limitRatio): RatedComparison {
  const { ratio, ratioExpandedUncertainty95: half } = rated;
  const verdict =
    ratio - half > limitRatio ? 'above-limit' : ratio + half < limitRatio ? 'below-limit' : 'cannot-tell-yet';
  return limitRatio === rated.limitRatio ? rated : { ...rated, limitRatio, verdict };
}

export function limitSentence(rated: RatedComparison): string {
  return `The limit of ${fixed(rated.limitRatio * 100, 0)} % is your choice under Options. ${habitSource(rated.limitRatio)}`;
}

/** k in the person's units, with its ±. */
export function nozzleConstantText(picture: CurvePicture, units: ShownUnits): string {
  const unit = units.nozzleConstant;
  return giveOrTake(
    unit.fromSI(picture.curve.nozzleConstant_m3_per_s_per_sqrtPa),
    unit.fromSI(picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa),
    unit.label,
  );
}

/** The exponent with its standard uncertainty doubled is not told here: the page has no distributions, so it says "standard". */
export function exponentText(curve: NonNullable<Analysis['curve']>): string | null {
  if (curve.exponent === null || curve.exponentStandardUncertainty === null) return null;
  const cut = withUncertainty(curve.exponent, curve.exponentStandardUncertainty);
  return cut === null ? null : `${cut.value}, standard uncertainty ${cut.plusMinus}`;
}

/**
 * Whether the simulated truth lies inside the stated ±; told only for simulated tips, at the pressure of the headline.
 * @param blamed conditions that can be why it is outside (`conditionsToBlame`); null where only chance can.
 */
export function truthSentence(
  truth_m3_per_s_per_sqrtPa: number,
  picture: CurvePicture,
  units: ShownUnits,
  blamed: string | null = null,
): string {
  const pressure_Pa = headlinePressure_Pa(picture);
  const root = Math.sqrt(pressure_Pa ?? 0);
  const measured = picture.curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const half = picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
  const inside = Math.abs(measured - truth_m3_per_s_per_sqrtPa) <= half;
  const shown = (constant: number): string => {
    const cut = withUncertainty(units.flow.fromSI(constant * root), units.flow.fromSI(half * root));
    return cut?.value ?? significant(units.flow.fromSI(constant * root), 3);
  };
  const plusMinus = withUncertainty(1, units.flow.fromSI(half * root))?.plusMinus ?? '–';
  const off = measured / truth_m3_per_s_per_sqrtPa - 1;
  // Never more digits than the ± has.
  const cutOff = withUncertainty(Math.abs(off) * 100, (half / truth_m3_per_s_per_sqrtPa) * 100);
  const percent = `${cutOff?.value ?? fixed(Math.abs(off) * 100, 1)} % ${off < 0 ? 'under' : 'over'} the truth`;
  const at = pressure_Pa === null ? '' : `, at ${pressureText(pressure_Pa, units)}`;
  return `${shown(truth_m3_per_s_per_sqrtPa)} ${units.flow.label}; measured: ${shown(measured)}, give or take ${plusMinus}${at}; ${percent}, ${inside ? 'inside the ±.' : outside(blamed)}`;
}

function outside(blamed: string | null): string {
  return blamed === null
    ? 'outside the ±; that happens about once in twenty.'
    : `outside the ±. That comes of what was chosen for this bench (${blamed}): the catches can’t show it, so the ± doesn’t hold it.`;
}

/** k of the simulated tip, for the step below. */
export function trueNozzleConstantText(
  truth_m3_per_s_per_sqrtPa: number,
  picture: CurvePicture,
  units: ShownUnits,
): string {
  const unit = units.nozzleConstant;
  const cut = withUncertainty(
    unit.fromSI(truth_m3_per_s_per_sqrtPa),
    unit.fromSI(picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa),
  );
  return `${cut?.value ?? significant(unit.fromSI(truth_m3_per_s_per_sqrtPa), 3)} ${unit.label}`;
}
