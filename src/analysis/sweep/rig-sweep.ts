import type { CatchListener, DetectedCatch } from '../../signal/catches/catch-event.ts';
import type { HandledListener } from '../../signal/catches/turned-detector.ts';
import { wholeUncertainty } from '../flow/catch-uncertainty.ts';
import type { RigDetail } from '../rigs/rig-catch.ts';
import type { RigFacts } from '../rigs/rig-facts.ts';
import { rigReaders } from '../rigs/rig-readers.ts';
import { analyseCatch } from './analyse-catch.ts';
import type { CatchContext } from './analyse-catch.ts';
import type { CatchPlace } from './void-catch.ts';
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

/** How the detector has to listen to a rig: through what stands around it; as always for a held pressure into a pail. */
export function listeningOf(rig: RigFacts | null) {
  if (rig === null) return {};
  return { around: (usual: HandledListener): CatchListener => rigReaders().listenTo(rig, usual) };
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

/** One catch; a falling pour with its pressure measured gives several, each a point of flow against pressure, all with the pour's number. */
export function analyseRigPour(
  caught: DetectedCatch,
  place: CatchPlace,
  struckAt: (starts_s: readonly number[]) => readonly boolean[],
  context: CatchContext,
): AnalysedCatch | AnalysedCatch[] {
  const whole = analyseCatch(caught, place, context);
  const isFalling = context.rig?.kind === 'pumped-up' && context.hasSensor && context.hasMass;
  if (!isFalling || whole.flow_m3_per_s === null) return whole;
  const segments = rigReaders().fallingSegments(caught, place, struckAt, context);
  return segments.length < 2 ? whole : segments;
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
