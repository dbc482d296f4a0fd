import { allRigReaders } from '../../../src/analysis/rigs/all-rig-readers.ts';
import { provideRigReaders } from '../../../src/analysis/rigs/rig-readers.ts';
import { detectCatches } from '../../../src/analysis/sweep/detect-catches.ts';
import { analyseCatch } from '../../../src/analysis/sweep/analyse-catch.ts';
import type { CatchContext } from '../../../src/analysis/sweep/analyse-catch.ts';
import { listeningOf } from '../../../src/analysis/sweep/rig-sweep.ts';
import { estimateMassFlow } from '../../../src/analysis/flow/estimate-mass-flow.ts';
import { tQuantile } from '../../../src/base/statistics/distributions.ts';
import type { RigDetail } from '../../../src/analysis/rigs/rig-catch.ts';
import type { RigFacts } from '../../../src/analysis/rigs/rig-facts.ts';
import { simulateFills } from '../../../src/simulation/fills.ts';
import type { Spray } from '../../../src/simulation/pail.ts';
import { rigOf, type RigScenarioName } from '../../../src/simulation/rig-scenarios.ts';
import { contextOf } from '../accuracy-parts/fixed-fills.ts';

provideRigReaders(allRigReaders);

/** Relative error and claimed 95 % half-width of one catch. */
export type Scored = readonly [error: number, halfWidth: number];

export interface RigScore {
  readonly fills: number;
  missed: number;
  invented: number;
  split: number;
  readonly voids: Record<string, number>;
  readonly warnings: Record<string, number>;
  /** By what it is held against: see `rigs.ts`. */
  readonly against: Record<string, Scored[]>;
}

const FILLS_A_SESSION = 20;

/** Sessions of fills through detector, rig and estimator; nothing of the truth goes in. */
export function scoreRig(scenario: RigScenarioName, fills: number, seedBase: number): RigScore {
  const score: RigScore = { fills, missed: 0, invented: 0, split: 0, voids: {}, warnings: {}, against: {} };
  for (let seed = seedBase, left = fills; left > 0; seed++, left -= FILLS_A_SESSION) {
    scoreSession(score, scenario, seed, Math.min(left, FILLS_A_SESSION));
  }
  return score;
}

function scoreSession(score: RigScore, name: RigScenarioName, seed: number, fills: number): void {
  const sprays: Spray[] = [];
  const session = simulateFills({ scenario: name, seed, fills, onSpray: (spray) => sprays.push(spray) });
  const header = rigOf(session.scenario, session.beat_s);
  const rig: RigFacts = {
    kind: header.rigKind ?? 'held',
    strokePeriod_s: header.strokePeriod_s ?? null,
    standsOnScale: header.standsOnScale ?? 'pail',
  };
  const details = new Map<number, RigDetail>();
  const wand = session.scenario.jetDrift <= 0.05 ? 'guided' : 'hand-held';
  const usual = contextOf(session, wand);
  const { catches, disturbed_s } = detectCatches(usual.time_s, usual.mass_kg, [], {
    step_kg: usual.step_kg,
    averagedReadings: usual.averagedReadings,
    ...listeningOf(rig),
  });
  const context: CatchContext = {
    ...usual,
    mass_kg: rig.standsOnScale === 'sprayer' ? usual.mass_kg.map((mass) => -mass) : usual.mass_kg,
    disturbed_s,
    rig,
    noteRig: (start_s, detail) => void details.set(start_s, detail),
  };
  const shares = (c: { start_s: number; stop_s: number }, f: { start_s: number; stop_s: number }): number =>
    Math.min(c.stop_s, f.stop_s) - Math.max(c.start_s, f.start_s);
  score.invented += catches.filter((c) => session.truth.every((f) => shares(c, f) <= 1)).length;
  session.truth.forEach((truth, i) => {
    const hits = catches.filter((c) => shares(c, truth) > 1);
    const caught = hits[0];
    if (caught === undefined) {
      score.missed++;
      return;
    }
    if (hits.length > 1) {
      score.split++;
      return;
    }
    const place = { setting_Pa: null, settingBecause: 'none-announced', pour: 1, struck: false } as const;
    const seen = analyseCatch(caught, place, context);
    for (const warning of seen.warnings) score.warnings[warning] = (score.warnings[warning] ?? 0) + 1;
    const flow = seen.flow_m3_per_s;
    const half = seen.expandedUncertainty95_m3_per_s;
    if (flow === null || half === null) {
      const because = seen.voidBecause ?? 'no-flow';
      score.voids[because] = (score.voids[because] ?? 0) + 1;
      return;
    }
    const add = (what: string, error: number, halfWidth: number): void => {
      (score.against[what] ??= []).push([error, halfWidth]);
    };
    const pour = sprays[i]!.pour;
    add('told', flow / truth.flow_kg_per_s - 1, half / truth.flow_kg_per_s);
    if (rig.kind === 'pumped-while-spraying') {
      const atRhythm = pour.makeup.flow_kg_per_s;
      add('flow at that rhythm', flow / atRhythm - 1, half / atRhythm);
    }
    const detail = details.get(caught.start_s);
    if (detail?.kind === 'falling') {
      const lag_s = ((session.scenario.averagedReadings - 1) / 2) * session.interval_s;
      const t95 = tQuantile(0.975, detail.degreesOfFreedom);
      for (const [k, row] of detail.rows.entries()) {
        const real = pour.flow_kg_per_s(caught.start_s + row.since_s - lag_s);
        const where = ['start', 'middle', 'end'][k]!;
        const own = Math.hypot(t95 * row.standardUncertainty_kg_per_s, 1.96 * seen.jetAllowance_m3_per_s!);
        if (real > 0) add(`row: ${where}`, row.flow_kg_per_s / real - 1, own / real);
      }
    }
    const plain = estimateMassFlow(
      context.time_s,
      context.mass_kg,
      context.time_s.length,
      caught.start_s,
      caught.stop_s,
      context,
    );
    if (plain.ok) {
      const { massFlow_kg_per_s, standardUncertainty_kg_per_s, degreesOfFreedom } = plain.value;
      const own = tQuantile(0.975, degreesOfFreedom) * standardUncertainty_kg_per_s;
      add(
        'told, read as a held pressure',
        massFlow_kg_per_s / truth.flow_kg_per_s - 1,
        Math.hypot(own, 1.96 * (seen.jetAllowance_m3_per_s ?? 0)) / truth.flow_kg_per_s,
      );
    }
  });
}
