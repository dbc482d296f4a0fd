/** The sentences of a result. First level: trade language, no statistics. */
import type { Analysis, CurvePicture, RatedComparison } from '../contract.ts';
import { fixed, giveOrTake, withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

/** The setting whose flow is told first: the middle one of those measured. */
export function headlineSetting(picture: CurvePicture): CurvePicture['settings'][number] | null {
  const sorted = [...picture.settings].sort((a, b) => a.setting_Pa - b.setting_Pa);
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? null;
}

export function resultSentence(tipName: string, picture: CurvePicture, units: ShownUnits): string {
  const headline = headlineSetting(picture);
  if (headline === null) return `${tipName}: no setting with a flow yet.`;
  const flow = giveOrTake(
    units.flow.fromSI(headline.flow_m3_per_s),
    units.flow.fromSI(headline.expandedUncertainty95_m3_per_s),
    units.flow.label,
  );
  return `${tipName} gives ${flow}, at ${pressureText(headline.setting_Pa, units)}.`;
}

const verdicts: Readonly<Record<RatedComparison['verdict'], string>> = {
  'below-limit': 'under the limit',
  'above-limit': 'over the limit: replace it if a second sweep says the same',
  'cannot-tell-yet': 'cannot tell yet: read the dial at zero',
};

/** "104 % of rated, give or take 3: under the limit of 110 % (a habit of the trade, no source)." */
export function ratedSentence(rated: RatedComparison, units: ShownUnits): string {
  const cut = withUncertainty(rated.ratio * 100, rated.ratioExpandedUncertainty95 * 100);
  const percent =
    cut === null
      ? `${fixed(rated.ratio * 100, 0)} % of rated`
      : `${cut.value} % of rated, give or take ${cut.plusMinus}`;
  const limit = fixed(rated.limitRatio * 100, 0);
  const at = pressureText(rated.ratedPressure_Pa, units);
  return `${percent}, at ${at}: ${verdicts[rated.verdict]}. The limit of ${limit} % is a habit of the trade, common practice with no source.`;
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

/** Whether the simulated truth lies inside the stated ±; told only for simulated tips. */
export function truthSentence(
  truth_m3_per_s_per_sqrtPa: number,
  picture: CurvePicture,
  units: ShownUnits,
): string {
  const unit = units.nozzleConstant;
  const measured = picture.curve.nozzleConstant_m3_per_s_per_sqrtPa;
  const half = picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
  const inside = Math.abs(measured - truth_m3_per_s_per_sqrtPa) <= half;
  const cut = withUncertainty(unit.fromSI(truth_m3_per_s_per_sqrtPa), unit.fromSI(half));
  const shown = cut === null ? String(unit.fromSI(truth_m3_per_s_per_sqrtPa)) : cut.value;
  const off = measured / truth_m3_per_s_per_sqrtPa - 1;
  const percent = `${fixed(Math.abs(off) * 100, 2)} % ${off < 0 ? 'under' : 'over'} the truth`;
  return `Its true k is ${shown} ${unit.label}; measured: ${nozzleConstantText(picture, units)}; ${percent}, ${inside ? 'inside the ±.' : 'outside the ±; that happens about once in twenty.'}`;
}
