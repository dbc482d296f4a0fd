import { describe, expect, it } from 'vitest';
import type { SharedPart } from '../../../src/analysis/budget/budget.ts';
import { catchBudget, handBudget } from '../../../src/analysis/budget/catch-budget.ts';
import { sumLines } from '../../../src/analysis/budget/sum-lines.ts';
import { flowByHand } from '../../../src/analysis/flow/by-hand.ts';
import { jetAllowance_kg_per_s } from '../../../src/analysis/flow/jet-allowance.ts';
import { wholeUncertainty } from '../../../src/analysis/flow/catch-uncertainty.ts';
import { analyseByHand } from '../../../src/analysis/sweep/analyse-by-hand.ts';
import { analysed, pours, scaleCapture } from '../sweep/analysed.ts';

const perMass = 1.00105 / 998.2;
const water: SharedPart = {
  input: 'water-temperature',
  value: 20,
  unit: '°C',
  standardUncertainty: 1,
  distribution: 'normal',
  degreesOfFreedom: 1e6,
  relative: 2.1e-4,
};
/** A factor from three weighings: two degrees of freedom. */
const factor: SharedPart = {
  input: 'scale-factor',
  value: 1.004,
  unit: '1',
  standardUncertainty: 2e-3,
  distribution: 'scatter',
  degreesOfFreedom: 2,
  relative: 2e-3,
};

describe('the budget of one catch', () => {
  const { analysis } = analysed(scaleCapture({ pours: pours(1, 25), until_s: 60 }));
  const caught = analysis.catches[0]!;
  const facts = {
    volumePerMass_m3_per_kg: perMass,
    about: { instrument: 'scale' as const, unknown: {} },
    meter: null,
    shared: { mass: [water, factor], pulses: [] },
    sprayCanMissUnseen: () => true,
    help: { wand: 'guided', waterAssumed: false } as const,
  };

  it('gives the drift of the jet in kilograms, as the allowance was made from it (arithmetic)', () => {
    const line = catchBudget(caught, facts)!.lines.find(({ input }) => input === 'jet-push')!;
    const length_s = caught.stop_s - caught.start_s;
    // A push whose allowance is that of this catch, guided: u of its drift is 5 % of it over √3.
    const push_kg = (line.standardUncertainty * Math.sqrt(3)) / 0.05;
    expect(jetAllowance_kg_per_s(push_kg, length_s, 'guided') * perMass).toBeCloseTo(
      caught.jetAllowance_m3_per_s!,
      15,
    );
    expect(push_kg).toBeGreaterThan(0.003);
    expect(push_kg).toBeLessThan(0.008); // the capture's jet pushes 5 g
  });

  it('counts the few degrees of freedom of a scale check, here and in the printed figure alike', () => {
    const few = catchBudget(caught, facts)!;
    const flow = caught.flow_m3_per_s!;
    const shared = flow * Math.hypot(2.1e-4, 2e-3);
    // Welch-Satterthwaite of the shared part alone, by hand.
    const sharedDegreesOfFreedom = Math.hypot(2.1e-4, 2e-3) ** 4 / (2e-3 ** 4 / 2);
    const printed = wholeUncertainty({
      typeA_m3_per_s: caught.typeA_m3_per_s!,
      typeADegreesOfFreedom: caught.typeADegreesOfFreedom!,
      jetAllowance_m3_per_s: caught.jetAllowance_m3_per_s!,
      ownTypeB_m3_per_s: caught.ownTypeB_m3_per_s!,
      sharedTypeB_m3_per_s: shared,
      sharedDegreesOfFreedom,
    });
    expect(few.degreesOfFreedom / printed.degreesOfFreedom).toBeCloseTo(1, 12);
    expect(few.expandedUncertainty95 / printed.expandedUncertainty95).toBeCloseTo(1, 12);
    expect(few.degreesOfFreedom).toBeLessThan(4);
    const known = catchBudget(caught, {
      ...facts,
      shared: { mass: [water, { ...factor, degreesOfFreedom: 1e6 }], pulses: [] },
    })!;
    expect(known.standardUncertainty).toBe(few.standardUncertainty);
    expect(known.expandedUncertainty95).toBeLessThan(0.6 * few.expandedUncertainty95);
  });

  it('has no line for spray that misses where it can not miss', () => {
    const budget = catchBudget(caught, { ...facts, sprayCanMissUnseen: () => false })!;
    expect(budget.lines.map((line) => line.input)).not.toContain('spray-missed');
  });

  it('names an instrument that nobody checked, not counted, and none that was', () => {
    const unchecked = (more: object, from: 'mass' | 'pulses' = 'mass') =>
      catchBudget({ ...caught, flowFrom: from }, { ...facts, ...more })!.lines.filter(
        ({ included, input }) => !included && input !== 'spray-missed',
      );
    const about = facts.about;
    const nobody = { shared: { mass: [water], pulses: [] } };
    expect(unchecked(nobody)).toMatchObject([
      { input: 'unchecked-scale', distribution: 'unknown', contribution: 0, included: false },
    ]);
    expect(catchBudget(caught, { ...facts, ...nobody })!.standardUncertainty).toBeGreaterThan(0);
    // Checked afterwards (a part of the budget), or before (the header says so).
    expect(unchecked({})).toEqual([]);
    expect(unchecked({ ...nobody, about: { ...about, scaleFactorFrom: 'mass-pieces' } })).toEqual([]);
    expect(unchecked({ ...nobody, about: { ...about, scaleFactorFrom: 'maker' } })).toHaveLength(1);
    expect(unchecked(nobody, 'pulses')).toMatchObject([{ input: 'unchecked-meter' }]);
    expect(unchecked({ ...nobody, about: { ...about, meterOffset_Hz: 1 } }, 'pulses')).toEqual([]);
  });

  it('is none for a void catch', () => {
    expect(catchBudget({ ...caught, flow_m3_per_s: null }, facts)).toBeNull();
  });
});

describe('the budget of a catch timed by hand', () => {
  const timing = { duration_s: 20, volume_m3: 1e-3, markSpacing_m3: 1e-4 };

  it('comes to the figures of the estimate', () => {
    const hand = flowByHand(timing);
    if (!hand.ok) throw new Error(hand.because);
    const budget = handBudget(hand.value.flow_m3_per_s, timing);
    expect(budget.standardUncertainty / hand.value.standardUncertainty_m3_per_s).toBeCloseTo(1, 14);
    expect(budget.ownStandardUncertainty / hand.value.ownTypeB_m3_per_s).toBeCloseTo(1, 14);
    expect(budget.sharedStandardUncertainty / hand.value.sharedTypeB_m3_per_s).toBeCloseTo(1, 14);
    expect(budget.expandedUncertainty95 / hand.value.expandedUncertainty95_m3_per_s).toBeCloseTo(1, 12);
  });

  it('and k of such catches has one too, which comes to the printed one', () => {
    const done = analyseByHand({
      name: 'hand',
      estimatorVersion: '0',
      catches: [200_000, 300_000, 400_000].map((setting_Pa, i) => ({
        ...timing,
        volume_m3: 1e-3 * (1 + 0.2 * i),
        setting_Pa,
      })),
      protocol: 're-set',
      settingStandardUncertainty_Pa: 6000,
      tip: { ratedFlow_m3_per_s: 6e-5, ratedPressure_Pa: 300_000 },
    });
    if (!done.ok) throw new Error(done.because);
    const { analysis, budgets, picture } = done.value;
    expect(
      budgets.nozzleConstant!.standardUncertainty /
        analysis.curve!.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa,
    ).toBeCloseTo(1, 12);
    expect(
      budgets.ratioToRated!.expandedUncertainty95 / picture!.rated!.ratioExpandedUncertainty95,
    ).toBeCloseTo(1, 5);
    expect(budgets.nozzleConstant!.lines.map((line) => line.input).sort()).toEqual(
      ['mark-reading', 'pail-marks', 'setting', 'spray-missed', 'thumb'].sort(),
    );
  });
});

// GUM (JCGM 100:2008) H.1, end gauge; inputs and results seen in MSLNZ/GTC (docs/API/GUM_H1.rst).
describe('GUM H.1 as a budget of ours', () => {
  it('gives u = 31.66 nm with 16.75 degrees of freedom, and 95 % from their t', () => {
    const line = (
      input: 'scatter-of-readings' | 'setting' | 'scale-factor' | 'scale-drift',
      contribution: number,
      df: number,
    ) =>
      ({
        input,
        value: null,
        unit: 'nm',
        standardUncertainty: contribution,
        distribution: 'normal',
        sensitivity: 1,
        degreesOfFreedom: df,
        scope: 'own',
        contribution,
        included: true,
      }) as const;
    const length_nm = 50_000_000;
    const budget = sumLines({ result: 'flow', value: 50_000_838, unit: 'nm' }, [
      line('scale-factor', 25, 18),
      line('scatter-of-readings', 5.8, 24),
      line('scatter-of-readings', 3.9, 5),
      line('scatter-of-readings', 6.7, 8),
      line('scale-drift', (length_nm * 0.1e-6) / Math.sqrt(3), 50),
      line('setting', (length_nm * 11.5e-6 * 0.05) / Math.sqrt(3), 2),
    ]);
    expect(budget.standardUncertainty).toBeCloseTo(31.6637674111, 8);
    expect(budget.degreesOfFreedom).toBeCloseTo(16.7521475092, 7);
    // t(0.975, 16.75) by interpolation between the printed 2.120 (16) and 2.110 (17).
    expect(budget.coverageFactor).toBeCloseTo(2.112, 3);
  });
});
