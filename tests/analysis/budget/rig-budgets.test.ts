import { describe, expect, it } from 'vitest';
import { captureBudgets } from '../../../src/analysis/budget/capture-budgets.ts';
import type { BudgetInput } from '../../../src/analysis/budget/budget.ts';
import { runSimulate } from '../../../src/terminal/simulate.ts';
import { analysed, pours, scaleCapture } from '../sweep/analysed.ts';

/** Names of the own parts of the first catch that has a flow, without the scatter. */
function ownParts(text: string): BudgetInput[] {
  const budget = captureBudgets(analysed(text).budgetFacts).catches.find((one) => one !== null)!;
  return budget.lines
    .filter((line) => line.scope === 'own' && line.input !== 'scatter-of-readings' && line.contribution > 0)
    .map((line) => line.input);
}

function simulated(args: string): string {
  let text = '';
  const code = runSimulate(
    args.split(' '),
    (out) => (text += out),
    () => undefined,
  );
  expect(code).toBe(0);
  return text;
}

/** Flow of one display step a reading, and hardly any noise: the display hides the fill. */
const resonant = (header: Record<string, string>): string =>
  scaleCapture({
    header: { ...header, averagedReadings: '8' },
    pours: [{ start_s: 8, stop_s: 68, flow_g_per_s: 9.95 }],
    until_s: 80,
    print: (grams) => `${String(Math.round(grams)).padStart(8)} g`,
    averaged: 8,
    seed: 3,
  });

describe('a budget names its rig’s own doubts', () => {
  it('steps of the display hide a fill, whether a hand pumps or not', () => {
    expect(analysed(resonant({})).analysis.catches[0]!.warnings).toContain('quantisation-resonance');
    expect(ownParts(resonant({}))).toEqual(['jet-push', 'display-steps']);
    expect(ownParts(resonant({ rigKind: 'pumped-while-spraying', strokePeriod_s: '2' }))).toEqual([
      'jet-push',
      'display-steps',
    ]);
  });

  it('a hose that swells, alone and in steps with the display', () => {
    expect(ownParts(simulated('--scenario swelling-hose --seed 6 --fills 1'))).toEqual([
      'jet-push',
      'hose-swelling',
    ]);
    expect(ownParts(resonant({ rigKind: 'hose-reel' }))).toEqual(['jet-push', 'swelling-and-steps']);
  });

  it('the fading push of a falling pour’s points', () => {
    const text = simulated(
      '--scenario pumped-up --seed 4 --settings 30,45psi --catches 1 --rated-flow 0.2gpm --instrument bench-board --sensor 100psi',
    );
    expect(ownParts(text)).toEqual(['jet-push', 'fading-push']);
  });

  it('a longer catch is advised where one can be made: not for a can that runs down', () => {
    const helps = (kind: string) =>
      captureBudgets(analysed(simulated(`--scenario ${kind} --seed 4 --fills 1`)).budgetFacts)
        .catches.find((one) => one !== null)!
        .helps.map(({ help }) => help);
    expect(helps('typical')).toContain('longer-catch');
    expect(helps('pumped-up')).not.toContain('longer-catch');
    expect(helps('pumped-up')).not.toEqual([]);
  });

  it('the pull of a hose, where the sprayer stands on the scale, and how much a guide takes of it', () => {
    const text = scaleCapture({
      header: { standsOnScale: 'sprayer', wand: 'hand-held' },
      pours: pours(1, -20),
      until_s: 45,
      extra: () => 15_000,
    });
    expect(ownParts(text)).toEqual(['hose-pull']);
    const budget = captureBudgets(analysed(text).budgetFacts).catches[0]!;
    const guided = captureBudgets(analysed(text.replace('wand: hand-held', 'wand: guided')).budgetFacts)
      .catches[0]!;
    const help = budget.helps.find((one) => one.help === 'guide-wand')!;
    expect(help.acts).toBe('hose-pull');
    expect(help.expandedUncertainty95 / guided.expandedUncertainty95).toBeCloseTo(1, 3);
  });
});
