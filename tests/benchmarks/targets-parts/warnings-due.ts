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

/** Each trouble where it is known to have struck a catch: was it told? Void ones count as told. */
export function troublesTold(of: (scenario: ScenarioName) => Fixed) {
  const moved = (fill: ScoredFill): boolean =>
    fill.trouble.wandMoved_s.some(
      (t) =>
        t > fill.trouble.start_s + 2.5 &&
        t < fill.trouble.stop_s - 2 &&
        fill.trouble.wandMoved_s.length === 1,
    );
  const freezing = of('freezing-display');
  const voided = Object.values(freezing.voids).reduce((a, b) => a + b, 0);
  const froze = freezing.scored.filter((fill) => fill.warnings.includes('display-froze')).length;
  const jug = of('jug').jugs;
  const foam = of('foam').scored;
  const healthy: ScenarioName[] = ['clean', 'typical', 'rough', 'worst'];
  return {
    wandMoved: due(of('wand-on-rim').scored.filter(moved), 'wand-moved'),
    foamOverTheRim: due(
      foam.filter((fill) => fill.trouble.foamFrom_s !== null),
      'flow-not-steady',
    ),
    foamNotOverTheRim: due(
      foam.filter((fill) => fill.trouble.foamFrom_s === null),
      'flow-not-steady',
    ),
    freezingDisplayWarnedOrVoidPercent: (100 * (froze + voided)) / (freezing.scored.length + voided),
    jugs: jug,
    windyWarned: due(of('windy').scored, 'wind-or-touch'),
    coarseSteps: due(of('worst').scored, 'coarse-steps'),
    mistSeenByScaleAlone: 'never: the readings are those of a smaller flow',
    falseWarningsPercent: Object.fromEntries(healthy.map((name) => [name, warningShares(of(name).scored)])),
  };
}
