import { describe, expect, it } from 'vitest';
import { analysed, scaleCapture } from './analysed.ts';

const pours = [{ start_s: 20, stop_s: 50, flow_g_per_s: 25 }];
const at = (rate_Hz: number, replace?: (t: number, line: string) => string | null) =>
  analysed(scaleCapture({ pours, until_s: 80, rate_Hz, ...(replace ? { replace } : {}) })).analysis;

describe('a scale that sends its readings slowly', () => {
  it.each([0.5, 1, 1.4])('is warned of at %f readings a second, when no pour can be heard', (rate_Hz) => {
    expect(at(rate_Hz).warnings).toContain('readings-too-slow');
  });

  it.each([2, 5, 10])('is not warned of at %i readings a second, when it can', (rate_Hz) => {
    const { warnings, catches } = at(rate_Hz);
    expect(warnings).not.toContain('readings-too-slow');
    expect(catches).toHaveLength(1);
  });

  it('is judged by its usual pace, not by its gaps', () => {
    const half = (t: number, line: string): string | null => (t > 55 && t < 75 ? null : line);
    expect(at(10, half).warnings).not.toContain('readings-too-slow');
  });
});
