import { expect, test } from 'vitest';
import { analyseByHand } from '../../../src/analysis/sweep/analyse-by-hand.ts';

test('a catch timed by hand under eight seconds is doubtful for being short, and its flow stands', () => {
  const timing = { setting_Pa: 3e5, volume_m3: 1e-3, markSpacing_m3: 1e-4 };
  const analysed = analyseByHand({
    name: 'invented',
    estimatorVersion: '0',
    catches: [
      { ...timing, duration_s: 7.9 },
      { ...timing, duration_s: 8 },
    ],
    protocol: 're-set',
    settingStandardUncertainty_Pa: 1e4,
    tip: { ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
  });
  if (!analysed.ok) throw new Error(analysed.because);
  const [short, long] = analysed.value.analysis.catches;
  expect(short!.warnings).toContain('short-catch');
  expect(short!.flow_m3_per_s).toBeCloseTo(1e-3 / 7.9, 12);
  expect(long!.warnings).not.toContain('short-catch');
});

test('a curve that is refused says why, and not that there are no catches', () => {
  const analysed = analyseByHand({
    name: 'invented',
    estimatorVersion: '0',
    catches: [{ setting_Pa: 0, volume_m3: 1e-3, markSpacing_m3: 1e-4, duration_s: 20 }],
    protocol: 're-set',
    settingStandardUncertainty_Pa: 1e4,
    tip: { ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
  });
  if (!analysed.ok) throw new Error(analysed.because);
  expect(analysed.value.analysis).toMatchObject({ curve: null, curveBecause: 'fit-did-not-settle' });
});
