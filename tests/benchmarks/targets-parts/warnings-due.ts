import type { ScenarioName } from '../../../src/simulation/scenario.ts';
import { scenarioNamed } from '../../../src/simulation/scenario.ts';
import { covered, warningShares } from '../accuracy-parts/figures.ts';
import { fixedFills, type ScoredFill } from '../accuracy-parts/fixed-fills.ts';

type Fixed = ReturnType<typeof fixedFills>;

/** A flow within half a percent of one step a reading, on a display without flicker: where rounding doesn't average out. */
export function resonance(fills: number, seedBase: number) {
  const calm = {
    ...scenarioNamed('clean'),
    step_kg: 0.001,
    whiteNoise_kg: 0.0001,
    jetWander: 0,
    rateError: 0,
  };
  const near = fixedFills({ ...calm, flow_kg_per_s: [0.00995, 0.01005] }, fills, seedBase, Infinity);
  const far = fixedFills({ ...calm, flow_kg_per_s: [0.0122, 0.0132] }, fills, seedBase, Infinity);
  return { near: due(near.scored, 'quantisation-resonance'), far: due(far.scored, 'quantisation-resonance') };
}

/** How often a warning came, and how often the claimed interval held with and without it. */
export function due(scored: readonly ScoredFill[], warning: string) {
  const has = (fill: ScoredFill): boolean => fill.warnings.includes(warning);
  const pair = ({ error, halfWidth }: ScoredFill) => [error, halfWidth] as const;
  return {
    catches: scored.length,
    warnedPercent: (100 * scored.filter(has).length) / scored.length,
    coveragePercent: covered(scored.map(pair)),
    coverageOfUnwarnedPercent: covered(scored.filter((fill) => !has(fill)).map(pair)),
  };
}

/** Each trouble where it is known to have struck a catch: was it told? Void ones count as told. Null where there is no campaign. */
export function troublesTold(of: (scenario: ScenarioName) => Fixed | null) {
  const movedOnce = ({ trouble }: ScoredFill): boolean => {
    const [at_s, ...more] = trouble.wandMoved_s;
    return (
      at_s !== undefined && more.length === 0 && at_s > trouble.start_s + 2.5 && at_s < trouble.stop_s - 2
    );
  };
  const seen = (
    scenario: ScenarioName,
    warning: string,
    which: (fill: ScoredFill) => boolean = () => true,
  ) => {
    const campaign = of(scenario);
    return campaign === null ? null : due(campaign.scored.filter(which), warning);
  };
  const freezing = of('freezing-display');
  const voided = freezing === null ? 0 : Object.values(freezing.voids).reduce((a, b) => a + b, 0);
  const healthy: ScenarioName[] = ['clean', 'typical', 'rough', 'worst'];
  return {
    wandMoved: seen('wand-on-rim', 'wand-moved', movedOnce),
    wandStayedAway: seen('wand-on-rim', 'wand-moved', (fill) => fill.trouble.wandMoved_s.length === 0),
    foamOverTheRim: seen('foam', 'flow-not-steady', (fill) => fill.trouble.foamFrom_s !== null),
    foamNotOverTheRim: seen('foam', 'flow-not-steady', (fill) => fill.trouble.foamFrom_s === null),
    freezingDisplay: freezing && { ...due(freezing.scored, 'display-froze'), void: voided },
    jugs: of('jug')?.jugs ?? null,
    windy: seen('windy', 'wind-or-touch'),
    coarseSteps: seen('worst', 'coarse-steps'),
    mistSeenByScaleAlone: 'never: the readings are those of a smaller flow',
    warnedPercent: Object.fromEntries(healthy.map((name) => [name, warningShares(of(name)?.scored ?? [])])),
  };
}
