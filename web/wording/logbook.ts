/** A kept sweep in one line each: when, and what came out. */
import type { KeptSweep, SweepSetup } from '../contract.ts';
import { plain } from './number.ts';
import { words } from './page.ts';
import { flowAt } from './result.ts';
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

/** Of a boom the name stands for all of its nozzles, and says so. */
export function keptName({ tipName, routine }: Pick<KeptSweep, 'tipName' | 'routine'>): string {
  return routine === 'boom' ? `Boom of ${tipName}` : tipName;
}

/** "0.412 gal/min, give or take 0.005, at 40 psi": the flow that the curve gives there. */
export function keptFigure(
  kept: Pick<
    KeptSweep,
    | 'nozzleConstant_m3_per_s_per_sqrtPa'
    | 'nozzleConstantExpanded95_m3_per_s_per_sqrtPa'
    | 'toldPressure_Pa'
    | 'routine'
  >,
  units: ShownUnits,
): string {
  const k = kept.nozzleConstant_m3_per_s_per_sqrtPa;
  const half = kept.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
  if (kept.routine === 'boom') return 'Nozzles of a boom, each against the mean.';
  if (kept.routine === 'bag') return 'Several tips: which of them are different.';
  if (kept.routine === 'tip-against-tip') return 'Two tips against each other.';
  if (k === null || half === null || kept.toldPressure_Pa === null) return 'No curve yet.';
  return flowAt(k, half, kept.toldPressure_Pa, units);
}

/** "25 Nov 2026, 14:16 · green knapsack · water 64 °F · timed by an instrument": what a result has to say about itself on paper. */
export function aboutLine(
  kept: Pick<KeptSweep, 'startedAt_ms' | 'timeZone' | 'simulated' | 'timedByHand'>,
  setup: SweepSetup,
  units: ShownUnits,
  locale?: string,
): string {
  const text = words.logbook;
  const { temperature } = units;
  const water = setup.waterTemperature_degC;
  return [
    keptWhen(kept, locale),
    setup.rig.name,
    water === null ? text.waterNotTold : `water ${plain(temperature.fromSI(water))} ${temperature.label}`,
    kept.timedByHand ? text.timedByHand : kept.simulated ? text.onSimulated : text.withInstrument,
  ].join(' · ');
}
