/** When a check is over: what it showed beside its figure, and what is advised first. */
import type { Because, CheckResult, CheckView, ScaleDecision } from '../contract.ts';
import { sentenceOf, wholeSentence } from './because.ts';
import { checkWords } from './checks.ts';
import { fixed, significant } from './number.ts';
import type { ShownUnits } from './units.ts';

/** Yes or no: does it swallow a drip. Empty where nothing was poured in slowly. */
export function trickleSentence(result: CheckResult, units: ShownUnits): string {
  if (result.kind !== 'scale' || result.trickle === undefined) return '';
  const { trickled_kg, shown_kg, swallowed } = result.trickle;
  const amount = (mass_kg: number): string =>
    `${significant(units.mass.fromSI(mass_kg), 2)} ${units.mass.label}`;
  const shown = `of ${amount(trickled_kg)} poured in slowly it showed ${amount(shown_kg)}.`;
  return swallowed ? `The scale swallows a drip: ${shown}` : `The scale does not swallow a drip: ${shown}`;
}

/** A warning of a check. What is advised before the decision is not said after it, nor of a sweep that is over. */
export function checkWarning(
  warning: Because,
  { decisions, sweepId }: Pick<CheckView, 'decisions' | 'sweepId'>,
): string {
  if (warning !== 'scale-perhaps-tilted' || (decisions.length > 0 && sweepId === null))
    return wholeSentence(warning);
  const { what } = sentenceOf(warning);
  return sweepId === null ? what : `${what} ${checkWords.levelLater}`;
}

/** The decision that the page advises comes first; what can't be told is not corrected. */
export function decisionsInOrder({
  decisions,
  result,
}: Pick<CheckView, 'decisions' | 'result'>): readonly ScaleDecision[] {
  if (result?.kind !== 'scale' || result.verdict === 'off') return decisions;
  return [
    ...decisions.filter((decision) => decision === 'leave'),
    ...decisions.filter((decision) => decision !== 'leave'),
  ];
}

/** It may only stand crooked, and nothing was measured with it yet: levelling comes before deciding. */
export function isLevelFirst({ decisions, result, sweepId }: CheckView): boolean {
  return (
    sweepId === null &&
    decisions.length > 0 &&
    result?.kind === 'scale' &&
    result.warnings.includes('scale-perhaps-tilted')
  );
}

/** Rows of the loads of a scale check, in words and figures. */
export function loadRows(
  result: Extract<CheckResult, { kind: 'scale' }>,
  units: ShownUnits,
): readonly { readonly put: string; readonly shown: string; readonly off: string }[] {
  const { mass, load } = units;
  const finest = Math.max(result.step_kg ?? 0, 1e-4);
  const places = Math.max(0, Math.ceil(-Math.log10(load.fromSI(finest))));
  return result.loads.map(({ reference_kg, shown_kg }) => ({
    put: `${fixed(load.fromSI(reference_kg), places)} ${load.label}`,
    shown: `${fixed(load.fromSI(shown_kg), places)} ${load.label}`,
    off: `${significant(mass.fromSI(shown_kg - reference_kg), 2)} ${mass.label}`,
  }));
}
