import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import type { ScenarioName } from '../../../src/simulation/scenario.ts';
import { guidedSweep, type GuidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

export interface RoutineDesign {
  readonly name: string;
  readonly scenario: ScenarioName;
  readonly wand: 'guided' | 'hand-held';
  readonly targetRelative: number;
  /** True flow of each nozzle over the first one's. */
  readonly shares: readonly number[];
  /** Two tips: catches of each, and the difference that is wanted. A boom: catches at each position. */
  readonly catches: number;
  readonly wantedDifference?: number;
  /** Battery: share of the pressure lost over a sweep's water. */
  readonly sag?: number;
}

/** Offers of more catches that are taken; whoever wanted a difference goes on for it. */
const OFFERS_TAKEN = 3;
const LONGEST_S = 3 * 3600;

function setupOf(design: RoutineDesign): SweepSetup {
  const base = aSetup();
  const none = { ratedFlow_m3_per_s: null, ratedPressure_Pa: null };
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: design.catches,
    targetRelative: design.targetRelative,
    rig: { ...base.rig, wand: design.wand },
    routine:
      design.wantedDifference === undefined
        ? { kind: 'boom', positions: design.shares.length }
        : {
            kind: 'tip-against-tip',
            otherTip: { name: 'the other', ...none },
            wantedDifference: design.wantedDifference,
          },
  });
}

function wholeRoutine(design: RoutineDesign, seed: number): { sweep: GuidedSweep; offers: number } {
  const { scenario, shares, sag } = design;
  const faults = sag === undefined ? [] : [{ kind: 'battery-sag', share: sag, per: 'sweep' } as const];
  const sweep = guidedSweep({
    setup: setupOf(design),
    seed,
    bench: {
      scenario,
      nozzleShares: shares,
      tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.1e-8, ...(faults.length > 0 && { faults }) },
    },
  });
  let offers = 0;
  for (;;) {
    sweep.run(LONGEST_S, (s) => s.live.prompt.kind === 'more-catches');
    if (sweep.live.prompt.kind !== 'more-catches') break;
    offers += 1;
    sweep.apply(
      offers > OFFERS_TAKEN ? sweep.live.end(sweep.bench.now_s) : sweep.live.goOn(sweep.bench.now_s),
    );
  }
  return { sweep, offers };
}

/** Two tips, from simulated bytes to the sentence: does the interval hold the truth when the rule stops, and how often is a difference told. */
export function scoreTwo(design: RoutineDesign, sweeps: number, seedBase: number) {
  const truth = design.shares[1]! / design.shares[0]!;
  let [n, covered, different, offered, voids, catches, minutes] = [0, 0, 0, 0, 0, 0, 0];
  let [squares, widths] = [0, 0];
  for (let seed = seedBase; seed < seedBase + sweeps; seed++) {
    const { sweep, offers } = wholeRoutine(design, seed);
    const { several } = sweep.live.view().routine!;
    const all = sweep.live.view().catches;
    voids += all.filter((c) => c.voidBecause !== null || c.struck).length;
    catches += all.length;
    minutes += sweep.bench.now_s / 60;
    if (offers > 0) offered++;
    if (several?.kind !== 'two' || several.compared === null) continue;
    n++;
    const { ratio, expandedUncertainty95, verdict } = several.compared;
    if (Math.abs(Math.log(ratio / truth)) <= Math.log1p(expandedUncertainty95 / ratio)) covered++;
    if (verdict === 'different') different++;
    squares += (ratio / truth - 1) ** 2;
    widths += expandedUncertainty95 / ratio;
  }
  return {
    ...design,
    seeds: `${seedBase} to ${seedBase + sweeps - 1}`,
    compared: n,
    coveragePercent: (100 * covered) / n,
    toldDifferentPercent: (100 * different) / n,
    rmsErrorPercent: 100 * Math.sqrt(squares / n),
    meanHalfWidthPercent: (100 * widths) / n,
    offeredMorePercent: (100 * offered) / sweeps,
    meanCatches: catches / sweeps,
    voidOrStruckPercent: (100 * voids) / catches,
    meanMinutes: minutes / sweeps,
  };
}

/** A boom: each position against the mean of all. */
export function scoreBoom(design: RoutineDesign, sweeps: number, seedBase: number) {
  const mean = design.shares.reduce((a, b) => a + b) / design.shares.length;
  let [n, covered, healthy, healthyOutside, faulty, faultyOutside, moved, minutes] = [0, 0, 0, 0, 0, 0, 0, 0];
  let told = 0;
  for (let seed = seedBase; seed < seedBase + sweeps; seed++) {
    const { sweep } = wholeRoutine(design, seed);
    const { several } = sweep.live.view().routine!;
    minutes += sweep.bench.now_s / 60;
    if (several?.kind !== 'set' || several.compared === null) continue;
    told++;
    if (several.compared.repeat?.verdict === 'different') moved++;
    several.compared.members.forEach(({ againstMean, habit, label }) => {
      const truth = design.shares[Number(label) - 1]! / mean;
      const half = Math.log1p(againstMean.expandedUncertainty95 / againstMean.ratio);
      n++;
      if (Math.abs(Math.log(againstMean.ratio / truth)) <= half) covered++;
      const isFaulty = Math.abs(truth - 1) > several.compared!.habitLimit;
      if (isFaulty) faulty++;
      else healthy++;
      if (habit === 'outside') {
        if (isFaulty) faultyOutside++;
        else healthyOutside++;
      }
    });
  }
  return {
    ...design,
    seeds: `${seedBase} to ${seedBase + sweeps - 1}`,
    compared: told,
    positions: n,
    coveragePercent: (100 * covered) / n,
    healthyCalledOutsidePercent: (100 * healthyOutside) / healthy,
    faultyCalledOutsidePercent: (100 * faultyOutside) / faulty,
    rigSaidToHaveMovedPercent: (100 * moved) / told,
    meanMinutes: minutes / sweeps,
  };
}
