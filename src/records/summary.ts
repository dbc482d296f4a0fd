import type { Refusal } from '../base/outcome.ts';
import type { BenchRecord } from './bench-record.ts';
import type { Routine, SweepSetup } from './sweep-setup.ts';
import { standing, standingStrikes } from './standing.ts';
import { toldPressure_Pa } from '../planning/told-pressure.ts';

/** One line of the list of sweeps. Can be made without reading a catch or a reading. */
export interface SweepSummary {
  readonly sweepId: string;
  readonly startedAt_ms: number;
  readonly timeZone: string;
  /** Of two that took turns both, A first. */
  readonly tipName: string;
  /** Several tips, or positions of a boom, took turns: there is no one curve. Absent: one tip. */
  readonly routine?: Routine['kind'];
  readonly rigName: string;
  readonly simulated: boolean;
  readonly timedByHand: boolean;
  readonly finished: boolean;
  /** Catches that stand: withdrawn and corrected ones are not counted, void and struck ones are. */
  readonly catches: number;
  readonly struck: number;
  /** As shown when the sweep ended; null before. */
  readonly nozzleConstant_m3_per_s_per_sqrtPa: number | null;
  readonly nozzleConstantExpanded95_m3_per_s_per_sqrtPa: number | null;
  /** Where its flow is told: at the rated pressure if the sweep reaches it, else at the middle setting. */
  readonly toldPressure_Pa: number | null;
  /** Why this sweep can't be opened, for instance `storage-newer` with both numbers; null when it can. */
  readonly unreadable: Refusal | null;
}

/**
 * `records`: those of one sweep, of which the catches may be left out except those that replace others;
 * `catchesKept`: how many catch records there are in all. Null when the record that begins the sweep isn't there.
 */
export function summarise(records: readonly BenchRecord[], catchesKept: number): SweepSummary | null {
  const { sweep, byHand, end } = standing(records);
  const begun = sweep ?? byHand;
  if (begun === null) return null;
  // The day it began, even when its first record was corrected later.
  const first = records.find((record) => record.id === begun.sweepId) ?? begun;
  const shown = byHand?.shown ?? end?.shown ?? null;
  return {
    sweepId: begun.sweepId,
    startedAt_ms: first.recordedAt_ms,
    timeZone: first.timeZone,
    tipName: tipNames(begun.setup),
    ...(begun.setup.routine === null ? {} : { routine: begun.setup.routine.kind }),
    rigName: begun.setup.rig.name,
    simulated: begun.simulated,
    timedByHand: byHand !== null,
    finished: byHand !== null || end !== null,
    catches: byHand === null ? catchesKept - replacedCatches(records) : byHand.catches.length,
    struck: standingStrikes(records).length,
    nozzleConstant_m3_per_s_per_sqrtPa: shown?.curve?.nozzleConstant_m3_per_s_per_sqrtPa ?? null,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: shown?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? null,
    toldPressure_Pa: toldPressure_Pa(
      byHand === null ? begun.setup.settings_Pa : settingsOf(byHand.catches),
      shown?.rated ?? null,
    ),
    unreadable: null,
  };
}

function tipNames({ tip, routine }: SweepSetup): string {
  if (routine?.kind === 'tip-against-tip') return `${tip.name} · ${routine.otherTip.name}`;
  if (routine?.kind === 'bag') return [tip, ...routine.otherTips].map(({ name }) => name).join(' · ');
  return tip.name;
}

/** Each once: of a hand-timed sweep it is known which were reached. */
function settingsOf(catches: readonly { readonly setting_Pa: number }[]): readonly number[] {
  return [...new Set(catches.map(({ setting_Pa }) => setting_Pa))];
}

function replacedCatches(records: readonly BenchRecord[]): number {
  const replaced = new Set<string>();
  for (const record of records) {
    if (record.kind !== 'catch' && record.kind !== 'catch-withdrawn') continue;
    if (record.replaces !== null) replaced.add(record.replaces);
  }
  return replaced.size;
}

/** The line of a sweep that this program can't read; only what every version of a record promises is used. */
export function summariseUnreadable(sweepId: string, stored: unknown, unreadable: Refusal): SweepSummary {
  const envelope = (typeof stored === 'object' && stored !== null ? stored : {}) as Record<string, unknown>;
  const { recordedAt_ms, timeZone } = envelope;
  return {
    sweepId,
    startedAt_ms: typeof recordedAt_ms === 'number' ? recordedAt_ms : 0,
    timeZone: typeof timeZone === 'string' ? timeZone : 'UTC',
    tipName: '',
    rigName: '',
    simulated: envelope['simulated'] === true,
    timedByHand: false,
    finished: false,
    catches: 0,
    struck: 0,
    nozzleConstant_m3_per_s_per_sqrtPa: null,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: null,
    toldPressure_Pa: null,
    unreadable,
  };
}
