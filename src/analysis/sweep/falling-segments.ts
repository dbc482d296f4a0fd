import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { lineAt, ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import { BACK_TRIM_s, frontTrim_s } from '../flow/steady-window.ts';
import { hosePullAsPush_kg } from '../rigs/hose-pull.ts';
import { massFlowFields, pressureFields } from './analyse-catch.ts';
import { head } from './void-catch.ts';
import type { CatchContext } from './analyse-catch.ts';
import type { CatchPlace } from './void-catch.ts';
import type { AnalysedCatch } from './analysis.ts';

/** Seconds of a falling pour that make one point of flow against measured pressure, and the most points of one pour. */
const SEGMENT_s = 8;
const MOST_SEGMENTS = 5;

/**
 * A falling pour whose pressure was measured, cut into pieces of about eight seconds: each a point of flow against the pressure read during it, all
 * with the pour's number, and each struck by itself. Within a piece the mean of the flow and the flow at the mean pressure differ by (ΔP/P)²/96 (arithmetic: 0.04 % for 20 %).
 */
export function fallingSegments(
  caught: DetectedCatch,
  place: CatchPlace,
  struckAt: (starts_s: readonly number[]) => readonly boolean[],
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
  const onScale = context.rig?.standsOnScale === 'sprayer';
  const push_kg = onScale
    ? hosePullAsPush_kg(wand)
    : jetPush_kg({
        ...whole.value,
        lineAtStart_kg: carriedBack(first, first.start_s - trim_s - caught.start_s),
        before_kg: caught.before_kg,
        averagedReadings,
      });
  const fades = fadingOf(found, caught.start_s);
  const struck = struckAt(found.map(({ start_s }) => start_s));
  return found.map(({ start_s, stop_s, estimate }, i) => {
    // On a sprayer's own scale no jet presses, and none fades.
    const faded_kg_per_s = onScale ? 0 : push_kg * fades((start_s + stop_s) / 2);
    return {
      ...head({ start_s, stop_s }, place),
      ...pressureFields(start_s, stop_s, context),
      mass_kg: null,
      massBecause: 'plateau-of-a-pour',
      ...massFlowFields(
        { ...estimate, massFlow_kg_per_s: estimate.massFlow_kg_per_s - faded_kg_per_s },
        {
          jet_kg_per_s: jetAllowance_kg_per_s(push_kg, stop_s - start_s, wand),
          ownTypeB_kg_per_s: FADING_DOUBT * Math.abs(faded_kg_per_s),
        },
        context,
      ),
      drip_m3_per_s: null,
      dripBecause: 'plateau-of-a-pour',
      struck: struck[i] ?? false,
      voidBecause: null,
      warnings: caught.warnings,
    };
  });
}

/** What is taken back for the fading push is known to about this share of itself. Assumed; simulated. */
const FADING_DOUBT = 0.3;

interface Segment {
  readonly start_s: number;
  readonly stop_s: number;
  readonly estimate: { readonly massFlow_kg_per_s: number };
}

/** The jet's push goes as the square of the flow: its change per second at a moment, as a share of the push at the start. */
function fadingOf(segments: readonly Segment[], start_s: number): (time_s: number) => number {
  const line = ordinaryLine(
    segments.map((one) => (one.start_s + one.stop_s) / 2),
    segments.map((one) => one.estimate.massFlow_kg_per_s),
  );
  if (line === null) return () => 0;
  const atFirst = lineAt(line, start_s);
  return (time_s) => (2 * lineAt(line, time_s) * line.slope) / atFirst ** 2;
}

/** The first piece's line, `by_s` before where its own beginning was taken. */
function carriedBack(
  first: { readonly estimate: { readonly lineAtStart_kg: number; readonly massFlow_kg_per_s: number } },
  by_s: number,
): number {
  return first.estimate.lineAtStart_kg - first.estimate.massFlow_kg_per_s * by_s;
}
