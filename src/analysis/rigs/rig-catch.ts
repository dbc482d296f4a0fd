import { refused, ok, type Outcome } from '../../base/outcome.ts';
import type { Warning } from '../../base/because.ts';
import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import type { MassFlowEstimate } from '../flow/estimate-mass-flow.ts';
import { LARGEST_PUSH_PER_FLOW_s } from '../flow/jet-allowance.ts';
import { BACK_TRIM_s, frontTrim_s } from '../flow/steady-window.ts';
import { fallingFlow } from './falling-flow.ts';
import type { FallingRow } from './falling-flow.ts';
import { rhythmOf } from './rhythm.ts';
import type { RigFacts } from './rig-facts.ts';
import { steadySince } from './steady-since.ts';
import { strokeDrift } from './stroke-drift.ts';
import { STROKES_WANTED } from './strokes-wanted.ts';
import { unbumped } from './unbumped.ts';
import { FEWEST_STROKES, OFF_BEAT_SHARE, strokeMeans, wholeStrokes } from './whole-strokes.ts';

/** What a catch tells beyond its flow, SI, as shown by the scale (kg). */
export type RigDetail =
  | {
      readonly kind: 'strokes';
      readonly strokes: number;
      readonly beat_s: number;
      /** The rhythm as it was; null when none stood out. */
      readonly rhythm_s: number | null;
      /** Standard deviation of one stroke's water, relative. */
      readonly strokeScatter: number;
    }
  | {
      readonly kind: 'falling';
      readonly rows: readonly FallingRow[];
      readonly degreesOfFreedom: number;
    }
  | { readonly kind: 'hose'; readonly steadyAfter_s: number | null; readonly lackingShare: number };

export interface RigEstimate {
  readonly estimate: MassFlowEstimate;
  /** Own doubt beyond the readings' scatter, standard uncertainty. */
  readonly ownTypeB_kg_per_s: number;
  /** The jet's push, where the start edge does not tell it. */
  readonly push_kg?: number;
  readonly detail: RigDetail | null;
  readonly warnings: readonly Warning[];
}

export interface RigColumns {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
  readonly averagedReadings: number | null;
  readonly step_kg: number | null;
}

/**
 * What: the mass flow of one catch of a rig whose flow is not simply steady.
 * Refused `no-steady-window` as for any catch, `too-few-strokes` under ten whole strokes. A hand pump whose beat nobody named is read as a
 * held pressure (the capture carries the warning).
 */
export function estimateForRig(
  rig: RigFacts,
  columns: RigColumns,
  caught: DetectedCatch,
): Outcome<RigEstimate> {
  switch (rig.kind) {
    case 'held':
      return held(columns, caught.start_s, caught.stop_s);
    case 'pumped-while-spraying':
      return rig.strokePeriod_s === null
        ? held(columns, caught.start_s, caught.stop_s)
        : strokes(columns, caught, rig.strokePeriod_s);
    case 'pumped-up':
      return falling(rig, columns, caught);
    case 'hose-reel':
      return hose(columns, caught);
  }
}

function plain(
  { time_s, mass_kg, averagedReadings, step_kg }: RigColumns,
  start_s: number,
  stop_s: number,
): Outcome<MassFlowEstimate> {
  return estimateMassFlow(time_s, mass_kg, time_s.length, start_s, stop_s, { averagedReadings, step_kg });
}

function held(columns: RigColumns, start_s: number, stop_s: number): Outcome<RigEstimate> {
  const found = plain(columns, start_s, stop_s);
  return found.ok ? ok({ estimate: found.value, ownTypeB_kg_per_s: 0, detail: null, warnings: [] }) : found;
}

function strokes(columns: RigColumns, caught: DetectedCatch, beat_s: number): Outcome<RigEstimate> {
  const found = plain(columns, caught.start_s, caught.stop_s);
  if (!found.ok) return found;
  const { window } = found.value;
  // The edges are those of the mean over a stroke: a whole one is left off in front.
  const from_s = window.from_s + beat_s;
  const readings = unbumped(columns.time_s, columns.mass_kg, columns.time_s.length, from_s, window.to_s);
  const rhythm = rhythmOf(readings.time_s, readings.mass_kg, beat_s);
  const period_s = rhythm?.period_s ?? beat_s;
  const whole = wholeStrokes(from_s, window.to_s, period_s);
  if (whole < FEWEST_STROKES) return refused('too-few-strokes', { strokes: whole, wanted: STROKES_WANTED });
  const drift = strokeDrift(strokeMeans(readings, from_s, period_s, whole));
  if (drift === null) return refused('too-few-strokes', { strokes: whole, wanted: STROKES_WANTED });
  const warnings: Warning[] = [];
  if (whole < STROKES_WANTED) warnings.push('few-strokes');
  if (rhythm === null) warnings.push('rhythm-not-heard');
  else if (Math.abs(period_s / beat_s - 1) > OFF_BEAT_SHARE) warnings.push('off-the-beat');
  const u = drift.standardUncertainty_kg_per_s;
  return ok({
    estimate: {
      ...found.value,
      massFlow_kg_per_s: drift.flow_kg_per_s,
      standardUncertainty_kg_per_s: u,
      degreesOfFreedom: drift.degreesOfFreedom,
      variance: u * u * found.value.sxx_s2,
      window: { ...window, from_s, to_s: from_s + whole * period_s },
      maskGaveUp: readings.maskGaveUp,
    },
    ownTypeB_kg_per_s: 0,
    detail: {
      kind: 'strokes',
      strokes: whole,
      beat_s,
      rhythm_s: rhythm?.period_s ?? null,
      strokeScatter: drift.strokeScatter,
    },
    warnings,
  });
}

/** The push has to be there whole, and the pump's last stroke out, before a bend is looked for. */
const FALLING_EXTRA_TRIM_s = 1;

function falling(rig: RigFacts, columns: RigColumns, caught: DetectedCatch): Outcome<RigEstimate> {
  const found = plain(columns, caught.start_s, caught.stop_s);
  if (!found.ok) return found;
  const { window } = found.value;
  const from_s = window.from_s + FALLING_EXTRA_TRIM_s;
  const readings = unbumped(columns.time_s, columns.mass_kg, columns.time_s.length, from_s, window.to_s);
  // On a sprayer's own scale no jet presses: what steps there at the start is its hose, and the hose's allowance covers it.
  const before_kg = rig.standsOnScale === 'sprayer' ? null : caught.before_kg;
  const seen = fallingFlow(readings.time_s, readings.mass_kg, caught.start_s, before_kg, window);
  if (seen === null) return refused('no-steady-window');
  const u = seen.mean.standardUncertainty_kg_per_s;
  return ok({
    estimate: {
      ...found.value,
      massFlow_kg_per_s: seen.mean.flow_kg_per_s,
      standardUncertainty_kg_per_s: u,
      degreesOfFreedom: seen.degreesOfFreedom,
      variance: u * u * found.value.sxx_s2,
      wholeWindow: seen.line.noise,
      used: readings.time_s.length,
      masked: readings.masked,
      maskGaveUp: readings.maskGaveUp,
      residual_kg: rms(seen.line.residuals),
      lineAtStart_kg: seen.line.mass_kg(caught.start_s),
    },
    ownTypeB_kg_per_s: 0,
    detail: { kind: 'falling', rows: seen.rows, degreesOfFreedom: seen.degreesOfFreedom },
    warnings: [],
  });
}

function hose(columns: RigColumns, caught: DetectedCatch): Outcome<RigEstimate> {
  const whole = plain(columns, caught.start_s, caught.stop_s);
  if (!whole.ok) return whole;
  const { window, period_s } = whole.value;
  const readings = unbumped(
    columns.time_s,
    columns.mass_kg,
    columns.time_s.length,
    window.from_s,
    window.to_s,
  );
  const steady = steadySince(readings);
  if (steady === null) {
    return ok({
      estimate: whole.value,
      ownTypeB_kg_per_s: 0,
      detail: { kind: 'hose', steadyAfter_s: null, lackingShare: 0 },
      warnings: ['hose-still-swelling'],
    });
  }
  const trim_s = frontTrim_s(columns.averagedReadings, period_s);
  const found = plain(columns, steady.from_s - trim_s, window.to_s + BACK_TRIM_s);
  if (!found.ok) return found;
  const line = found.value;
  const { steadyFrom_s, lacking_kg_per_s } = steady;
  return ok({
    estimate: {
      ...line,
      massFlow_kg_per_s: line.massFlow_kg_per_s + lacking_kg_per_s,
    },
    ownTypeB_kg_per_s: steady.standardUncertainty_kg_per_s,
    push_kg: pushAtStop_kg(line, steady.from_s - trim_s, caught),
    detail: {
      kind: 'hose',
      steadyAfter_s: steadyFrom_s === null ? null : steadyFrom_s - caught.start_s,
      lackingShare: lacking_kg_per_s / line.massFlow_kg_per_s,
    },
    warnings: steadyFrom_s === null ? ['hose-still-swelling'] : [],
  });
}

/** Carried back to the start a steady line misses what the hose took in; carried on to the stop it stands above the settled level by the push. */
function pushAtStop_kg(line: MassFlowEstimate, from_s: number, caught: DetectedCatch): number {
  const flow = line.massFlow_kg_per_s;
  if (caught.settled_kg === null) return LARGEST_PUSH_PER_FLOW_s * flow;
  return Math.max(0, line.lineAtStart_kg + flow * (caught.stop_s - from_s) - caught.settled_kg);
}

function rms(values: Float64Array): number {
  return Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
}
