/** One tip's own page: its flow in a sentence, its sweeps as rows, and the words of its form. */
import { toldPressure_Pa } from '../../src/planning/told-pressure.ts';
import type { RackSweep, RackTip } from '../contract.ts';
import { keptWhen } from './logbook.ts';
import { withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import { occasionWords } from './rack.ts';
import { flowAt } from './result.ts';
import type { ShownUnits } from './units.ts';

export const tipWords = {
  size: 'Size by ISO 10625',
  noSize: 'not marked',
  drawer: 'Drawer tip: never sprayed with, measured once a year to judge the rig by',
  retired: 'Retired: out of use, its sweeps stay. It is then no drawer tip',
  note: 'Note',
  kept: 'Kept.',
  keptHint: 'Each change is kept at once; Undo takes the last one back.',
  undone: 'Taken back.',
  seasonHint: 'This tip is invented; nothing is kept of it.',
  baseline: 'Which sweeps are its baseline',
  baselineByItself: 'those measured as new',
  baselineChosen: 'those I tick',
  baselineHint: 'Later checks are held against the baseline. Three sweeps or more also give limits.',
  baselineNone: 'No sweep with a curve yet.',
  baselineEmpty:
    'None is ticked: the tip has no baseline, and is held against its stamp alone, if it has one.',
} as const;

/** Where this tip's flow is told: at the rated pressure if its curve reaches it, else at its middle setting; null without one. */
export function tipPressure_Pa(tip: RackTip): number | null {
  const settings = (tip.curve?.settings ?? []).map(({ setting_Pa }) => setting_Pa);
  const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = tip;
  return toldPressure_Pa(
    settings,
    flow === null || pressure === null ? null : { ratedPressure_Pa: pressure },
  );
}

/** "0.412 gal/min, give or take 0.005, at 40 psi"; empty without a curve. */
export function tipFlow(tip: RackTip, units: ShownUnits): string {
  const newest = tip.sweeps.find(({ nozzleConstant_m3_per_s_per_sqrtPa: k }) => k !== null);
  const pressure_Pa = tipPressure_Pa(tip);
  const k = newest?.nozzleConstant_m3_per_s_per_sqrtPa ?? null;
  const half = newest?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? null;
  return k === null || half === null || pressure_Pa === null
    ? ''
    : `Gives ${flowAt(k, half, pressure_Pa, units)}.`;
}

export interface SweepRow {
  readonly sweepId: string;
  readonly when: string;
  readonly occasion: string;
  readonly rig: string;
  readonly catches: number;
  readonly flow: string;
  readonly plusMinus: string;
}

/** @param pressure_Pa where the flows of the curve are told; null: there is none to tell. */
export function sweepRow(
  sweep: RackSweep,
  pressure_Pa: number | null,
  units: ShownUnits,
  locale?: string,
): SweepRow {
  const k = sweep.nozzleConstant_m3_per_s_per_sqrtPa;
  const half = sweep.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
  const root = Math.sqrt(pressure_Pa ?? 0);
  const cut =
    k === null || half === null || pressure_Pa === null
      ? null
      : withUncertainty(units.flow.fromSI(k * root), units.flow.fromSI(half * root));
  return {
    sweepId: sweep.sweepId,
    when: keptWhen({ startedAt_ms: sweep.at_ms, timeZone: sweep.timeZone }, locale),
    occasion: `${occasionWords[sweep.occasion]}${sweep.timedByHand ? ', by hand' : ''}`,
    rig: sweep.rigName,
    catches: sweep.catches,
    flow: cut?.value ?? '–',
    plusMinus: cut?.plusMinus ?? '–',
  };
}

/** "Flow, gal/min at 40 psi" */
export function flowHead(pressure_Pa: number | null, units: ShownUnits): string {
  return pressure_Pa === null
    ? `Flow, ${units.flow.label}`
    : `Flow, ${units.flow.label} at ${pressureText(pressure_Pa, units)}`;
}
