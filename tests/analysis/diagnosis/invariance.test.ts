import { describe, expect, it } from 'vitest';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { CurveInput } from '../../../src/analysis/curve/curve-point.ts';
import type { Diagnosis } from '../../../src/analysis/diagnosis/diagnosis.ts';
import { Random } from '../../../src/simulation/random.ts';
import { faults, sound } from '../../benchmarks/findings-parts/score-findings.ts';
import { usual } from '../../benchmarks/findings-parts/designs.ts';
import { madeSweep } from '../../benchmarks/findings-parts/made-findings.ts';
import { diagnosed, inputOf } from './made.ts';

const sweeps = [sound, ...faults].flatMap((truth, t) =>
  [0, 1, 2].map((i) => ({
    title: `${truth.name}, seed ${100 * t + i}`,
    made: madeSweep(usual, truth, new Random(100 * t + i)),
  })),
);

function fitted(input: CurveInput) {
  const curve = fitNozzleCurve(input);
  if (!curve.ok) throw new Error(curve.because);
  return curve.value;
}

function sameVerdict(one: Diagnosis, other: Diagnosis): void {
  expect(other.finding.cause).toBe(one.finding.cause);
  expect(other.finding.orElse).toBe(one.finding.orElse);
  expect(other.finding.fits).toBe(one.finding.fits);
  for (const [cause, value] of Object.entries(one.finding.evidence.aicc))
    expect(other.finding.evidence.aicc[cause as keyof typeof one.finding.evidence.aicc]).toBeCloseTo(
      value,
      5,
    );
}

describe.each(sweeps)('$title', ({ made }) => {
  const before = diagnosed(inputOf(made, usual.reference));

  it('has the same verdict in whatever order the catches came', () => {
    const points = [...made.input.points].reverse();
    points.push(...points.splice(0, 4));
    sameVerdict(before, diagnosed(inputOf({ ...made, curve: fitted({ ...made.input, points }) }, 0.01)));
  });

  it('has the same verdict with every flow in another unit', () => {
    const factor = 15850.3;
    const points = made.input.points.map((point) => ({
      ...point,
      flow_m3_per_s: factor * point.flow_m3_per_s,
      ownStandardUncertainty_m3_per_s: factor * point.ownStandardUncertainty_m3_per_s,
    }));
    sameVerdict(
      before,
      diagnosed(
        inputOf(
          {
            ...made,
            curve: fitted({ ...made.input, points }),
            referenceConstant: factor * made.referenceConstant,
          },
          0.01,
        ),
      ),
    );
  });
});
