import { describe, expect, it } from 'vitest';
import { analysed, pours, scaleCapture, type ScaleScript } from './analysed.ts';

/** Captures as somebody else's program or another scale would write them; each differs in one thing from this one. */
const script: ScaleScript = {
  pours: pours(3, 20),
  marks: [
    [5, 'setting 200000'],
    [40, 'setting 300000'],
    [75, 'setting 400000'],
  ],
  until_s: 125,
};
const plain = analysed(scaleCapture(script)).analysis;
const inKilograms = (grams: number): string => `${(grams / 1000).toFixed(4)} kg`;
const flows = (text: string): (number | null)[] =>
  analysed(text).analysis.catches.map((c) => c.flow_m3_per_s);

describe('a capture made elsewhere', () => {
  it.each([
    ['STX and ETX', '\\x02', '\\x03'],
    ['STX and CR', '\\x02', '\\x0D'],
    ['LF and CR', '\\x0A', '\\x0D'],
    ['CR with a parity bit', '', '\\x8D'],
  ])('may have %s round its lines', (_, before, after) => {
    const framed = scaleCapture({ ...script, replace: (_t, line) => before + line + after });
    expect(flows(framed)).toEqual(plain.catches.map((c) => c.flow_m3_per_s));
    expect(analysed(framed).analysis.linesRefused).toBe(0);
  });

  it('may name its unit in capitals or as lbs', () => {
    const bare = (unit: string, perUnit: number): string =>
      scaleCapture({ ...script, header: { unit }, print: (grams) => (grams / perUnit).toFixed(5) });
    for (const text of [bare('G', 1), bare('lbs', 453.59237), bare('LB', 453.59237)]) {
      const found = flows(text);
      expect(found).toHaveLength(3);
      found.forEach((flow, i) => expect(flow! / plain.catches[i]!.flow_m3_per_s!).toBeCloseTo(1, 3));
    }
  });

  it('may begin with a cut line, or have one in mid-catch, without losing a flow', () => {
    const reference = flows(scaleCapture({ ...script, print: inKilograms }));
    for (const at of [0, 18, 55]) {
      const text = scaleCapture({
        ...script,
        print: inKilograms,
        replace: (t, line) => (t === at ? line.replace(' kg', '') : line),
      });
      const { analysis } = analysed(text);
      expect(analysis.catches.map((c) => c.voidBecause)).toEqual([null, null, null]);
      expect(analysis.catches.flatMap((c) => c.warnings)).toEqual([]);
      analysis.catches.forEach((c, i) => expect(c.flow_m3_per_s! / reference[i]!).toBeCloseTo(1, 3));
    }
  });

  it('that begins to name its unit halfway gives flows from there on, and none before', () => {
    const text = scaleCapture({ ...script, replace: (t, line) => (t < 40 ? line.replace(' g', '') : line) });
    const { analysis } = analysed(text);
    expect(analysis.catches.map((c) => c.voidBecause)).toEqual(['unit-unknown', null, null]);
    expect(analysis.curve?.used).toEqual([1, 2]);
  });

  it('that never names its unit gives readings and catches, but no flow', () => {
    const text = scaleCapture({ ...script, replace: (_t, line) => line.replace(' g', '') });
    const { analysis } = analysed(text);
    expect(analysis.readings).toBeGreaterThan(1200);
    expect(analysis.catches.map((c) => c.voidBecause)).toEqual([
      'unit-unknown',
      'unit-unknown',
      'unit-unknown',
    ]);
    expect(analysis.curveBecause).toBe('unit-missing');
  });

  it('has its settings by time, wherever the marks stand', () => {
    const lines = scaleCapture(script).split('\n');
    const mark = lines.findIndex((line) => line.startsWith('40.0000\t!setting'));
    const [moved] = lines.splice(mark, 1);
    lines.splice(lines.length - 1, 0, moved!);
    const { analysis } = analysed(lines.join('\n'));
    expect(analysis.catches.map((c) => c.setting_Pa)).toEqual([200000, 300000, 400000]);
  });
});

describe('a capture with a damaged header line', () => {
  it('keeps what the other header lines say, simulated above all, and counts the damage', () => {
    const text = scaleCapture({ ...script, header: { simulated: 'true' } }).replace(
      '# waterTemperature_degC',
      'waterTempe\u0000rature_degC',
    );
    const { analysis } = analysed(text);
    expect(analysis.simulated).toBe(true);
    expect(analysis.linesRefused).toBe(1);
    expect(analysis.warnings).toEqual(
      expect.arrayContaining(['lines-refused', 'water-temperature-assumed', 'simulated']),
    );
    expect(analysis.catches.filter((c) => c.flow_m3_per_s !== null)).toHaveLength(3);
  });
});
