import type { BenchView } from '../contract.ts';

/** Time between two clicks while strokes are asked for; a bench faster than real time has no beat that anybody could hear. */
export function beatOf({ sweep, instrument }: BenchView): number | null {
  if (sweep === null || (instrument.speed ?? 1) > 1) return null;
  const asksForStrokes = sweep.prompt.kind === 'set-and-spray' || sweep.prompt.kind === 'keep-spraying';
  return asksForStrokes ? sweep.setup.rig.strokePeriod_s : null;
}
