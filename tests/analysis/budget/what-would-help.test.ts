import { describe, expect, it } from 'vitest';
import type { Budget } from '../../../src/analysis/budget/budget.ts';
import { captureBudgets } from '../../../src/analysis/budget/capture-budgets.ts';
import { handBudget } from '../../../src/analysis/budget/catch-budget.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { analysed, pours, scaleCapture } from '../sweep/analysed.ts';

const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const capture = simulateCapture({
  scenario: 'rough',
  seed: 51,
  fills: 15,
  instrument: { kind: 'scale' },
  sweep: { settings_Pa, rated: { flow_m3_per_s: 2.5e-5, pressure_Pa: 40 * PSI_PA } },
});
const budgetsOf = (text: string) => captureBudgets(analysed(text).budgetFacts);
const helpOf = (budget: Budget, help: string) => budget.helps.find((one) => one.help === help);

describe('what would make a ± smaller', () => {
  it('says of a guided wand what the same capture gives when it says that the wand was guided', () => {
    const held = budgetsOf(capture);
    const guided = budgetsOf(capture.replace('wand: hand-held', 'wand: guided'));
    let asked = 0;
    held.catches.forEach((budget, i) => {
      if (budget === null) return;
      const said = helpOf(budget, 'guide-wand');
      const got = guided.catches[i]!.expandedUncertainty95;
      if (said === undefined) expect(got).toBeGreaterThan(0.95 * budget.expandedUncertainty95);
      else {
        asked++;
        expect(said.expandedUncertainty95 / got).toBeCloseTo(1, 9);
        expect(said.acts).toBe('jet-push');
      }
    });
    expect(asked).toBeGreaterThan(5);
    expect(
      guided.catches.every((budget) => budget === null || helpOf(budget, 'guide-wand') === undefined),
    ).toBe(true);
  });

  it('says of a thermometer what the same water gives when its temperature is stated as what was assumed', () => {
    const script = { pours: pours(1, 25), until_s: 60 };
    const assumed = budgetsOf(scaleCapture({ ...script, header: { waterTemperature_degC: '' } })).catches[0]!;
    const stated = budgetsOf(scaleCapture({ ...script, header: { waterTemperature_degC: '20' } }))
      .catches[0]!;
    expect(
      helpOf(assumed, 'measure-water')!.expandedUncertainty95 / stated.expandedUncertainty95,
    ).toBeCloseTo(1, 9);
    expect(helpOf(stated, 'measure-water')).toBeUndefined();
  });

  it('never promises more than the whole ±, names the best first, and leaves out what hardly helps', () => {
    const { catches, nozzleConstant, ratioToRated } = budgetsOf(capture);
    for (const budget of [...catches, nozzleConstant, ratioToRated]) {
      if (budget === null) continue;
      const promised = budget.helps.map((one) => one.expandedUncertainty95);
      expect(promised).toEqual([...promised].sort((a, b) => a - b));
      for (const half of promised) {
        expect(half).toBeGreaterThan(0);
        expect(half).toBeLessThan(0.95 * budget.expandedUncertainty95);
      }
    }
  });

  it('names a sensor for k, and the dial at zero for what stands against the rating', () => {
    const { nozzleConstant, ratioToRated } = budgetsOf(capture);
    expect(helpOf(nozzleConstant!, 'pressure-sensor')).toMatchObject({ acts: 'setting' });
    expect(helpOf(nozzleConstant!, 'twice-the-catches')).toMatchObject({ amount: 6 });
    expect(helpOf(ratioToRated!, 'dial-at-zero')!.expandedUncertainty95).toBeLessThan(
      0.7 * ratioToRated!.expandedUncertainty95,
    );
    expect(helpOf(ratioToRated!, 'pressure-sensor')!.expandedUncertainty95).toBeLessThan(
      0.5 * ratioToRated!.expandedUncertainty95,
    );
  });

  it('promises nothing of more catches against a dial that was left alone', () => {
    const once = budgetsOf(
      simulateCapture({
        scenario: 'typical',
        seed: 52,
        fills: 15,
        instrument: { kind: 'scale' },
        sweep: { settings_Pa, dial: { protocol: 'set-once', standardDeviation_Pa: 1.5 * PSI_PA } },
      }),
    );
    expect(helpOf(once.nozzleConstant!, 'twice-the-catches')).toBeUndefined();
  });

  // Arithmetic: 0.1 s of 20 s and a quarter of 100 mL of 1 L, both halved or less in a longer catch; the marks' 2 % stay.
  it('says of a longer catch by hand what is left: the marks of the pail', () => {
    const budget = handBudget(5e-5, { duration_s: 20, volume_m3: 1e-3, markSpacing_m3: 1e-4 });
    const own = Math.hypot(0.1 / 20, 0.025 / Math.sqrt(3));
    const marks = 0.02 / Math.sqrt(3);
    const longer = helpOf(budget, 'longer-catch')!;
    expect(longer.amount).toBe(30);
    expect(longer.expandedUncertainty95 / (5e-5 * 1.959964 * Math.hypot((own * 20) / 30, marks))).toBeCloseTo(
      1,
      5,
    );
  });
});
