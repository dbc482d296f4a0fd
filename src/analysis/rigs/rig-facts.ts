import type { Warning } from '../../base/because.ts';
import type { CaptureHeader, RigKind } from '../../signal/captures/header.ts';

/** What of the rig changes how a catch is read. */
export interface RigFacts {
  readonly kind: RigKind;
  /** Pumped while spraying: the beat; null where nobody named it. */
  readonly strokePeriod_s: number | null;
  readonly standsOnScale: 'pail' | 'sprayer';
}

/** Of a header; null for a held pressure into a pail, which is as always. */
export function rigFacts(header: CaptureHeader): RigFacts | null {
  const kind = header.rigKind ?? 'held';
  const standsOnScale = header.standsOnScale ?? 'pail';
  if (kind === 'held' && standsOnScale === 'pail') return null;
  return { kind, strokePeriod_s: header.strokePeriod_s ?? null, standsOnScale };
}

/** What stands in doubt over a whole capture because of its rig. */
export function rigWarnings(rig: RigFacts | null): Warning[] {
  if (rig?.kind !== 'pumped-while-spraying') return [];
  const warnings: Warning[] = [];
  if (rig.strokePeriod_s === null) warnings.push('beat-not-told');
  if (rig.standsOnScale === 'sprayer') warnings.push('pumping-presses-on-scale');
  return warnings;
}
