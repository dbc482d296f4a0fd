import { describe, expect, it } from 'vitest';
import { pulseFlow } from '../../../src/analysis/flow/pulses.ts';

/** Readings ten a second beside a meter of `hertz`: each shows the count and the time of its newest edge. */
function meter(hertz: number, seconds = 30): { t: Float64Array; n: Float64Array; e: Float64Array } {
  const t = Float64Array.from({ length: seconds * 10 }, (_, i) => i / 10);
  const n = t.map((x) => Math.floor(x * hertz));
  return { t, n, e: n.map((k) => (k === 0 ? NaN : k / hertz)) };
}

describe('the flow from a pulse meter', () => {
  it('is exact from edges at 3.75 Hz, where pulses over gate time would be 1 % off', () => {
    const { t, n, e } = meter(3.75);
    const flow = pulseFlow(t, n, e, t.length, 2, 26, { pulsesPerCubicMetre: 450_000, offset_Hz: 0 });
    expect(flow.ok && flow.value.flow_m3_per_s).toBeCloseTo(3.75 / 450_000, 14);
    expect(flow.ok && flow.value.frequency_Hz).toBeCloseTo(3.75, 9);
  });

  it('adds the offset of a two-parameter check: f = aQ − b', () => {
    const { t, n, e } = meter(11);
    const flow = pulseFlow(t, n, e, t.length, 2, 26, { pulsesPerCubicMetre: 450_000, offset_Hz: 0.4 });
    expect(flow.ok && flow.value.flow_m3_per_s).toBeCloseTo(11.4 / 450_000, 14);
  });

  it('invents nothing where the count did not change or too few edges came', () => {
    const { t, n, e } = meter(0.2);
    const factor = { pulsesPerCubicMetre: 450_000, offset_Hz: 0 };
    expect(pulseFlow(t, n, e, t.length, 2, 26, factor)).toMatchObject({
      ok: false,
      because: 'not-enough-readings',
    });
    expect(pulseFlow(t, n.fill(NaN), e, t.length, 2, 26, factor).ok).toBe(false);
  });
});
