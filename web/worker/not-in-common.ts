import type { BudgetLine } from '../../src/analysis/budget/budget.ts';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import type { SweepRecord } from '../../src/records/bench-record.ts';
import type { AnalysedFile } from '../contract.ts';
import { isSameInstrument } from './device/same-instrument.ts';
import { readHeader } from './read-header.ts';

/** What a sweep was measured with, as far as it can differ from another's. */
export interface MeasuredWith {
  readonly byMeter: boolean;
  readonly instrument: SweepRecord['instrument'];
  readonly header: CaptureHeader | null;
  /** Largest over the catches, relative standard uncertainty, by input of the budget. */
  readonly shared: ReadonlyMap<Input, number>;
  /** What the shown mass was multiplied by, by the header's check or one that was marked later. */
  readonly scaleFactor: number;
}
type Input = BudgetLine['input'];

export function measuredWith(record: SweepRecord, byMeter: boolean, { budgets }: AnalysedFile): MeasuredWith {
  const header = readHeader(record.captureHeader);
  const shared = new Map<Input, number>();
  let scaleFactor = 1;
  for (const budget of budgets.catches) {
    for (const { input, scope, included, contribution, value } of budget?.lines ?? []) {
      if (scope !== 'shared' || !included) continue;
      shared.set(input, Math.max(shared.get(input) ?? 0, contribution / budget!.value));
      if (input === 'scale-factor') scaleFactor = value ?? 1;
    }
  }
  return {
    byMeter,
    instrument: record.instrument,
    header: header.ok ? header.value : null,
    shared,
    scaleFactor,
  };
}

/** Keys of the header that say what a scale is worth and what was done about it. */
const ofTheScale = [
  'scaleFactor',
  'scaleFactorRelativeStandardUncertainty',
  'scaleFactorFrom',
  'scaleFactorFound',
] as const;

/**
 * What each of two sweeps shares within itself and not with the other, relative standard uncertainties in their order: of one scale with
 * one correction the scale cancels, but not how it drifted; water of one stated temperature cancels. What is different in both stays in
 * both. Null: instruments or corrections differ, and one was never checked, so that nobody can say how far they lie apart.
 */
export function notInCommon(a: MeasuredWith, b: MeasuredWith): readonly [number, number] | null {
  const bothWeighed = !a.byMeter && !b.byMeter;
  const isSame = (key: keyof CaptureHeader): boolean => a.header?.[key] === b.header?.[key];
  const oneScale =
    bothWeighed &&
    isSameInstrument(a.instrument, b.instrument) &&
    ofTheScale.every(isSame) &&
    a.scaleFactor === b.scaleFactor;
  if (!oneScale && !(isChecked(a) && isChecked(b))) return null;
  const cancelling = new Set<Input>([
    ...(oneScale ? (['scale-factor', 'air-density', 'host-clock'] as const) : []),
    ...(bothWeighed && isSame('waterTemperature_degC') ? (['water-temperature'] as const) : []),
  ]);
  const left = ({ shared }: MeasuredWith): number =>
    Math.hypot(...[...shared].map(([input, u]) => (cancelling.has(input) ? 0 : u)));
  return [left(a), left(b)];
}

function isChecked({ byMeter, shared }: MeasuredWith): boolean {
  return shared.has(byMeter ? 'meter-factor' : 'scale-factor');
}
