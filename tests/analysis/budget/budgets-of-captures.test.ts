import { describe, expect, it } from 'vitest';
import type { Budget, BudgetLine } from '../../../src/analysis/budget/budget.ts';
import type { AnalysedCapture } from '../../../src/analysis/sweep/capture-analyser.ts';
import { simulateCapture, type CaptureRequest } from '../../../src/simulation/simulated-capture.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { captureBudgets } from '../../../src/analysis/budget/capture-budgets.ts';
import type { CaptureBudgets } from '../../../src/analysis/budget/budget.ts';
import { analysed as analysedOnly, pours, scaleCapture } from '../sweep/analysed.ts';

function analysed(text: string): AnalysedCapture & { readonly budgets: CaptureBudgets } {
  const capture = analysedOnly(text);
  return { ...capture, budgets: captureBudgets(capture.budgetFacts) };
}

const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const rated = { flow_m3_per_s: 2.5e-5, pressure_Pa: 40 * PSI_PA };
const board = { kind: 'bench-board', meterPulsesPerCubicMetre: 455_000 } as const;

type Case = readonly [string, Omit<CaptureRequest, 'fills'>, ((text: string) => string)?];
const cases: readonly Case[] = [
  ['scale', { scenario: 'typical', seed: 31, instrument: { kind: 'scale' }, sweep: { settings_Pa, rated } }],
  ['scale, rough', { scenario: 'rough', seed: 32, instrument: { kind: 'scale' }, sweep: { settings_Pa } }],
  ['coarse scale', { scenario: 'worst', seed: 33, instrument: { kind: 'scale' }, sweep: { settings_Pa } }],
  [
    'dial that clicks',
    { scenario: 'typical', seed: 34, instrument: { kind: 'scale' }, sweep: { settings_Pa } },
    (text) => text.replace('settingProtocol: re-set', 'settingProtocol: set-once'),
  ],
  [
    'a knob much better than stated, water not measured',
    { scenario: 'typical', seed: 35, instrument: { kind: 'scale' }, sweep: { settings_Pa } },
    (text) =>
      text
        .replace(/settingStandardUncertainty_Pa: .*/, 'settingStandardUncertainty_Pa: 200')
        .replace(/# waterTemperature_degC: .*\n/, ''),
  ],
  [
    'the same, set once',
    { scenario: 'typical', seed: 36, instrument: { kind: 'scale' }, sweep: { settings_Pa } },
    (text) =>
      text
        .replace(/settingStandardUncertainty_Pa: .*/, 'settingStandardUncertainty_Pa: 200')
        .replace('settingProtocol: re-set', 'settingProtocol: set-once'),
  ],
  [
    'board with a sensor',
    {
      scenario: 'typical',
      seed: 37,
      instrument: { kind: 'bench-board', pressureFullScale_Pa: 150 * PSI_PA },
      sweep: { settings_Pa, rated },
    },
  ],
  ['board with a meter', { scenario: 'typical', seed: 38, instrument: board, sweep: { settings_Pa } }],
  [
    'meter alone',
    { scenario: 'typical', seed: 39, instrument: board, sweep: { settings_Pa } },
    (text) => text.replace(/# gramsPerCount: .*\n/, ''),
  ],
  [
    'checked meter alone',
    { scenario: 'typical', seed: 41, instrument: board, sweep: { settings_Pa } },
    (text) =>
      text.replace(
        /# gramsPerCount: .*\n/,
        '# meterOffset_Hz: 0.3\n# pulsesPerLitreStandardUncertainty: 0.6\n# meterOffsetStandardUncertainty_Hz: 0.02\n# meterCorrelation: 0.8\n# meterReferenceRelativeStandardUncertainty: 0.001\n',
      ),
  ],
  [
    'checked scale',
    { scenario: 'typical', seed: 42, instrument: { kind: 'scale' }, sweep: { settings_Pa } },
    (text) =>
      text.replace(
        '# wand:',
        '# scaleFactor: 1.002\n# scaleFactorRelativeStandardUncertainty: 0.0008\n# wand:',
      ),
  ],
];

function analysedCase([, request, change = (text) => text]: Case): ReturnType<typeof analysed> {
  return analysed(change(simulateCapture({ ...request, fills: 15 })));
}

/** Root sum of squares, by hand: not the function under test. */
function rss(lines: readonly BudgetLine[]): number {
  return Math.sqrt(lines.reduce((sum, line) => sum + (line.included ? line.contribution ** 2 : 0), 0));
}
const close = (a: number, b: number, digits = 12): void => {
  expect(Math.abs(a / b - 1)).toBeLessThan(10 ** -digits);
};

function expectSound(budget: Budget): void {
  close(rss(budget.lines), budget.standardUncertainty);
  for (const line of budget.lines) {
    for (const number of [line.standardUncertainty, line.sensitivity, line.contribution]) {
      expect(Number.isFinite(number)).toBe(true);
    }
    if (line.included && line.contribution > 0) {
      close(Math.abs(line.sensitivity) * line.standardUncertainty, line.contribution, 9);
    }
    expect(line.degreesOfFreedom).toBeLessThanOrEqual(1e6);
    expect(line.unit).not.toBe('');
  }
  close(budget.coverageFactor * budget.standardUncertainty, budget.expandedUncertainty95);
}

describe('the budgets of a capture', () => {
  it.each(cases.map((one) => [one[0], one] as const))(
    'come to the printed figures of every catch and of k: %s',
    (_name, one) => {
      const { analysis, budgets, picture } = analysedCase(one);
      expect(budgets.catches).toHaveLength(analysis.catches.length);
      expect(analysis.catches.filter((c) => c.flow_m3_per_s !== null).length).toBeGreaterThan(9);
      analysis.catches.forEach((c, i) => {
        const budget = budgets.catches[i]!;
        if (c.flow_m3_per_s === null) {
          expect(budget).toBeNull();
          return;
        }
        expectSound(budget);
        expect(budget.value).toBe(c.flow_m3_per_s);
        close(budget.standardUncertainty, c.standardUncertainty_m3_per_s!);
        close(budget.degreesOfFreedom, c.degreesOfFreedom!);
        close(budget.expandedUncertainty95, c.expandedUncertainty95_m3_per_s!);
        const of = (scope: string): number => rss(budget.lines.filter((line) => line.scope === scope));
        close(of('shared'), c.sharedTypeB_m3_per_s!);
        close(of('own'), Math.hypot(c.typeA_m3_per_s!, c.jetAllowance_m3_per_s!, c.ownTypeB_m3_per_s!));
        close(of('own'), budget.ownStandardUncertainty);
      });
      const k = budgets.nozzleConstant!;
      expectSound(k);
      expect(k.value).toBe(analysis.curve!.nozzleConstant_m3_per_s_per_sqrtPa);
      close(k.standardUncertainty, analysis.curve!.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa);
      close(k.expandedUncertainty95, picture!.nozzleConstantExpanded95_m3_per_s_per_sqrtPa, 5);
      expect(k.lines.some((line) => line.input === 'catches')).toBe(false);
      if (picture!.rated === null) expect(budgets.ratioToRated).toBeNull();
      else {
        expectSound(budgets.ratioToRated!);
        close(budgets.ratioToRated!.expandedUncertainty95, picture!.rated.ratioExpandedUncertainty95, 5);
      }
    },
  );

  it('name spray that misses the pail, not counted, where no checked meter stands beside the scale', () => {
    const missed = (one: Case): boolean[] =>
      analysedCase(one).budgets.catches.flatMap((budget) =>
        budget === null ? [] : [budget.lines.some((line) => line.input === 'spray-missed')],
      );
    expect(new Set(missed(cases[0]!))).toEqual(new Set([true]));
    expect(new Set(missed(cases[7]!))).toEqual(new Set([true]));
    const [, request] = cases[7]!;
    const checkedMeter: Case = [
      'board with a checked meter',
      request,
      (text) =>
        text.replace('# wand:', '# meterOffset_Hz: 0\n# pulsesPerLitreStandardUncertainty: 0.6\n# wand:'),
    ];
    expect(new Set(missed(checkedMeter))).toEqual(new Set([false]));
    // A plateau has no balance of its own, whatever stands beside the scale.
    const plateaus: Case = [
      'plateaus',
      request,
      (text) =>
        checkedMeter[2]!(text)
          .replace(/^.*\t!setting .*\n/gm, '')
          .replace(/^(?=\d)/m, '0\t!plan one-pour 275790\n'),
    ];
    expect(analysedCase(plateaus).analysis.catches[0]!.massBecause).toBe('plateau-of-a-pour');
    expect(new Set(missed(plateaus))).toEqual(new Set([true]));
    const line = analysedCase(cases[0]!).budgets.nozzleConstant!.lines.find(
      (l) => l.input === 'spray-missed',
    );
    expect(line).toMatchObject({ distribution: 'one-sided', included: false, contribution: 0 });
  });

  it('name a scale that nobody checked once in the budget of k and of the ratio', () => {
    const [name, request, change = (text: string) => text] = cases[0]!;
    const budgets = (from: string) =>
      analysedCase([
        name,
        request,
        (text) => change(text).replace('# scaleFactorFrom: mass-pieces', `# scaleFactorFrom: ${from}`),
      ]).budgets;
    const notCounted = (budget: Budget | null): string[] =>
      budget!.lines.filter((line) => !line.included).map((line) => line.input);
    expect(notCounted(budgets('maker').nozzleConstant)).toEqual(['spray-missed', 'unchecked-scale']);
    expect(notCounted(budgets('mass-pieces').nozzleConstant)).toEqual(['spray-missed']);
  });

  it('put the scatter of the repeats where it stands instead of what was stated (rule 11.6)', () => {
    const text = simulateCapture({
      scenario: 'typical',
      seed: 40,
      fills: 15,
      instrument: { kind: 'scale' },
      sweep: { settings_Pa },
    }).replace(/settingStandardUncertainty_Pa: .*/, 'settingStandardUncertainty_Pa: 1000');
    const { analysis, budgets } = analysed(text);
    expect(analysis.warnings).toContain('dial-repeats-worse-than-stated');
    const inputs = budgets.nozzleConstant!.lines.filter((l) => l.scope === 'own').map((l) => l.input);
    expect(inputs).toEqual(['repeats']);
    expect(budgets.nozzleConstant!.lines[0]!.degreesOfFreedom).toBe(10);
  });

  it('take what a sensor shares once into k, and its noise into the weights', () => {
    const { budgets, analysis } = analysedCase(cases[6]!);
    const readings = budgets.nozzleConstant!.lines.filter((line) => line.input === 'pressure-reading');
    expect(readings.map((line) => line.scope)).toEqual(['own', 'shared']);
    // Half a percent of full scale, rectangular; 750 Pa over 20-60 psi is 0.1 % of k and more.
    expect(readings[1]!.standardUncertainty).toBeCloseTo((0.005 * 150 * PSI_PA) / Math.sqrt(3), 6);
    expect(readings[1]!.contribution).toBeGreaterThan(3 * readings[0]!.contribution);
    expect(analysis.curve!.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa).toBeGreaterThan(
      readings[1]!.contribution,
    );
  });

  it('are none for a capture without catches, and none of k without settings', () => {
    expect(analysed(scaleCapture({ pours: [], until_s: 20 })).budgets).toEqual({
      catches: [],
      nozzleConstant: null,
      ratioToRated: null,
    });
    const { budgets } = analysed(scaleCapture({ pours: pours(2, 20), until_s: 90 }));
    expect(budgets.nozzleConstant).toBeNull();
    expect(budgets.catches.every((budget) => budget !== null)).toBe(true);
  });

  it('have every plateau of one pour', () => {
    const flow = (t: number): number => (t < 10 ? 0 : t < 30 ? 20 : t < 50 ? 26 : 0);
    let water = 0;
    let at = 0;
    const { analysis, budgets } = analysed(
      scaleCapture({
        pours: [],
        extra: (t) => {
          for (; at < t; at += 0.05) water += flow(at) * 0.05;
          return water + (flow(t) > 0 ? 5 : 0);
        },
        marks: [[4, 'plan one-pour 200000 340000']],
        until_s: 62,
      }),
    );
    expect(analysis.catches).toHaveLength(2);
    analysis.catches.forEach((c, i) => {
      expectSound(budgets.catches[i]!);
      close(budgets.catches[i]!.expandedUncertainty95, c.expandedUncertainty95_m3_per_s!);
    });
  });
});
