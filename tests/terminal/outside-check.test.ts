import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysedCatch, Analysis } from '../../src/analysis/sweep/analysis.ts';
import { main } from '../../src/terminal/analyse.ts';
import { shapeFaults } from '../analysis/sweep/documented-shape.ts';

/*
 * `analyse` measured from outside: captures written here, line by line, not by the project's simulator, and every figure worked out
 * again from the printed ones by the formulas of the documented format. Expected values are arithmetic unless a source is named.
 */

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'catchbench-outside-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function analysed(text: string): Promise<Analysis> {
  const path = join(folder, 'capture.txt');
  writeFileSync(path, text);
  let out = '';
  expect(await main([path], (written) => (out += written))).toBe(0);
  const analysis = JSON.parse(out) as Analysis;
  expect(shapeFaults(analysis)).toEqual([]);
  return analysis;
}

interface Pour {
  readonly from_s: number;
  readonly to_s: number;
  readonly grams_per_s: number;
  readonly setting_Pa: number;
}
const pours: readonly Pour[] = [
  { from_s: 20, to_s: 45, grams_per_s: 25, setting_Pa: 200_000 },
  { from_s: 60, to_s: 95, grams_per_s: 30, setting_Pa: 300_000 },
  { from_s: 110, to_s: 150, grams_per_s: 35, setting_Pa: 400_000 },
];
const LAST_s = 170;
const grams = (t: number): number =>
  pours.reduce((sum, p) => sum + p.grams_per_s * Math.max(0, Math.min(t, p.to_s) - p.from_s), 500);

/** White noise: sum of twelve uniforms of a linear congruential generator (Park and Miller's constants, recalled), sd 1. */
function noise(seed: number): () => number {
  let state = seed;
  const uniform = (): number => (state = (state * 48271) % 2147483647) / 2147483647;
  return () => Array.from({ length: 12 }, uniform).reduce((a, b) => a + b, -6);
}

const header = (facts: Readonly<Record<string, string>>): string[] => [
  '#catchbench-capture 1',
  ...Object.entries({
    instrument: 'scale',
    waterTemperature_degC: '18',
    averagedReadings: '1',
    scaleFactorFrom: 'mass-pieces',
    settingStandardUncertainty_Pa: '6000',
    wand: 'guided',
    ...facts,
  }).map(([key, value]) => `# ${key}: ${value}`),
];

/** A scale of ten readings a second; extra lines (time, what follows the tab) go before the first reading not earlier. */
function scale(
  facts: Readonly<Record<string, string>> = {},
  extra: readonly (readonly [number, string])[] = settingsAhead(5),
  shown: (t: number) => number = grams,
): string {
  const white = noise(11);
  const lines = Array.from(
    { length: LAST_s * 10 },
    (_, i) => [i / 10, `${(shown(i / 10) + 0.5 * white()).toFixed(2).padStart(9)} g`] as const,
  );
  return file(facts, [...extra, ...lines]);
}

const file = (
  facts: Readonly<Record<string, string>>,
  lines: readonly (readonly [number, string])[],
): string =>
  [
    ...header(facts),
    ...[...lines].sort((a, b) => a[0] - b[0]).map(([t, text]) => `${t.toFixed(4)}\t${text}`),
    '',
  ].join('\n');

const settingsAhead = (by_s: number): (readonly [number, string])[] =>
  pours.map((p) => [p.from_s - by_s, `!setting ${p.setting_Pa}`] as const);

/** Tanaka et al., Metrologia 38 (2001) 301: coefficients as printed there. */
const density = (t: number): number =>
  999.97495 * (1 - ((t - 3.983035) ** 2 * (t + 301.797)) / (522528.9 * (t + 69.34881)));
const WATER = density(18);
/** Air 1.2 kg/m³, mass pieces 8000 kg/m³ (OIML R 111). */
const BUOYANCY = (1 - 1.2 / 8000) / (1 - 1.2 / WATER);

const own = (c: AnalysedCatch): number =>
  Math.hypot(c.typeA_m3_per_s!, c.jetAllowance_m3_per_s!, c.ownTypeB_m3_per_s!);

describe('the figures of an analysis, worked out again from a capture of other hands', () => {
  it('finds the flow of a straight ramp as slope times buoyancy over density, within three of its own u', async () => {
    const { catches } = await analysed(scale());
    expect(catches).toHaveLength(3);
    catches.forEach((c, i) => {
      expect(c.flow_m3_per_s! / ((c.massFlow_kg_per_s! * BUOYANCY) / WATER)).toBeCloseTo(1, 12);
      const error = c.massFlow_kg_per_s! - pours[i]!.grams_per_s / 1000;
      expect(Math.abs(error) / c.massFlow_kg_per_s!).toBeLessThan((3 * own(c)) / c.flow_m3_per_s!);
      expect(Math.abs(c.start_s - pours[i]!.from_s)).toBeLessThan(0.4);
      expect(Math.abs(c.stop_s - pours[i]!.to_s)).toBeLessThan(0.4);
    });
  });

  it('leaves buoyancy out where the factor came from a volume of water', async () => {
    const { catches } = await analysed(scale({ scaleFactorFrom: 'water-volume' }));
    for (const c of catches) expect((c.flow_m3_per_s! * WATER) / c.massFlow_kg_per_s!).toBeCloseTo(1, 12);
  });

  it('combines the four parts by root sum of squares, Welch-Satterthwaite and t', async () => {
    const { catches } = await analysed(scale({ wand: 'hand-held' }));
    for (const c of catches) {
      const u = Math.hypot(own(c), c.sharedTypeB_m3_per_s!);
      const df = u ** 4 / (c.typeA_m3_per_s! ** 4 / c.typeADegreesOfFreedom!);
      expect(c.standardUncertainty_m3_per_s! / u).toBeCloseTo(1, 12);
      expect(c.degreesOfFreedom! / df).toBeCloseTo(1, 9);
      expect(c.expandedUncertainty95_m3_per_s! / (studentQuantile(0.975, df) * u)).toBeCloseTo(1, 7);
    }
  });

  it('takes Type A of a catch of 30 s and more from the slow waves of its own window', async () => {
    const text = scale();
    const readings = text
      .split('\n')
      .filter((line) => line.endsWith(' g'))
      .map((line) => line.split('\t').map(Number.parseFloat));
    const { catches } = await analysed(text);
    for (const c of catches.slice(1)) {
      const inside = readings.filter(([t]) => t! >= c.start_s + 1 - 1e-9 && t! <= c.stop_s - 0.3 + 1e-9);
      const times = inside.map(([t]) => t!);
      const { slope, sxx, slow, nu } = slowWaves(
        times,
        inside.map(([, g]) => g! / 1000),
      );
      expect(c.massFlow_kg_per_s! / slope).toBeCloseTo(1, 9);
      expect(c.typeADegreesOfFreedom).toBe(nu);
      expect(c.typeA_m3_per_s! / ((Math.sqrt(slow / sxx) * BUOYANCY) / WATER)).toBeCloseTo(1, 6);
    }
  });

  it.each(['re-set', 'set-once'])('fits k by effective-variance least squares (%s)', async (protocol) => {
    const { catches, curve } = await analysed(scale({ settingProtocol: protocol }));
    // One catch a setting: its mean is itself, and there are no repeats to pool.
    let k = 5e-8;
    const roots = catches.map((c) => Math.sqrt(c.setting_Pa!));
    const weights = (): number[] =>
      catches.map((c, i) => 1 / (own(c) ** 2 + ((k / (2 * roots[i]!)) * 6000) ** 2));
    const total = (of: (i: number) => number): number => weights().reduce((sum, w, i) => sum + w * of(i), 0);
    for (let turn = 0; turn < 60; turn++)
      k = total((i) => roots[i]! * catches[i]!.flow_m3_per_s!) / total((i) => roots[i]! ** 2);
    const shared = catches[0]!.sharedTypeB_m3_per_s! / catches[0]!.flow_m3_per_s!;
    const residuals = catches.map((c, i) => c.flow_m3_per_s! - k * roots[i]!);
    expect(curve!.used).toEqual([0, 1, 2]);
    expect(curve!.degreesOfFreedom).toBe(2);
    expect(curve!.nozzleConstant_m3_per_s_per_sqrtPa / k).toBeCloseTo(1, 10);
    expect(
      curve!.nozzleConstantStandardUncertainty_m3_per_s_per_sqrtPa /
        Math.hypot(1 / Math.sqrt(total((i) => roots[i]! ** 2)), k * shared),
    ).toBeCloseTo(1, 8);
    curve!.residuals_m3_per_s.forEach((r, i) => expect(r / residuals[i]!).toBeCloseTo(1, 5));
    expect(curve!.lackOfFit!.chiSquare / total((i) => residuals[i]! ** 2)).toBeCloseTo(1, 6);
    // Two degrees of freedom: the chi-square tail is an exponential.
    expect(curve!.lackOfFit!.pValue / Math.exp(-curve!.lackOfFit!.chiSquare / 2)).toBeCloseTo(1, 6);
  });
});

describe('the marks of a capture of other hands', () => {
  it('lets a setting hold from half a second before its mark, and not for water that began earlier', async () => {
    const { catches } = await analysed(
      scale({}, [
        [20.2, '!setting 200000'],
        [60.9, '!setting 300000'],
      ]),
    );
    expect(catches.map((c) => c.setting_Pa)).toEqual([200_000, 200_000, 300_000]);
  });

  it('takes a device’s line that looks like a mark for no mark', async () => {
    const { catches, linesRefused, gaps } = await analysed(
      scale({}, [...settingsAhead(5), [50, '\\x21struck 20.0'], [70.01, '\\x21gap device-lost']]),
    );
    expect(linesRefused).toBe(2);
    expect(gaps).toBe(0);
    expect(catches.map((c) => [c.struck, c.voidBecause])).toEqual(pours.map(() => [false, null]));
  });

  it('keeps times, pour and setting of a void catch, and its place in the count of pours', async () => {
    const lifted = (t: number): number => (t < 75 ? grams(t) : t < 98 ? 0 : grams(t) - 700);
    const { catches, curve, withdrawn } = await analysed(scale({}, undefined, lifted));
    expect(catches.map((c) => [c.pour, c.setting_Pa, c.voidBecause])).toEqual([
      [1, 200_000, null],
      [2, 300_000, 'lifted-while-filling'],
      [3, 400_000, null],
    ]);
    expect(catches[1]).toMatchObject({ flow_m3_per_s: null, flowBecause: 'catch-is-void', mass_kg: null });
    expect(Math.abs(catches[1]!.stop_s - 74.9)).toBeLessThan(0.11);
    expect(curve!.used).toEqual([0, 2]);
    expect(withdrawn).toEqual([]);
  });
});

describe('a scale whose TARE key is pressed soon after a pour', () => {
  it.each([1, 1.5, 2])('keeps the catch and its mass (%f s after)', async (after_s) => {
    const zero_s = pours[0]!.to_s + after_s;
    const zero_g = grams(zero_s);
    const tared = (t: number): number => grams(t) - (t < zero_s ? 0 : zero_g);
    const { catches, withdrawn } = await analysed(scale({}, undefined, tared));
    expect(withdrawn).toEqual([]);
    expect(catches.map((c) => c.voidBecause)).toEqual([null, null, null]);
    expect(catches[0]!.mass_kg).toBeCloseTo((zero_g - grams(0)) / 1000, 2);
  });
});

describe('a bench board’s lines from other hands', () => {
  it.each([
    ['its clock and its numbers wrap', 2 ** 32 - 70e6, 65_000],
    ['nothing wraps', 0, 0],
  ])('gives true flows from a clock 3 in 1000 fast when %s', async (_when, t0_us, seq0) => {
    const { catches, clockRatio, gaps, linesRefused, readings } = await analysed(board({ t0_us, seq0 }));
    expect([readings, linesRefused, gaps]).toEqual([LAST_s * 10, 0, 0]);
    expect(clockRatio).toBeCloseTo(1 / 1.003, 5);
    catches.forEach((c, i) =>
      expect((c.massFlow_kg_per_s! * 1000) / pours[i]!.grams_per_s).toBeCloseTo(1, 3),
    );
  });

  it('voids the catch in which the board starts anew, and no other', async () => {
    const { catches, gaps } = await analysed(board({ t0_us: 0, seq0: 0, restart_s: 75 }));
    expect(catches.map((c) => c.voidBecause)).toEqual([null, 'board-restarted', null]);
    expect(gaps).toBe(1);
  });
});

function board(from: { t0_us: number; seq0: number; restart_s?: number }): string {
  const white = noise(3);
  const lines: [number, string][] = [];
  let first = 0;
  let { t0_us, seq0 } = from;
  for (let i = 0; i < LAST_s * 10; i++) {
    const t = i / 10;
    if (t === from.restart_s) {
      lines.push([t, sealed('B,1')]);
      [first, t0_us, seq0] = [i, 0, 0];
    }
    const stamp_us = (t0_us + Math.round(((i - first) / 10) * 1.003e6)) % 2 ** 32;
    const counts = Math.round((grams(t) + 0.1 * white()) / 0.00238);
    // Bundled: a line arrives with the end of its 16 ms.
    const arrival_s = Math.ceil((t + 0.001) / 0.016) * 0.016;
    lines.push([arrival_s, sealed(`S,${(seq0 + i - first) % 65536},${stamp_us},${counts},0,,,00`)]);
  }
  return file({ instrument: 'bench-board', gramsPerCount: '0.00238' }, [...settingsAhead(5), ...lines]);
}

/** CRC-16/XMODEM bit by bit (polynomial 1021; "123456789" gives 31C3): not the project's table. */
function sealed(body: string): string {
  let crc = 0;
  for (const character of body) {
    crc ^= character.charCodeAt(0) << 8;
    for (let bit = 0; bit < 8; bit++) crc = (crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1) & 0xffff;
  }
  return `$${body}*${crc.toString(16).toUpperCase().padStart(4, '0')}`;
}

/** Slope, Σ(t − t̄)² and the mean square of the residuals' ν slowest waves, by Gram-Schmidt over [1, u, cos 2πu, …, cos (ν+1)πu]. */
function slowWaves(t: readonly number[], y: readonly number[]) {
  const length_s = t.at(-1)! - t[0]!;
  const nu = Math.min(6, Math.max(3, Math.floor(length_s / 6)));
  const dot = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const meanT = t.reduce((a, b) => a + b, 0) / t.length;
  const centred = t.map((value) => value - meanT);
  const sxx = dot(centred, centred);
  const slope = dot(centred, y) / sxx;
  const basis: number[][] = [];
  let squares = 0;
  for (let j = 0; j < nu + 2; j++) {
    let wave = t.map((value) => {
      const u = (value - t[0]!) / length_s;
      return j === 0 ? 1 : j === 1 ? u : Math.cos(j * Math.PI * u);
    });
    for (const earlier of [...basis, ...basis]) {
      const share = dot(wave, earlier);
      wave = wave.map((value, i) => value - share * earlier[i]!);
    }
    const size = Math.sqrt(dot(wave, wave));
    wave = wave.map((value) => value / size);
    basis.push(wave);
    // Orthogonal to every line, so the readings serve as their own residuals; taken about the line all the same, for the digits.
    const residuals = y.map((value, i) => value - slope * centred[i]!);
    if (j >= 2) squares += dot(wave, residuals) ** 2;
  }
  return { slope, sxx, slow: squares / nu, nu };
}
