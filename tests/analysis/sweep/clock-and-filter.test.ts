import { describe, expect, it } from 'vitest';
import { sealBenchSentence } from '../../../src/signal/lines/crc16.ts';
import { Random } from '../../../src/simulation/random.ts';
import { analysed, scaleCapture } from './analysed.ts';

const KG_PER_COUNT = 2.38e-6;

/** A board whose clock runs fast by `fast`, behind a bridge that bundles bytes for up to 16 ms; water of 20 g/s, 8-33 s. */
function boardCapture(fast: number, until_s: number): string {
  const random = new Random(5);
  let text = '#catchbench-capture 1\n# instrument: bench-board\n# gramsPerCount: 0.00238\n# wand: guided\n';
  let arrived_s = 0;
  for (let i = 0; i < until_s * 10; i++) {
    const t = i / 10;
    const mass_kg = 0.5 + 0.02 * Math.min(Math.max(t - 8, 0), 25) + 0.0003 * random.normal();
    const raw = Math.round(mass_kg / KG_PER_COUNT);
    arrived_s = Math.max(arrived_s, t + 0.002 + random.uniform(0, 0.016));
    const body = `S,${i},${Math.round(t * (1 + fast) * 1e6)},${raw},0,,,00`;
    text += `${arrived_s.toFixed(4)}\t${sealBenchSentence(body)}\n`;
  }
  return text;
}

describe('a board’s clock', () => {
  it('0.3 % fast is found within 50 ppm and taken out of the flow', () => {
    const { analysis } = analysed(boardCapture(0.003, 120));
    expect(analysis.clockRatio! * 1.003).toBeCloseTo(1, 4);
    expect(analysis.clockRatioStandardUncertainty).toBeLessThan(1e-4);
    expect(analysis.warnings).not.toContain('clock-not-checked');
    expect(Math.abs(analysis.catches[0]!.massFlow_kg_per_s! / 0.02 - 1)).toBeLessThan(5e-4);
  });

  it('under a minute of data is not checked: ratio 1, u 0.3 %, a warning, and the doubt in the shared part', () => {
    const { analysis } = analysed(boardCapture(0.003, 50));
    expect(analysis).toMatchObject({ clockRatio: 1, clockRatioStandardUncertainty: 0.003 });
    expect(analysis.warnings).toContain('clock-not-checked');
    const caught = analysis.catches[0]!;
    expect(caught.sharedTypeB_m3_per_s! / caught.flow_m3_per_s!).toBeGreaterThan(0.003);
    expect(Math.abs(caught.massFlow_kg_per_s! / 0.02 - 1)).toBeLessThan(0.004);
  });
});

describe('a filter nobody told of', () => {
  it('behind an eight-reading average a 12 s fill is off by less than its own ±, on the detector’s own edges (rule 11.15)', () => {
    let off = 0;
    for (let seed = 1; seed <= 12; seed++) {
      const { analysis } = analysed(
        scaleCapture({
          header: { averagedReadings: '' },
          averaged: 8,
          pours: [{ start_s: 10, stop_s: 22, flow_g_per_s: 20 }],
          until_s: 40,
          seed,
        }),
      );
      const caught = analysis.catches[0]!;
      expect(caught.warnings).toContain('short-catch');
      expect(Math.abs(caught.massFlow_kg_per_s! / 0.02 - 1)).toBeLessThan(0.006);
      off += (caught.massFlow_kg_per_s! / 0.02 - 1) / 12;
    }
    // Mean of twelve: bias, with 0.1 % of noise left over.
    expect(Math.abs(off)).toBeLessThan(0.0015);
  });
});
