/** A kept sweep in one line each: when, and what came out. */
import type { KeptSweep } from '../contract.ts';
import { giveOrTake } from './number.ts';
import type { ShownUnits } from './units.ts';

/** Date and time where it was measured, in the reader's way of writing. */
export function keptWhen(kept: Pick<KeptSweep, 'startedAt_ms' | 'timeZone'>, locale?: string): string {
  const options: Intl.DateTimeFormatOptions = { dateStyle: 'medium', timeStyle: 'short' };
  try {
    return new Intl.DateTimeFormat(locale, { ...options, timeZone: kept.timeZone }).format(kept.startedAt_ms);
  } catch {
    // A zone this browser does not know: its own time, rather than none.
    return new Intl.DateTimeFormat(locale, options).format(kept.startedAt_ms);
  }
}

export function keptFigure(kept: KeptSweep, units: ShownUnits): string {
  const k = kept.nozzleConstant_m3_per_s_per_sqrtPa;
  const half = kept.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
  if (k === null || half === null) return 'No curve yet.';
  const unit = units.nozzleConstant;
  return `k: ${giveOrTake(unit.fromSI(k), unit.fromSI(half), unit.label)}`;
}
