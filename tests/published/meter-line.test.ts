import { describe, expect, it } from 'vitest';
import { checkMeter } from '../../src/analysis/checks/meter-check.ts';

// Source: GUM (JCGM 100:2008) H.3, the calibration line of a thermometer: temperatures and corrections as printed there (seen in the
// documentation of MSLNZ/GTC); the long figures recomputed from its data. Here temperature − 20 °C stands for the flow.
const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];

describe('the two-parameter line of a meter', () => {
  it('is that of GUM H.3, its uncertainties from the scatter and their correlation kept', () => {
    const found = checkMeter(
      t.map((temperature, i) => ({
        flow_m3_per_s: temperature - 20,
        flowStandardUncertainty_m3_per_s: 0,
        frequency_Hz: b[i]!,
        // Stated far too small: the scatter about the line decides, as in H.3.
        frequencyStandardUncertainty_Hz: 1e-6,
      })),
      0,
    );
    if (!found.ok) throw new Error(found.because);
    const line = found.value;
    expect(line.pulsesPerCubicMetre).toBeCloseTo(0.00218269773989, 13);
    // f = aQ − b: the intercept of H.3 is −b.
    expect(line.offset_Hz).toBeCloseTo(0.17120379013135, 12);
    expect(line.pulsesPerCubicMetreStandardUncertainty).toBeCloseTo(0.0006679387732, 12);
    expect(line.offsetStandardUncertainty_Hz).toBeCloseTo(0.0028775978, 9);
    expect(line.correlation).toBeCloseTo(0.93, 3);
  });
});
