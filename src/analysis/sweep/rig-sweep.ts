import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { wholeUncertainty } from '../flow/catch-uncertainty.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import { BACK_TRIM_s, frontTrim_s } from '../flow/steady-window.ts';
import { hosePullAsPush_kg } from '../rigs/hose-pull.ts';
import type { RigDetail, RigFacts } from '../rigs/rig-catch.ts';
import { analyseCatch, head, massFlowFields, pressureFields } from './analyse-catch.ts';
import type { CatchContext, CatchPlace } from './analyse-catch.ts';
import { analyseCurve } from './analyse-curve.ts';
import type { CurveAnswer, CurveQuestion } from './analyse-curve.ts';
import type { AnalysedCatch } from './analysis.ts';

/** By the start of the catch on the readings' axis, as the analysis goes along. */
export type RigDetails = Map<number, RigDetail>;

/** What a capture's rig adds to its documented analysis, for the screen. Quantities in SI, unit in the name. */
export interface RigResult {
  readonly kind: RigFacts['kind'];
  readonly standsOnScale: RigFacts['standsOnScale'];
  readonly strokePeriod_s: number | null;
  /** One entry a catch of the analysis, in its order; null where there is nothing to add. */
  readonly catches: readonly (RigCatch | null)[];
}

export type RigCatch =
  | Extract<RigDetail, { kind: 'strokes' | 'hose' }>
  | { readonly kind: 'falling'; readonly rows: readonly FallingFlowRow[] };

export interface FallingFlowRow {
  readonly since_s: number;
  /** Water that had come out by then. */
  readonly given_m3: number;
  readonly flow_m3_per_s: number;
  /** All that doubts the catch's mean doubts this too. */
  readonly expandedUncertainty95_m3_per_s: number;
}

/** How the detector has to listen to a rig. */
export function listeningOf(rig: RigFacts | null) {
  return {
    turned: rig?.standsOnScale === 'sprayer',
    strokePeriod_s: rig?.kind === 'pumped-while-spraying' ? rig.strokePeriod_s : null,
  };
}

export function rigResult(
  { rig, volumePerMass_m3_per_kg: perMass }: CatchContext,
  catches: readonly AnalysedCatch[],
  details: RigDetails,
): RigResult | null {
  if (rig === null || rig === undefined) return null;
  const { kind, standsOnScale, strokePeriod_s } = rig;
  const seen = catches.map((caught): RigCatch | null => {
    const detail = details.get(caught.start_s) ?? null;
    return detail?.kind === 'falling'
      ? { kind: 'falling', rows: fallingRows(detail, caught, perMass) }
      : detail;
  });
  return { kind, standsOnScale, strokePeriod_s, catches: seen };
}

function fallingRows(
  { rows, degreesOfFreedom }: Extract<RigDetail, { kind: 'falling' }>,
  caught: AnalysedCatch,
  perMass: number,
): FallingFlowRow[] {
  return rows.map((row) => {
    const flow = row.flow_kg_per_s * perMass;
    const share = flow / (caught.flow_m3_per_s ?? flow);
    const whole = wholeUncertainty({
      typeA_m3_per_s: row.standardUncertainty_kg_per_s * perMass,
      typeADegreesOfFreedom: degreesOfFreedom,
      jetAllowance_m3_per_s: caught.jetAllowance_m3_per_s ?? 0,
      ownTypeB_m3_per_s: caught.ownTypeB_m3_per_s ?? 0,
      sharedTypeB_m3_per_s: share * (caught.sharedTypeB_m3_per_s ?? 0),
    });
    return {
      since_s: row.since_s,
      given_m3: row.given_kg * perMass,
      flow_m3_per_s: flow,
      expandedUncertainty95_m3_per_s: whole.expandedUncertainty95,
    };
  });
}

/** Seconds of a falling pour that make one point of flow against measured pressure, and the most points of one pour. */
const SEGMENT_s = 8;
const MOST_SEGMENTS = 5;

/** One catch; a falling pour with its pressure measured gives several, each a point of flow against pressure, all with the pour's number. */
export function analyseRigPour(
  caught: DetectedCatch,
  place: CatchPlace,
  context: CatchContext,
): AnalysedCatch | AnalysedCatch[] {
  const whole = analyseCatch(caught, place, context);
  const isFalling = context.rig?.kind === 'pumped-up' && context.hasSensor && context.hasMass;
  if (!isFalling || whole.flow_m3_per_s === null) return whole;
  const segments = segmentsOf(caught, place, context);
  return segments.length < 2 ? whole : segments;
}

function segmentsOf(caught: DetectedCatch, place: CatchPlace, context: CatchContext): AnalysedCatch[] {
  const { time_s, mass_kg, averagedReadings, wand } = context;
  const count = time_s.length;
  const whole = estimateMassFlow(time_s, mass_kg, count, caught.start_s, caught.stop_s, { averagedReadings });
  if (!whole.ok) return [];
  const { window, period_s } = whole.value;
  const pieces = Math.min(MOST_SEGMENTS, Math.floor((window.to_s - window.from_s) / SEGMENT_s));
  const each_s = (window.to_s - window.from_s) / Math.max(1, pieces);
  const trim_s = frontTrim_s(averagedReadings, period_s);
  const found = Array.from({ length: pieces }, (_, i) => {
    const start_s = window.from_s + i * each_s;
    const stop_s = start_s + each_s;
    const seen = estimateMassFlow(time_s, mass_kg, count, start_s - trim_s, stop_s + BACK_TRIM_s, {
      averagedReadings,
    });
    return seen.ok && seen.value.massFlow_kg_per_s > 0 ? [{ start_s, stop_s, estimate: seen.value }] : [];
  }).flat();
  const first = found[0];
  if (found.length < pieces || first === undefined) return [];
  const push_kg =
    context.rig?.standsOnScale === 'sprayer'
      ? hosePullAsPush_kg(wand)
      : jetPush_kg({
          ...whole.value,
          lineAtStart_kg: carriedBack(first, caught.start_s),
          before_kg: caught.before_kg,
          averagedReadings,
        });
  return found.map(({ start_s, stop_s, estimate }) => ({
    ...head({ start_s, stop_s }, place),
    ...pressureFields(start_s, stop_s, context),
    mass_kg: null,
    massBecause: 'plateau-of-a-pour',
    ...massFlowFields(
      estimate,
      { jet_kg_per_s: jetAllowance_kg_per_s(push_kg, stop_s - start_s, wand), ownTypeB_kg_per_s: 0 },
      context,
    ),
    drip_m3_per_s: null,
    dripBecause: 'plateau-of-a-pour',
    struck: place.struck,
    voidBecause: null,
    warnings: caught.warnings,
  }));
}

function carriedBack(
  first: {
    readonly start_s: number;
    readonly estimate: { readonly lineAtStart_kg: number; readonly massFlow_kg_per_s: number };
  },
  to_s: number,
): number {
  return first.estimate.lineAtStart_kg - first.estimate.massFlow_kg_per_s * (first.start_s - to_s);
}

/**
 * The curve through a rig's catches. A pumped-up can has none unless its pressure was measured: then every catch is held against the
 * pressure read during it, whatever the setting was called.
 */
export function analyseRigCurve(
  rig: RigFacts | null,
  catches: readonly AnalysedCatch[],
  question: CurveQuestion,
): CurveAnswer {
  if (rig?.kind !== 'pumped-up') return analyseCurve(catches, question);
  const good = catches.filter((c) => !c.struck && c.voidBecause === null && c.flow_m3_per_s !== null);
  if (good.length === 0) return analyseCurve(catches, question);
  if (good.some((c) => c.pressure_Pa === null || !(c.pressure_Pa > 0)))
    return { picture: null, because: 'pressure-falls', warnings: [], fitted: null };
  return analyseCurve(
    catches.map((c) => (c.pressure_Pa === null ? c : { ...c, setting_Pa: c.pressure_Pa })),
    question,
  );
}
