import { wholeUncertainty } from '../../../src/analysis/flow/catch-uncertainty.ts';
import { estimateMassFlow } from '../../../src/analysis/flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../../../src/analysis/flow/jet-allowance.ts';
import { RunningFlow } from '../../../src/analysis/flow/running-flow.ts';
import type { PooledNoise } from '../../../src/analysis/flow/running-flow.ts';
import { createCatchDetector } from '../../../src/signal/catches/catch-detector.ts';
import { simulateFills } from '../../../src/simulation/fills.ts';
import type { SimulatedFills } from '../../../src/simulation/fills.ts';
import { Random } from '../../../src/simulation/random.ts';
import { scenarioNamed } from '../../../src/simulation/scenario.ts';
import type { ScenarioName } from '../../../src/simulation/scenario.ts';
import { contextOf, wandOf } from './fixed-fills.ts';

export interface StoppedFill {
  readonly because: string;
  readonly length_s: number;
  /** As the running look said at that moment, and as the catch says at its end. Relative. */
  readonly runningError: number;
  readonly runningHalfWidth: number;
  readonly finalError: number;
  readonly finalHalfWidth: number;
}

const SPRAYED_s = 64;
const CATCHES_A_SWEEP = 15;
/** The jet drifts by up to its share over the catch as long as that is under this, and at that pace beyond (rule 11.14). */
const DRIFT_REACH_s = 30;

/**
 * Fills that go on until the rule says stop and the person lets go 0.5-2 s later. Sweeps of 15: the first catch of each runs 30 s,
 * later ones use the pooled noise. Start edge and levels are the detector's; nothing of the truth goes in. Each fill has its own
 * session, so that no fill depends on when the one before was stopped; the noise is pooled over the 15.
 */
export function enoughFills(
  scenario: ScenarioName,
  fills: number,
  seedBase: number,
  targetRelative: number,
): { readonly stopped: readonly StoppedFill[]; readonly missed: number } {
  const usual = scenarioNamed(scenario);
  const drawn = {
    ...usual,
    fill_s: [SPRAYED_s, SPRAYED_s] as const,
    jetDrift: 0,
    liftAfterChance: 0,
    liftAtOnceChance: 0,
  };
  const stopped: StoppedFill[] = [];
  let missed = 0;
  let pooled: PooledNoise | null = null;
  for (let k = 0; k < fills; k++) {
    if (k % CATCHES_A_SWEEP === 0) pooled = null;
    const session = simulateFills({ scenario: drawn, seed: seedBase + k, fills: 1 });
    const random = new Random(seedBase + k);
    const ask = (from: SimulatedFills) =>
      stopOne(from, scenario, targetRelative, pooled, random.stream('reaction'));
    // How long it will be is known only when it has been stopped once: then the drift over that length is put on.
    const still = ask(session);
    const share = usual.jetDrift * random.stream('drift').uniform(-1, 1);
    const one = still === null ? null : ask(drifting(session, share, still.fill.length_s));
    if (one === null) {
      missed++;
      continue;
    }
    stopped.push(one.fill);
    pooled = added(pooled, one.evidence);
  }
  return { stopped, missed };
}

/** The session with a push that changes by `share` of itself over the catch, as the display would round it. */
function drifting(session: SimulatedFills, share: number, length_s: number): SimulatedFills {
  const truth = session.truth[0]!;
  const pace_kg_per_s = (share * truth.jet_kg) / Math.min(length_s, DRIFT_REACH_s);
  const { step_kg } = session.scenario;
  return {
    ...session,
    mass_kg: session.mass_kg.map((mass_kg, i) => {
      const since_s = session.time_s[i]! - truth.start_s;
      if (since_s <= 0 || session.time_s[i]! > truth.stop_s) return mass_kg;
      const pushed_kg = pace_kg_per_s * (since_s - length_s / 2) * Math.min(1, since_s);
      return Math.round((mass_kg + pushed_kg) / step_kg) * step_kg;
    }),
  };
}

function added(pooled: PooledNoise | null, evidence: PooledNoise): PooledNoise {
  return {
    sumOfSquares: (pooled?.sumOfSquares ?? 0) + evidence.sumOfSquares,
    degreesOfFreedom: (pooled?.degreesOfFreedom ?? 0) + evidence.degreesOfFreedom,
  };
}

function stopOne(
  session: SimulatedFills,
  scenario: ScenarioName,
  targetRelative: number,
  pooled: PooledNoise | null,
  reaction: Random,
): { readonly fill: StoppedFill; readonly evidence: PooledNoise } | null {
  const wand = wandOf(scenario);
  const { time_s, mass_kg, averagedReadings, step_kg } = contextOf(session, wand);
  const detector = createCatchDetector({ averagedReadings, step_kg });
  const truth = session.truth[0]!;
  let running: RunningFlow | null = null;
  let start_s = 0;
  let base_kg = 0;
  for (let i = 0; i < time_s.length; i++) {
    if (detector.level_kg !== null && detector.state === 'quiet') base_kg = detector.level_kg;
    for (const event of detector.push(time_s[i]!, mass_kg[i]!)) {
      if (event.kind !== 'filling' || event.at_s < truth.start_s) continue;
      start_s = event.start_s;
      running = new RunningFlow({
        start_s,
        averagedReadings,
        wand,
        targetRelative,
        minimum_s: pooled === null ? 30 : 15,
        longest_s: 60,
        pooled,
        base_kg,
      });
      for (let j = 0; j < i; j++) if (time_s[j]! >= start_s) running.push(time_s[j]!, mass_kg[j]!);
    }
    if (running === null) continue;
    running.push(time_s[i]!, mass_kg[i]!);
    const look = running.look(time_s[i]!);
    if (!look.enough || look.flow_kg_per_s === null || look.halfWidth_kg_per_s === null) continue;
    const stop_s = time_s[i]! + reaction.uniform(0.5, 2);
    const final = estimateMassFlow(time_s, mass_kg, time_s.length, start_s, stop_s, { averagedReadings });
    const evidence = running.evidence();
    if (!final.ok || evidence === null) return null;
    const length_s = stop_s - start_s;
    const whole = wholeUncertainty({
      typeA_m3_per_s: final.value.standardUncertainty_kg_per_s,
      typeADegreesOfFreedom: final.value.degreesOfFreedom,
      jetAllowance_m3_per_s: jetAllowance_kg_per_s(
        jetPush_kg({ ...final.value, before_kg: base_kg, averagedReadings }),
        length_s,
        wand,
      ),
      ownTypeB_m3_per_s: 0,
      sharedTypeB_m3_per_s: 0,
    });
    // Linear sag: the line's slope is the flow in the middle of its window.
    const flowAt = (t: number): number => {
      const middle_s = (truth.start_s + truth.stop_s) / 2;
      return truth.flowAtMiddle_kg_per_s * (1 + (session.scenario.sagPerMinute / 60) * (t - middle_s));
    };
    const { from_s, to_s } = final.value.window;
    const trueNow = flowAt((from_s + time_s[i]!) / 2);
    const trueThen = flowAt((from_s + to_s) / 2);
    return {
      evidence,
      fill: {
        because: look.because ?? 'none',
        length_s: look.elapsed_s,
        runningError: look.flow_kg_per_s / trueNow - 1,
        runningHalfWidth: look.halfWidth_kg_per_s / trueNow,
        finalError: final.value.massFlow_kg_per_s / trueThen - 1,
        finalHalfWidth: whole.expandedUncertainty95 / trueThen,
      },
    };
  }
  return null;
}
