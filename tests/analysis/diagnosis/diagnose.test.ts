import { describe, expect, it } from 'vitest';
import { diagnose } from '../../../src/analysis/diagnosis/diagnose.ts';
import { causes } from '../../../src/analysis/diagnosis/diagnosis.ts';
import type { Cause } from '../../../src/analysis/diagnosis/diagnosis.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeSweep, TRUE_K } from '../../benchmarks/findings-parts/made-findings.ts';
import type { Design, Truth } from '../../benchmarks/findings-parts/made-findings.ts';
import { diagnosed, inputOf } from './made.ts';

/** Catches of 0.05 %, a pressure good to 0.02 psi, a reference to 0.1 %: the truth must come out, not chance. */
const exact: Design = {
  name: 'nearly exact',
  protocol: 're-set',
  catchRelative: 5e-4,
  dial_psi: 0.02,
  reference: 1e-3,
};

const truths: readonly (readonly [Truth, Cause, { of: string; value: number } | null])[] = [
  [{ name: 'ok' }, 'no fault shown', null],
  [{ name: 'worn', factor: [1.08, 1.08] }, 'worn', { of: 'constant-ratio', value: 1.08 }],
  [{ name: 'restricted', factor: [0.93, 0.93] }, 'restricted', { of: 'constant-ratio', value: 0.93 }],
  [{ name: 'leak', leakShare: [0.06, 0.06] }, 'leaking', { of: 'leak-share', value: 0.06 }],
  [{ name: 'cap', cap_psi: 47 }, 'pump-limited', { of: 'pump-pressure_Pa', value: 47 * PSI_PA }],
  [
    { name: 'check valve', threshold_psi: [9, 9] },
    'threshold-or-dial-high',
    { of: 'offset_Pa', value: 9 * PSI_PA },
  ],
  [
    { name: 'dial high', dialOffset_psi: 4 },
    'threshold-or-dial-high',
    { of: 'offset_Pa', value: 4 * PSI_PA },
  ],
  [{ name: 'dial low', dialOffset_psi: -4 }, 'dial-low', { of: 'offset_Pa', value: -4 * PSI_PA }],
];

describe('a nearly exact sweep names its truth and finds how large it is', () => {
  for (const protocol of ['re-set', 'set-once'] as const) {
    for (const [truth, cause, size] of truths) {
      it(`${truth.name}, ${protocol} → ${cause}`, () => {
        const random = new Random(11);
        for (let i = 0; i < 20; i++) {
          const found = diagnosed(inputOf(madeSweep({ ...exact, protocol }, truth, random), exact.reference));
          expect(found.finding.cause).toBe(cause);
          expect(found.finding.orElse).toBeNull();
          if (size === null) expect(found.size).toBeNull();
          else {
            expect(found.size?.of).toBe(size.of);
            expect(Math.abs(found.size!.value / size.value - 1)).toBeLessThan(0.1);
            expect(found.size!.expandedUncertainty95).toBeGreaterThan(0);
            expect(found.size!.expandedUncertainty95).toBeLessThan(0.2 * Math.abs(size.value));
          }
        }
      });
    }
  }
});

it('prints a finite value for every documented key, also for what the data contradict', () => {
  const random = new Random(12);
  for (const [truth] of truths) {
    const { evidence } = diagnosed(inputOf(madeSweep(exact, truth, random), 1e-3)).finding;
    expect(Object.keys(evidence.aicc)).toEqual([...causes]);
    expect(Object.values(evidence.aicc).every(Number.isFinite)).toBe(true);
    expect(evidence.gain).toBeCloseTo(
      evidence.aicc['no fault shown'] - Math.min(...Object.values(evidence.aicc)),
      9,
    );
  }
});

it('gives no verdict without a reference, without a curve, under five settings, and says how to get one', () => {
  const made = madeSweep(exact, { name: 'ok' }, new Random(1));
  const input = inputOf(made, 1e-3);
  expect(diagnose({ ...input, reference: {} })).toEqual({
    because: 'no-reference',
    settledBy: ['stamp-or-baseline'],
  });
  expect(diagnose({ ...input, curve: null })).toEqual({ because: 'no-curve', settledBy: ['more-catches'] });
  const four = madeSweep({ ...exact, settings_psi: [20, 30, 40, 50] }, { name: 'ok' }, new Random(1));
  expect(diagnose(inputOf(four, 1e-3))).toEqual({
    because: 'too-few-settings',
    settledBy: ['more-catches'],
  });
});

it('takes the rating for a reference with 2.5 % and a warning, and asks for a baseline', () => {
  const made = madeSweep(exact, { name: 'ok' }, new Random(2));
  const found = diagnosed({
    ...inputOf(made, 1),
    reference: {
      ratedFlow_m3_per_s: TRUE_K * Math.sqrt(40 * PSI_PA),
      ratedPressure_Pa: 40 * PSI_PA,
    },
  });
  expect(found.reference).toEqual({
    nozzleConstant_m3_per_s_per_sqrtPa: TRUE_K,
    relativeStandardUncertainty: 0.025,
    from: 'rated',
  });
  expect(found.warnings).toContain('reference-from-rating');
  expect(found.settledBy).toContain('take-a-baseline');
});
