/** Columns for the live trace, and the brackets over its catches. */
import type { CatchView } from '../contract.ts';
import { plain, withUncertainty } from '../wording/number.ts';
import type { ShownUnits } from '../wording/units.ts';

/** What the chart draws from; `version` changes with every batch, and reading it is what makes the chart draw again. */
export interface TraceSource {
  readonly version: number;
  readonly time_s: readonly number[];
  readonly mass_kg: readonly number[];
  readonly newest_s: number | null;
  readonly window_s: number;
}

export type TraceColumns = [number[], (number | null)[]];

/** Seconds and shown mass; where the instrument gave no number the line breaks (null, never NaN). */
export function traceColumns(
  time_s: readonly number[],
  mass_kg: readonly number[],
  units: ShownUnits,
): TraceColumns {
  return [[...time_s], mass_kg.map((mass) => (Number.isFinite(mass) ? units.mass.fromSI(mass) : null))];
}

export interface Bracket {
  readonly start_s: number;
  readonly stop_s: number;
  readonly label: string;
  readonly kind: 'kept' | 'void' | 'running';
}

export interface RunningBracket {
  readonly elapsed_s: number;
  readonly setting_Pa: number | null;
}

/** @param newest_s time of the newest reading, where a running catch ends for now. */
export function brackets(
  catches: readonly CatchView[],
  running: RunningBracket | null,
  newest_s: number | null,
  units: ShownUnits,
): Bracket[] {
  const setting = (pressure_Pa: number | null): string =>
    pressure_Pa === null ? '' : `${plain(units.pressure.fromSI(pressure_Pa))} ${units.pressure.label}`;
  const drawn: Bracket[] = catches.map((thisCatch) => {
    const gone = thisCatch.voidBecause !== null || thisCatch.struck;
    const cut =
      thisCatch.flow_m3_per_s === null || thisCatch.expandedUncertainty95_m3_per_s === null
        ? null
        : withUncertainty(
            units.flow.fromSI(thisCatch.flow_m3_per_s),
            units.flow.fromSI(thisCatch.expandedUncertainty95_m3_per_s),
          );
    const figure = thisCatch.voidBecause !== null ? 'void' : thisCatch.struck ? 'struck' : (cut?.value ?? '');
    return {
      start_s: thisCatch.start_s,
      stop_s: thisCatch.stop_s,
      label: `${setting(thisCatch.setting_Pa)} ${figure}`.trim(),
      kind: gone ? 'void' : 'kept',
    };
  });
  if (running !== null && newest_s !== null)
    drawn.push({
      start_s: newest_s - running.elapsed_s,
      stop_s: newest_s,
      label: setting(running.setting_Pa),
      kind: 'running',
    });
  return drawn;
}
