import { describe, expect, it } from 'vitest';
import { bentLine } from '../../../src/analysis/rigs/bent-line.ts';
import { fallingFlow } from '../../../src/analysis/rigs/falling-flow.ts';
import { rhythmOf } from '../../../src/analysis/rigs/rhythm.ts';
import { steadySince } from '../../../src/analysis/rigs/steady-since.ts';
import { strokeDrift } from '../../../src/analysis/rigs/stroke-drift.ts';
import { strokeMeans, wholeStrokes } from '../../../src/analysis/rigs/whole-strokes.ts';
import { Random } from '../../../src/simulation/random.ts';
import { lowFrequencyVariance } from '../../../src/analysis/flow/low-frequency-variance.ts';

const times = (length_s: number, rate_Hz = 10): Float64Array =>
  Float64Array.from({ length: length_s * rate_Hz }, (_, i) => i / rate_Hz);

describe('a bent line', () => {
  it('gives slope, mean and change of a polynomial of its degree exactly', () => {
    const t = times(30);
    const line = bentLine(
      t,
      t.map((s) => 2 + 0.03 * s - 0.0002 * s * s + 1e-6 * s ** 3),
      3,
    )!;
    expect(line.flowAt(10).flow_kg_per_s).toBeCloseTo(0.03 - 0.004 + 3e-4, 12);
    const grown = (s: number): number => 0.03 * s - 0.0002 * s * s + 1e-6 * s ** 3;
    expect(line.meanFlow(5, 25).flow_kg_per_s).toBeCloseTo((grown(25) - grown(5)) / 20, 12);
    expect(line.change(0, 10).flow_kg_per_s).toBeCloseTo(-0.004 + 3e-4, 12);
    expect(line.mass_kg(7)).toBeCloseTo(2 + grown(7), 12);
  });

  it('agrees with the reference fit of a quadratic, coefficients and residual deviation (NIST StRD Pontius, published values)', () => {
    // NIST Statistical Reference Datasets, linear least squares, Pontius (load cell calibration): certified values.
    const x = [...pontiusX, ...pontiusX];
    const y = [...pontiusFirst, ...pontiusSecond];
    const order = x.map((_, i) => i).sort((a, b) => x[a]! - x[b]!);
    const sortedX = order.map((i) => x[i]!);
    const line = bentLine(
      sortedX,
      order.map((i) => y[i]!),
      2,
    )!;
    const b1 = 0.732059160401003e-6;
    const b2 = -0.316081871345029e-14;
    // The slope of the certified polynomial at a load, and its value there.
    for (const load of [150000, 1500000, 3000000]) {
      expect(line.flowAt(load).flow_kg_per_s / (b1 + 2 * b2 * load)).toBeCloseTo(1, 9);
      expect(line.mass_kg(load)).toBeCloseTo(0.673565789473684e-3 + b1 * load + b2 * load * load, 10);
    }
    const squares = line.residuals.reduce((sum, r) => sum + r * r, 0);
    expect(Math.sqrt(squares / 37)).toBeCloseTo(0.205177424076185e-3, 10);
  });

  it('has an honest ± of its mean, its change and its ends: 93-97 % with white noise (400 seeded, quadratic)', () => {
    const t = times(30);
    let [mean, change, end] = [0, 0, 0];
    for (let seed = 0; seed < 400; seed++) {
      const random = new Random(seed, 'bent');
      const line = bentLine(
        t,
        t.map((s) => 0.02 * s - 1e-4 * s * s + 1e-3 * random.normal()),
        2,
      )!;
      // t(0.975, 5) from the printed table (2.571); a window of 30 s has five degrees of freedom less a hair: four or five.
      const factor = line.noise.degreesOfFreedom === 5 ? 2.571 : 2.776;
      const holds = (seen: { flow_kg_per_s: number; standardUncertainty_kg_per_s: number }, real: number) =>
        Math.abs(seen.flow_kg_per_s - real) <= factor * seen.standardUncertainty_kg_per_s ? 1 : 0;
      const last = t[t.length - 1]!;
      mean += holds(line.meanFlow(0, last), 0.02 - 1e-4 * last);
      change += holds(line.change(0, last), -2e-4 * last);
      end += holds(line.flowAt(last), 0.02 - 2e-4 * last);
    }
    for (const count of [mean, change, end]) {
      expect(count / 400).toBeGreaterThan(0.92);
      expect(count / 400).toBeLessThan(0.98);
    }
  });

  it('refuses what no bent line goes through', () => {
    expect(bentLine([0, 1, 2], [0, 1, 2], 2)).toBeNull();
    expect(bentLine(new Float64Array(20), new Float64Array(20), 2)).toBeNull();
  });

  it('leaves the noise of a straight line as it was (degree 1 by default)', () => {
    const random = new Random(3, 'noise');
    const t = times(24);
    const residuals = t.map(() => random.normal());
    expect(lowFrequencyVariance(t, residuals, undefined, { degree: 1 })).toEqual(
      lowFrequencyVariance(t, residuals),
    );
    expect(lowFrequencyVariance(t, residuals, undefined, { degree: 2 })).not.toEqual(
      lowFrequencyVariance(t, residuals),
    );
  });
});

describe('a flow that falls', () => {
  it('is told at start, middle and end, and the fading push of the jet is not taken for water', () => {
    const t = times(33).map((s) => s + 2);
    const q = (s: number): number => 0.02 - 2e-4 * s;
    const water = (s: number): number => 0.02 * s - 1e-4 * s * s;
    const push = (s: number): number => 0.01 * (q(s) / q(0)) ** 2;
    const seen = fallingFlow(
      t,
      t.map((s) => 1 + water(s) + push(s)),
      0,
      1,
      { from_s: 2, to_s: 34 },
    )!;
    expect(seen.rows.map((row) => row.flow_kg_per_s / q(row.since_s))).toEqual([
      expect.closeTo(1, 2),
      expect.closeTo(1, 2),
      expect.closeTo(1, 2),
    ]);
    expect(seen.mean.flow_kg_per_s / ((water(34) - water(2)) / 32)).toBeCloseTo(1, 3);
    // Left in, it would be 0.6 % of the flow.
    expect(seen.pushTaken_kg_per_s / seen.mean.flow_kg_per_s).toBeLessThan(-0.005);
  });

  it('is none where nothing flows', () => {
    const t = times(30);
    expect(
      fallingFlow(
        t,
        t.map((s) => 5 - 0.01 * s),
        0,
        5,
        { from_s: 0, to_s: 29 },
      ),
    ).toBeNull();
  });
});

describe('strokes of a pump', () => {
  const period_s = 1.7;
  const t = times(60);
  const strokes = t.map((s) => 0.02 * s + 0.003 * Math.sin((2 * Math.PI * s) / period_s));

  it('have a rhythm that is found beside a beat that is 5 % off, to a tenth of a percent', () => {
    const random = new Random(8, 'rhythm');
    const noisy = strokes.map((mass) => mass + 1e-3 * random.normal());
    expect(rhythmOf(t, noisy, period_s * 1.05)!.period_s / period_s).toBeCloseTo(1, 3);
    expect(rhythmOf(t, noisy, period_s)!.amplitude_kg).toBeCloseTo(0.003, 3);
  });

  it('have none where there is only noise, or the stretch is short (20 seeds)', () => {
    for (let seed = 0; seed < 20; seed++) {
      const random = new Random(seed, 'no rhythm');
      expect(
        rhythmOf(
          t,
          t.map((s) => 0.02 * s + 1e-3 * random.normal()),
          1.5,
        ),
      ).toBeNull();
    }
    expect(rhythmOf(t.subarray(0, 50), strokes.subarray(0, 50), period_s)).toBeNull();
    expect(rhythmOf(t, strokes, 0)).toBeNull();
  });

  it('are whole ones only, and their means lie on the line', () => {
    expect(wholeStrokes(1, 35, 1.7)).toBe(20);
    expect(wholeStrokes(1, 34.9, 1.7)).toBe(19);
    expect(wholeStrokes(1, 35, 0)).toBe(0);
    const means = strokeMeans({ time_s: t, mass_kg: strokes }, 0, period_s, 20);
    for (const [i, mass] of means.mass_kg.entries()) expect(mass).toBeCloseTo(0.02 * means.time_s[i]!, 3);
  });

  it('give the flow at the rhythm with a ± that holds their scatter: 92-99 % (400 seeded, 5 % a stroke), where least squares falls short', () => {
    let [covered, plain] = [0, 0];
    for (let seed = 0; seed < 400; seed++) {
      const random = new Random(seed, 'strokes');
      let mass = 0;
      const time_s: number[] = [];
      const mass_kg: number[] = [];
      for (let i = 0; i < 24; i++) {
        mass += 0.04 * (1 + 0.05 * random.normal());
        time_s.push(2 * i);
        mass_kg.push(mass + 0.0005 * random.normal());
      }
      const seen = strokeDrift({ time_s, mass_kg })!;
      // t(0.975, 8) = 2.306, printed table.
      expect(seen.degreesOfFreedom).toBe(8);
      if (Math.abs(seen.flow_kg_per_s - 0.02) <= 2.306 * seen.standardUncertainty_kg_per_s) covered++;
      const line = bentLine(time_s, mass_kg, 1)!;
      const mean = line.meanFlow(0, 46);
      // t(0.975, 6) = 2.447.
      if (Math.abs(mean.flow_kg_per_s - 0.02) <= 2.447 * mean.standardUncertainty_kg_per_s) plain++;
    }
    expect(covered / 400).toBeGreaterThan(0.92);
    expect(covered / 400).toBeLessThan(0.99);
    expect(plain / 400).toBeLessThan(0.9);
  });

  it('are too few to tell below six', () => {
    expect(strokeDrift({ time_s: [0, 1, 2], mass_kg: [0, 1, 2] })).toBeNull();
    expect(
      strokeDrift({ time_s: [0, 2, 4, 6, 8, 10], mass_kg: [0, 1, 2, 3, 4, 5] })!.flow_kg_per_s,
    ).toBeCloseTo(0.5, 9);
  });
});

describe('a hose that swells', () => {
  const swelling = (missing: number, tau_s: number, length_s: number, seed: number) => {
    const random = new Random(seed, 'hose');
    const time_s = times(length_s);
    const mass_kg = time_s.map(
      (s) => 0.03 * (s - missing * tau_s * (1 - Math.exp(-s / tau_s))) + 5e-4 * random.normal(),
    );
    return { time_s, mass_kg };
  };

  it('is steady when little is lacking, and the lack that is left is told', () => {
    const readings = swelling(0.2, 6, 90, 1);
    const seen = steadySince(readings)!;
    expect(seen.steadyFrom_s).toBeGreaterThan(6);
    expect(seen.steadyFrom_s).toBeLessThan(40);
    const i = readings.time_s.findIndex((s) => s >= seen.from_s);
    const line = bentLine(readings.time_s.subarray(i), readings.mass_kg.subarray(i), 1)!;
    const slope = line.meanFlow(seen.from_s, 89).flow_kg_per_s;
    expect(slope / 0.03).toBeLessThan(1);
    expect(seen.lacking_kg_per_s / (0.03 - slope)).toBeGreaterThan(0.5);
    expect(seen.lacking_kg_per_s / (0.03 - slope)).toBeLessThan(1.5);
    expect((slope + seen.lacking_kg_per_s) / 0.03).toBeCloseTo(1, 3);
  });

  it('is not called steady while it swells', () => {
    expect(steadySince(swelling(0.3, 20, 25, 2))!.steadyFrom_s).toBeNull();
    expect(steadySince(swelling(0.3, 20, 12, 2))).toBeNull();
  });

  it('that does not swell is steady at once', () => {
    expect(steadySince(swelling(0, 5, 40, 3))!.steadyFrom_s).toBeLessThan(3);
  });
});

// Load cell calibration, NIST StRD Pontius: loads and deflections of both runs.
const pontiusX = Array.from({ length: 20 }, (_, i) => 150000 * (i + 1));
const pontiusFirst = [
  0.11019, 0.21956, 0.32949, 0.43899, 0.54803, 0.65694, 0.76562, 0.87487, 0.98292, 1.09146, 1.20001, 1.30822,
  1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
];
const pontiusSecond = [
  0.11052, 0.22018, 0.32939, 0.43886, 0.54798, 0.65739, 0.76596, 0.87474, 0.983, 1.0915, 1.20004, 1.30818,
  1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829,
];
