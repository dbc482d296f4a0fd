import { asEarlier } from '../../analysis/diagnosis/diagnosis.ts';
import type { Diagnosis, SettlingTest } from '../../analysis/diagnosis/diagnosis.ts';
import type { Absence } from '../../base/because.ts';
import { referenceOfBaseline } from './baseline.ts';
import { keyOf, type BookTip } from './book.ts';
import { diagnosisOf } from './diagnosis-of.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackBaseline } from './rack-view.ts';
import type { TipWeeks } from './tip-weeks.ts';

type Weeks = ReadonlyMap<string, ReadonlyMap<string, TipWeeks>>;

export interface DiagnosedTip {
  readonly diagnosis: Diagnosis | null;
  readonly because: Absence | null;
  readonly settledBy: readonly SettlingTest[];
}

/**
 * The finding of the newest sweep of a tip that allows one, against the tip's baseline on that rig where there is one; it knows what the
 * sweep before it on the same rig was said to show.
 */
export function diagnoseTip(tip: BookTip, weeks: Weeks): DiagnosedTip {
  let newestBecause: DiagnosedTip | null = null;
  for (const sweep of tip.sweeps) {
    const first = diagnosisOf(sweep, baselineFor(sweep, tip, weeks), null);
    if ('because' in first) {
      newestBecause ??= { diagnosis: null, because: first.because, settledBy: first.settledBy };
      continue;
    }
    const earlier = causeBefore(tip, sweep, baselineSweepsFor(sweep, tip, weeks));
    const diagnosis = earlier === null ? first : diagnosisOf(sweep, baselineFor(sweep, tip, weeks), earlier);
    if ('because' in diagnosis) continue; // The same sweep against the same reference: it has one.
    return { diagnosis, because: null, settledBy: diagnosis.settledBy };
  }
  return newestBecause ?? { diagnosis: null, because: 'no-curve', settledBy: ['more-catches'] };
}

/** The finding of the tip's newest sweep on one rig, not before a day, that allows one; null: none does. */
export function diagnoseOnRig(tip: BookTip, weeks: Weeks, rig: string, from_ms: number): Diagnosis | null {
  for (const sweep of tip.sweeps) {
    if (rigOf(sweep) !== rig || sweep.at_ms < from_ms) continue;
    const found = diagnosisOf(sweep, baselineFor(sweep, tip, weeks), null);
    if (!('because' in found)) return found;
  }
  return null;
}

/** What the newest sweep before it, on the same rig, was said to show; null: none before, or none with a verdict. */
function causeBefore(tip: BookTip, of: KeptSweep, baseline: readonly KeptSweep[]): string | null {
  const before = tip.sweeps.slice(tip.sweeps.indexOf(of) + 1).filter((sweep) => rigOf(sweep) === rigOf(of));
  return earlierCause(before, baseline, !baseline.includes(of));
}

/**
 * The cause that the newest of some sweeps of one tip on one rig was said to show. Not looked for beyond the baseline's first sweep: what
 * was measured before is another tip's. Null too where it was held against something else than the one after it will be.
 * @param sweeps newest first. @param baseline oldest first; empty: none. @param againstBaseline what the one after them is held against.
 */
export function earlierCause(
  sweeps: readonly KeptSweep[],
  baseline: readonly KeptSweep[],
  againstBaseline = baseline.length > 0,
): string | null {
  const from_ms = baseline[0]?.at_ms ?? -Infinity;
  for (const sweep of sweeps) {
    if (sweep.at_ms < from_ms) return null;
    const held = baseline.includes(sweep) ? [] : baseline;
    const found = diagnosisOf(sweep, referenceOfBaseline(held, sweep.setup.rig.name), null);
    if ('because' in found) continue;
    return held.length > 0 === againstBaseline ? asEarlier(found.finding) : null;
  }
  return null;
}

/** No sweep is held against a baseline that it is part of: its error would be in both. */
function baselineFor(sweep: KeptSweep, tip: BookTip, weeks: Weeks): RackBaseline | null {
  const sweeps = baselineSweepsFor(sweep, tip, weeks);
  return sweeps.includes(sweep) ? null : referenceOfBaseline(sweeps, sweep.setup.rig.name);
}

function baselineSweepsFor(sweep: KeptSweep, tip: BookTip, weeks: Weeks): readonly KeptSweep[] {
  return weeks.get(rigOf(sweep))?.get(tip.key)?.baseline.sweeps ?? [];
}

function rigOf({ setup, simulated }: KeptSweep): string {
  return keyOf(setup.rig.name, simulated);
}
