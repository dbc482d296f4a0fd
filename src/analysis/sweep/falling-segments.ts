import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import { BACK_TRIM_s, frontTrim_s } from '../flow/steady-window.ts';
import { hosePullAsPush_kg } from '../rigs/hose-pull.ts';
import { head, massFlowFields, pressureFields } from './analyse-catch.ts';
import type { CatchContext, CatchPlace } from './analyse-catch.ts';
import type { AnalysedCatch } from './analysis.ts';

/** Seconds of a falling pour that make one point of flow against measured pressure, and the most points of one pour. */
const SEGMENT_s = 8;
const MOST_SEGMENTS = 5;

/**
 * A falling pour whose pressure was measured, cut into pieces of about eight seconds: each a point of flow against the pressure read during it, all
 * with the pour's number. Within a piece the mean of the flow and the flow at the mean pressure differ by (ΔP/P)²/96 (arithmetic: 0.04 % for 20 %).
 */
export function fallingSegments(
  caught: DetectedCatch,
  place: CatchPlace,
  context: CatchContext,
): AnalysedCatch[] {
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
