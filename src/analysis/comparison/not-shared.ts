import type { Absence } from '../../base/because.ts';
import type { UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';
import type { BudgetInput, SharedPart } from '../budget/budget.ts';
import { endless } from '../budget/shared-degrees.ts';
import type { TipSweep } from './tip-sweep.ts';
import type { NotAlike } from './tips-compared.ts';

/** Parts of the scale and what goes with it; the water; what belongs to a meter. */
const OF_THE_SCALE: readonly BudgetInput[] = ['scale-factor', 'unchecked-scale', 'air-density'];
const OF_THE_CLOCK: readonly BudgetInput[] = ['host-clock', 'device-clock'];
const OF_THE_METER: readonly BudgetInput[] = ['meter-factor', 'meter-reference', 'unchecked-meter'];

/** What two sweeps were not alike in. */
export function notAlike(a: TipSweep, b: TipSweep): NotAlike[] {
  const found: NotAlike[] = [];
  if (a.rig !== b.rig) found.push('another-rig');
  if (!isSameInstrument(a, b)) found.push('another-instrument');
  if (!isSameWater(a, b)) found.push('another-water');
  if (a.day !== b.day) found.push('another-day');
  if (a.pressure.source !== b.pressure.source) found.push('another-pressure-source');
  return found;
}

/** Why two sweeps can't be held against each other at all; null: they can. */
export function whyNot(a: TipSweep, b: TipSweep): Absence | null {
  if (a.simulated !== b.simulated) return 'simulated-against-measured';
  if (!a.held || !b.held) return 'flow-not-held';
  const oneCorrection = isSameInstrument(a, b) && isSameCorrection(a, b);
  if (!oneCorrection && !(isChecked(a) && isChecked(b))) return 'instruments-not-checked';
  const tied = (one: TipSweep): boolean => one.pressure.sharedGainRelativeStandardUncertainty !== null;
  if (a.rig !== b.rig && !(tied(a) && tied(b))) return 'rigs-not-tied';
  const overlap =
    Math.min(a.curve.highestPressure_Pa, b.curve.highestPressure_Pa) -
    Math.max(a.curve.lowestPressure_Pa, b.curve.lowestPressure_Pa);
  return overlap < 0 ? 'no-common-range' : null;
}

/**
 * What enters the ratio of two flows and is not in either's own ±, relative. One scale with one correction on one day cancels (not what a
 * later check found it had drifted by); one water of one day cancels; a meter's factor cancels, its untold offset as far as the flows are
 * alike. An offset of one rig's pressure falls on both and leaves the difference of what it does to them; its gain cancels. Two rigs, or a
 * dial against a sensor: each its own.
 */
export function notShared(a: TipSweep, b: TipSweep, pressure_Pa?: number): UncertaintyPart[] {
  return [...flowParts(a, b, pressure_Pa), ...pressureParts(a, b, pressure_Pa)];
}

/** What the shared parts of two flows have to say of their ratio. */
export type SharedOfFlow = Pick<TipSweep, 'shared' | 'flowFrom' | 'instrument' | 'day'>;

/** The same of the flows alone, without what a meter's untold offset does: it cancels where two flows are about alike. */
export function flowNotShared(a: SharedOfFlow, b: SharedOfFlow): UncertaintyPart[] {
  const sameInstrument = isSameInstrument(a, b);
  const cancelling = new Set<BudgetInput>([
    ...(sameInstrument && a.day === b.day && isSameCorrection(a, b) ? OF_THE_SCALE : []),
    ...(sameInstrument ? [...OF_THE_CLOCK, ...(isSameCorrection(a, b) ? OF_THE_METER : [])] : []),
    ...(isSameWater(a, b) ? (['water-temperature'] as const) : []),
  ]);
  return [a, b].flatMap((one) => one.shared.filter((part) => !cancelling.has(part.input)).map(asPart));
}

function flowParts(a: TipSweep, b: TipSweep, pressure_Pa?: number): UncertaintyPart[] {
  const offset = isSameInstrument(a, b)
    ? known(
        a.meterOffsetStandardUncertainty_m3_per_s *
          Math.abs(1 / typicalFlow(a, pressure_Pa) - 1 / typicalFlow(b, pressure_Pa)),
      )
    : [];
  return [...flowNotShared(a, b), ...offset];
}

function pressureParts(a: TipSweep, b: TipSweep, pressure_Pa?: number): UncertaintyPart[] {
  const sensitivity = (one: TipSweep): number =>
    pressure_Pa === undefined ? one.curve.offsetSensitivity_per_Pa : 1 / (2 * pressure_Pa);
  // A sensor's is in the ± of k already, but not in that of the flow at one setting; here it is taken out of both and put once.
  const offset = (one: TipSweep): number =>
    one.pressure.sharedOffsetStandardUncertainty_Pa * sensitivity(one);
  if (a.rig === b.rig && a.pressure.source === b.pressure.source) {
    return known(a.pressure.sharedOffsetStandardUncertainty_Pa * Math.abs(sensitivity(a) - sensitivity(b)));
  }
  const gain = (one: TipSweep): number => (one.pressure.sharedGainRelativeStandardUncertainty ?? 0) / 2;
  return [...known(offset(a)), ...known(offset(b)), ...known(gain(a)), ...known(gain(b))];
}

function typicalFlow(one: TipSweep, pressure_Pa?: number): number {
  const at = pressure_Pa ?? (one.curve.lowestPressure_Pa + one.curve.highestPressure_Pa) / 2;
  return one.curve.nozzleConstant_m3_per_s_per_sqrtPa * Math.sqrt(at);
}

function isSameInstrument(a: SharedOfFlow, b: SharedOfFlow): boolean {
  return a.instrument !== null && a.instrument === b.instrument && a.flowFrom === b.flowFrom;
}

function isSameWater(a: SharedOfFlow, b: SharedOfFlow): boolean {
  const bothByMeter = a.flowFrom === 'pulses' && b.flowFrom === 'pulses';
  return (
    bothByMeter || (a.day === b.day && valueOf(a, 'water-temperature') === valueOf(b, 'water-temperature'))
  );
}

/** The same number was applied, with the same doubt; or none to both. */
function isSameCorrection(a: SharedOfFlow, b: SharedOfFlow): boolean {
  const input = a.flowFrom === 'mass' ? 'scale-factor' : 'meter-factor';
  return valueOf(a, input) === valueOf(b, input);
}

function valueOf(one: SharedOfFlow, input: BudgetInput): number | null {
  return one.shared.find((part) => part.input === input)?.value ?? null;
}

function isChecked(one: TipSweep): boolean {
  const input = one.flowFrom === 'mass' ? 'scale-factor' : 'meter-factor';
  return one.shared.some((part) => part.input === input);
}

function asPart({ relative, degreesOfFreedom }: SharedPart): UncertaintyPart {
  return { standardUncertainty: Math.abs(relative), degreesOfFreedom: endless(degreesOfFreedom) };
}

function known(standardUncertainty: number): UncertaintyPart[] {
  return standardUncertainty > 0 ? [{ standardUncertainty, degreesOfFreedom: Infinity }] : [];
}
