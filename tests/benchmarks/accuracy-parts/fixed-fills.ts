import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import { analyseCatch } from '../../../src/analysis/sweep/analyse-catch.ts';
import type { CatchContext } from '../../../src/analysis/sweep/analyse-catch.ts';
import { detectCatches } from '../../../src/analysis/sweep/detect-catches.ts';
import { flowByHand } from '../../../src/analysis/flow/by-hand.ts';
import type { Wand } from '../../../src/analysis/flow/jet-allowance.ts';
import { simulateFills } from '../../../src/simulation/fills.ts';
import type { SimulatedFills, TrueFill } from '../../../src/simulation/fills.ts';
import { Random } from '../../../src/simulation/random.ts';
import { scenarioNamed, type Scenario, type ScenarioName } from '../../../src/simulation/scenario.ts';
import { reconstructScaleClock } from '../../../src/signal/streams/scale-clock.ts';
import { slopeBound_kg_per_s } from '../../../src/simulation/slope-bound.ts';
import { plainLine } from './plain-line.ts';

/** One fill as the whole pipeline saw it beside its truth; relative errors and half-widths. */
export interface ScoredFill {
  readonly error: number;
  readonly halfWidth: number;
  /** Without the jet's allowance: Type A alone, expanded with its own degrees of freedom. */
  readonly bareHalfWidth: number;
  /** Cramér-Rao bound and the jet's drift that nobody can see, relative standard deviations. */
  readonly bound: number;
  readonly drift: number;
  readonly byHandError: number;
  readonly byHandHalfWidth: number;
  readonly plainError: number;
  readonly plainHalfWidth: number;
  /** Against what came out of the tip, where some of it missed the pail. */
  readonly tipError: number;
  readonly warnings: readonly string[];
  readonly trouble: Pick<
    TrueFill,
    'wandMoved_s' | 'foamFrom_s' | 'missedShare' | 'dribble_kg_per_s' | 'start_s' | 'stop_s'
  >;
  readonly drip_kg_per_s: number | null;
}

export interface FixedResult {
  readonly scored: readonly ScoredFill[];
  readonly missed: number;
  readonly voids: Readonly<Record<string, number>>;
  /** Jugs poured into the pail, and what became of each. */
  readonly jugs: Readonly<Record<string, number>>;
}

/** The study's split: a wand whose push drifts by more than 5 % over a fill is a hand-held one. `-pure` keeps its scenario's wand. */
export const wandOf = (scenario: ScenarioName | Scenario): Wand => {
  const name = typeof scenario === 'string' ? scenario : scenario.name;
  const impure = name.replace(/-pure$/, '') as ScenarioName;
  return scenarioNamed(impure).jetDrift <= 0.05 ? 'guided' : 'hand-held';
};

/** Columns as the pipeline gets them: arrival at the host, nothing of the truth. */
export function contextOf(session: SimulatedFills, wand: Wand, arrivals = session.arrival_s): CatchContext {
  const { time_s } = reconstructScaleClock(arrivals);
  const none = new Float64Array(time_s.length).fill(NaN);
  return {
    time_s,
    mass_kg: session.mass_kg,
    pulses: none,
    edge_s: none,
    pressure_Pa: none,
    hasMass: true,
    isUnitUnknown: () => false,
    hasSensor: false,
    averagedReadings: session.scenario.averagedReadings,
    step_kg: session.scenario.step_kg,
    wand,
    meter: null,
    volumePerMass_m3_per_kg: 1,
    shared: { mass: [], pulses: [] },
    about: { instrument: 'scale', unknown: {} },
    disturbed_s: [],
  };
}

/** Sessions of fills of the scenario's own lengths: detector, window, mask, slope, bar; nothing from the truth goes in. */
export function fixedFills(
  scenario: ScenarioName | Scenario,
  fills: number,
  seedBase: number,
  boundEvery = 1,
): FixedResult {
  const scored: ScoredFill[] = [];
  const voids: Record<string, number> = {};
  const jugs: Record<string, number> = {};
  let missed = 0;
  for (let seed = seedBase, left = fills; left > 0; seed++, left -= FILLS_A_SESSION) {
    const session = simulateFills({ scenario, seed, fills: Math.min(left, FILLS_A_SESSION) });
    const wand = wandOf(scenario);
    const context = contextOf(session, wand);
    const { catches, disturbed_s } = detectCatches(context.time_s, context.mass_kg, [], {
      step_kg: context.step_kg,
      averagedReadings: context.averagedReadings,
    });
    const place = { setting_Pa: null, settingBecause: 'none-announced', pour: 1, struck: false } as const;
    for (const jug of session.jugs) {
      const taken = catches.find((c) => c.start_s < jug.stop_s && c.stop_s > jug.start_s);
      const seen = taken && analyseCatch(taken, place, { ...context, disturbed_s });
      const became =
        seen === undefined
          ? 'not counted'
          : seen.voidBecause !== null
            ? 'void'
            : seen.warnings.length > 0
              ? 'warned'
              : 'unseen';
      jugs[became] = (jugs[became] ?? 0) + 1;
    }
    const thumb = new Random(seed).stream('thumb');
    for (const truth of session.truth) {
      const middle_s = (truth.start_s + truth.stop_s) / 2;
      const caught = catches.find((c) => c.start_s < middle_s && c.stop_s > middle_s);
      if (caught === undefined) {
        missed++;
        continue;
      }
      const seen = analyseCatch(caught, place, { ...context, disturbed_s });
      if (seen.flow_m3_per_s === null || seen.expandedUncertainty95_m3_per_s === null) {
        const because = seen.voidBecause ?? 'no-flow';
        voids[because] = (voids[because] ?? 0) + 1;
        continue;
      }
      const q = truth.intoPail_kg_per_s;
      const plain = plainLine(context, caught.start_s, caught.stop_s);
      const hand = byHand(truth, thumb);
      const lasted_s = truth.stop_s - truth.start_s;
      scored.push({
        error: seen.flow_m3_per_s / q - 1,
        halfWidth: seen.expandedUncertainty95_m3_per_s / q,
        bareHalfWidth: (tQuantile(0.975, seen.typeADegreesOfFreedom ?? 3) * (seen.typeA_m3_per_s ?? NaN)) / q,
        bound:
          scored.length % boundEvery === 0
            ? slopeBound_kg_per_s(session.scenario, truth, session.interval_s) / q
            : NaN,
        drift: (session.scenario.jetDrift * truth.jet_kg) / (Math.sqrt(3) * q * lasted_s),
        ...hand,
        plainError: plain.slope / q - 1,
        plainHalfWidth: plain.halfWidth / q,
        tipError: seen.flow_m3_per_s / truth.flow_kg_per_s - 1,
        warnings: seen.warnings,
        trouble: truth,
        drip_kg_per_s: seen.drip_m3_per_s,
      });
    }
  }
  return { scored, missed, voids, jugs };
}

/** The stopwatch and a jug with marks every 50 mL, good to 2 %: the model its own ± is made for. 1 kg is 1 L here. */
function byHand(truth: TrueFill, thumb: Random): Pick<ScoredFill, 'byHandError' | 'byHandHalfWidth'> {
  const markSpacing = 5e-5;
  const duration_s = truth.stop_s - truth.start_s + 0.1 * thumb.normal();
  const marked = (truth.water_kg / 1000) * (1 + 0.02 * thumb.uniform(-1, 1));
  const volume_m3 = marked + markSpacing * 0.25 * thumb.uniform(-1, 1);
  const found = flowByHand({ duration_s, volume_m3, markSpacing_m3: markSpacing });
  if (!found.ok) throw new Error(found.because);
  const q = truth.flow_kg_per_s / 1000;
  return {
    byHandError: found.value.flow_m3_per_s / q - 1,
    byHandHalfWidth: found.value.expandedUncertainty95_m3_per_s / q,
  };
}

const FILLS_A_SESSION = 20;
