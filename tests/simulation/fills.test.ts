import { describe, expect, it } from 'vitest';
import { simulateFills, type SimulatedFills, type TrueFill } from '../../src/simulation/fills.ts';
import { scenarioNamed } from '../../src/simulation/scenario.ts';

/** Plain least squares over a fill's steady window, by hand: the test needs no estimator of the product. */
function slope(session: SimulatedFills, fill: TrueFill): number {
  const from_s = fill.start_s + 1 + (session.scenario.averagedReadings - 1) * session.interval_s;
  let n = 0;
  let t = 0;
  let m = 0;
  let tt = 0;
  let tm = 0;
  session.time_s.forEach((time_s, i) => {
    if (time_s < from_s || time_s > fill.stop_s - 0.3) return;
    const x = time_s - from_s;
    const y = session.mass_kg[i] ?? NaN;
    n += 1;
    t += x;
    m += y;
    tt += x * x;
    tm += x * y;
  });
  return (n * tm - t * m) / (n * tt - t * t);
}

function rootMeanSquareError(session: SimulatedFills): number {
  const squares = session.truth.map((fill) => (slope(session, fill) / fill.flow_kg_per_s - 1) ** 2);
  return Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / squares.length);
}

describe('a simulated session of fills', () => {
  it('is the same for the same seed and another for another', () => {
    const first = simulateFills({ scenario: 'rough', seed: 3, fills: 4 });
    const again = simulateFills({ scenario: 'rough', seed: 3, fills: 4 });
    const other = simulateFills({ scenario: 'rough', seed: 4, fills: 4 });
    expect(again).toEqual(first);
    expect(other.mass_kg.slice(0, 50)).not.toEqual(first.mass_kg.slice(0, 50));
  });

  it('does not change its first fills when more are asked for', () => {
    const few = simulateFills({ scenario: 'typical', seed: 5, fills: 2 });
    const more = simulateFills({ scenario: 'typical', seed: 5, fills: 3 });
    expect(more.truth.slice(0, 2)).toEqual(few.truth);
  });

  it('lets the scale rise by the water that came out, when nothing disturbs it', () => {
    const quiet = { ...scenarioNamed('clean'), liftAfterChance: 0 };
    const session = simulateFills({ scenario: quiet, seed: 11, fills: 5 });
    const mean = (from_s: number, to_s: number): number => {
      const inside = [...session.mass_kg].filter((_, i) => {
        const t = session.time_s[i] ?? NaN;
        return t >= from_s && t <= to_s;
      });
      return inside.reduce((sum, value) => sum + value, 0) / inside.length;
    };
    for (const fill of session.truth) {
      const rise = mean(fill.stop_s + 3, fill.stop_s + 5) - mean(fill.start_s - 2, fill.start_s);
      // 20 readings of 0.3 g each side: 0.1 g standard deviation
      expect(Math.abs(rise - fill.water_kg)).toBeLessThan(0.0005);
    }
  });

  it('has truth that an unhurried line through the readings agrees with', () => {
    expect(rootMeanSquareError(simulateFills({ scenario: 'clean', seed: 1, fills: 60 }))).toBeLessThan(
      0.0002,
    );
    const typical = rootMeanSquareError(simulateFills({ scenario: 'typical-pure', seed: 1, fills: 200 }));
    const rough = rootMeanSquareError(simulateFills({ scenario: 'rough-pure', seed: 1, fills: 200 }));
    expect(typical).toBeGreaterThan(0.0006);
    expect(typical).toBeLessThan(0.002);
    expect(rough).toBeGreaterThan(typical);
  });

  it('loses readings, lifts and bumps about as often as the scenario says', () => {
    const session = simulateFills({ scenario: 'worst', seed: 2, fills: 300 });
    const span_s = (session.time_s.at(-1) ?? 0) - (session.time_s[0] ?? 0);
    const lost = 1 - session.time_s.length / (span_s / session.interval_s + 1);
    expect(lost).toBeGreaterThan(0.025);
    expect(lost).toBeLessThan(0.035);
    const share = (is: (fill: TrueFill) => boolean): number => session.truth.filter(is).length / 300;
    expect(Math.abs(share((fill) => fill.bumped) - 0.5)).toBeLessThan(0.1);
    expect(Math.abs(share((fill) => fill.liftedAfter_s !== null) - 0.6)).toBeLessThan(0.12);
  });

  it('shows whole steps of the scale, arrivals that never go back, and the error of the converter in its own clock', () => {
    const session = simulateFills({ scenario: 'rough', seed: 9, fills: 5 });
    session.mass_kg.forEach((mass_kg) => {
      expect(Math.abs(mass_kg / 0.001 - Math.round(mass_kg / 0.001))).toBeLessThan(1e-6);
    });
    session.arrival_s.forEach((arrival_s, i) => {
      expect(arrival_s).toBeGreaterThanOrEqual(session.arrival_s[i - 1] ?? 0);
      expect(arrival_s).toBeGreaterThan(session.time_s[i] ?? Infinity);
    });
    const last = session.time_s.length - 1;
    const ratio =
      ((session.device_s[last] ?? 0) - (session.device_s[0] ?? 0)) /
      ((session.time_s[last] ?? 0) - (session.time_s[0] ?? 0));
    expect(Math.abs(ratio - 1)).toBeLessThan(0.03);
    expect(ratio).toBeCloseTo(1 / 10 / session.interval_s, 9);
  });

  it('has no drift of the jet and no bump inside a fill in a pure scenario', () => {
    const session = simulateFills({ scenario: 'worst-pure', seed: 6, fills: 50 });
    expect(session.truth.every((fill) => fill.jetDrift_kg === 0 && !fill.bumped)).toBe(true);
  });
});
