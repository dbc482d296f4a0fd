import { describe, expect, it } from 'vitest';
import { LineSplitter } from '../../src/signal/lines/line-splitter.ts';
import type { Chunk, Reading, StreamEvent } from '../../src/signal/reading.ts';
import { createDecoder } from '../../src/signal/streams/decoder.ts';
import { crc16 } from '../../src/simulation/crc16.ts';
import { usualDial } from '../../src/simulation/rig.ts';
import { scaleDialects } from '../../src/simulation/scale-voice.ts';
import { SimulatedBench, type SimulatedBenchOptions } from '../../src/simulation/simulated-bench.ts';

const PSI = 6894.757293168;
const board: SimulatedBenchOptions = {
  scenario: 'clean',
  seed: 7,
  instrument: 'bench-board',
  tip: { nozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8 },
  dial: usualDial,
};
const exactDial = { protocol: 'set-once', standardDeviation_Pa: 0 } as const;

/** Sprays 30 s at 40 psi from 5 s on, then runs to 45 s; time is cut into `step_s`. */
function spray(bench: SimulatedBench, step_s = 45): Chunk[] {
  const chunks: Chunk[] = [];
  const runTo = (t_s: number): void => {
    while (bench.now_s + step_s < t_s) chunks.push(...bench.advanceTo(bench.now_s + step_s));
    chunks.push(...bench.advanceTo(t_s));
  };
  runTo(3);
  bench.setDial(40 * PSI);
  runTo(5);
  bench.openTrigger();
  runTo(35);
  bench.closeTrigger();
  runTo(45);
  return chunks;
}

function decode(bench: SimulatedBench, chunks: readonly Chunk[]): StreamEvent[] {
  const splitter = new LineSplitter({ startsAtLine: true });
  const decoder = createDecoder(bench.description());
  return chunks.flatMap((chunk) => splitter.push(chunk)).flatMap((raw) => decoder.decode(raw));
}

function readingsOf(events: readonly StreamEvent[]): Reading[] {
  return events.flatMap((event) => (event.kind === 'reading' ? [event.reading] : []));
}

function slope(points: readonly (readonly [t: number, y: number])[]): number {
  const t0 = points.reduce((sum, [t]) => sum + t, 0) / points.length;
  const top = points.reduce((sum, [t, y]) => sum + (t - t0) * y, 0);
  return top / points.reduce((sum, [t]) => sum + (t - t0) ** 2, 0);
}

describe('the simulated bench', () => {
  it('seals its sentences with the code whose check value is 31C3', () => {
    // CRC-16/XMODEM of "123456789", from the project's line specification
    expect(crc16('123456789')).toBe('31C3');
    // a whole sentence from the same specification
    expect(crc16('S,11,149827,121985,4,139915,30720,00')).toBe('3448');
  });

  it('speaks the bench line so that the parser takes every line', () => {
    const bench = new SimulatedBench({ ...board, scenario: 'worst' });
    const events = decode(bench, spray(bench));
    expect(events.filter((event) => event.kind === 'line-refused')).toEqual([]);
    expect(events[0]).toMatchObject({ kind: 'board-says', name: 'B' });
    expect(readingsOf(events).length).toBeGreaterThan(400);
  });

  it('is understood in every dialect of the scale, over its limit too', () => {
    for (const dialect of scaleDialects) {
      const bench = new SimulatedBench({ ...board, instrument: 'scale', dialect, scaleLimit_kg: 1 });
      const events = decode(bench, spray(bench));
      expect(events.filter((event) => event.kind === 'line-refused')).toEqual([]);
      const readings = readingsOf(events);
      expect(readings.some((reading) => reading.state === 'over')).toBe(true);
      expect(readings.filter((reading) => reading.mass_kg !== null).length).toBeGreaterThan(200);
      expect(Math.max(...readings.map((reading) => reading.mass_kg ?? 0))).toBeLessThan(1.002);
      if (dialect !== 'bare-number') {
        expect(readings.some((reading) => reading.stable === false)).toBe(true);
      }
    }
  });

  it('delivers the flow of its truth to the pail: volume, density and buoyancy agree', () => {
    const bench = new SimulatedBench({ ...board, instrument: 'scale', dial: exactDial });
    const readings = readingsOf(decode(bench, spray(bench)));
    const steady = readings.flatMap(({ arrival_s, mass_kg }) =>
      arrival_s > 7 && arrival_s < 34 && mass_kg !== null ? [[arrival_s, mass_kg] as const] : [],
    );
    const truth = bench.truth[0];
    expect(truth?.flow_m3_per_s).toBeCloseTo(4.8e-8 * Math.sqrt(40 * PSI), 12);
    // water at 18 degC 998.595 kg/m3 (table, from memory); scale adjusted with mass pieces in air: 0.99895 (arithmetic)
    const volumeFlow = slope(steady) / (998.595 * 0.998948);
    expect(Math.abs(volumeFlow / (truth?.flow_m3_per_s ?? NaN) - 1)).toBeLessThan(5e-4);
  });

  it('keeps a record of what really ran, with the pressure there really was', () => {
    const bench = new SimulatedBench(board);
    spray(bench);
    expect(bench.truth).toHaveLength(1);
    const truth = bench.truth[0];
    expect(truth).toMatchObject({ start_s: 5, stop_s: 35, setting_Pa: 40 * PSI });
    expect(truth?.truePressure_Pa).not.toBe(40 * PSI);
    expect(Math.abs((truth?.truePressure_Pa ?? 0) / PSI - 40)).toBeLessThan(6);
    const sagging = new SimulatedBench({ ...board, scenario: 'worst' });
    spray(sagging);
    const { flow_m3_per_s, meanFlow_m3_per_s } = sagging.truth[0] ?? { flow_m3_per_s: NaN };
    // 1 % a minute: a quarter of a percent at the middle of 30 s, and a trace of the opening lag
    expect((meanFlow_m3_per_s ?? 0) / flow_m3_per_s).toBeCloseTo(1 - 0.01 * (15.35 / 60), 3);
  });

  it('has a board clock that is off by up to half a percent, and microseconds that wrap', () => {
    const ratios = Array.from({ length: 12 }, (_, seed) => {
      const bench = new SimulatedBench({ ...board, scenario: 'typical', seed });
      const readings = readingsOf(decode(bench, bench.advanceTo(300)));
      return slope(readings.map(({ arrival_s, device_s }) => [arrival_s, device_s ?? NaN] as const));
    });
    for (const ratio of ratios) expect(Math.abs(ratio - 1)).toBeLessThan(0.0052);
    expect(Math.max(...ratios) - Math.min(...ratios)).toBeGreaterThan(0.003);
  });

  it('has microseconds that wrap after 71.58 minutes, which the decoder takes in its stride', () => {
    const long = new SimulatedBench(board);
    const raw = decode(long, long.advanceTo(4400));
    expect(raw.filter((event) => event.kind === 'gap')).toEqual([]);
    expect(readingsOf(raw).at(-1)?.device_s).toBeCloseTo(4400, 0);
  });

  it('turns a meter and a sensor on the board by the water and the pressure there are', () => {
    const bench = new SimulatedBench({
      ...board,
      dial: exactDial,
      meterPulsesPerCubicMetre: 455_000,
      pressureFullScale_Pa: 150 * PSI,
    });
    const readings = readingsOf(decode(bench, spray(bench)));
    const flow = bench.truth[0]?.flow_m3_per_s ?? NaN;
    const edges = readings.flatMap(({ edge_s, pulses, arrival_s }) =>
      edge_s !== null && pulses !== null && arrival_s > 7 && arrival_s < 34
        ? [[edge_s, pulses] as const]
        : [],
    );
    expect(Math.abs(slope(edges) / 455_000 / flow - 1)).toBeLessThan(2e-3);
    const pressures = readings.flatMap(({ supplyFraction, arrival_s }) =>
      supplyFraction !== null && arrival_s > 7 ? [((supplyFraction - 0.1) / 0.8) * 150] : [],
    );
    const mean = pressures.reduce((sum, value) => sum + value, 0) / pressures.length;
    expect(Math.abs(mean - 40)).toBeLessThan(0.05);
  });

  it('gives the same bytes at the same times however time is cut', () => {
    for (const instrument of ['scale', 'bench-board'] as const) {
      const options = { ...board, scenario: 'worst', instrument } as const;
      const whole = spray(new SimulatedBench(options));
      expect(spray(new SimulatedBench(options), 0.037)).toEqual(whole);
      expect(whole.length).toBeGreaterThan(100);
    }
  });

  it('cuts lines across chunks and holds lines back in a stall, arrivals never going back', () => {
    const bench = new SimulatedBench({ ...board, scenario: 'worst' });
    const chunks = spray(bench);
    const texts = chunks.map(({ bytes }) => String.fromCharCode(...bytes));
    expect(texts.some((text) => !text.endsWith('\n'))).toBe(true);
    expect(chunks.every(({ arrival_s }, i) => arrival_s >= (chunks[i - 1]?.arrival_s ?? 0))).toBe(true);
    const eighty = new SimulatedBench({ ...board, scenario: 'typical80' });
    const many = eighty.advanceTo(120).map(({ bytes }) => String.fromCharCode(...bytes).split('\n').length);
    expect(Math.max(...many)).toBeGreaterThan(3);
  });

  it('says in its header that it is simulated', () => {
    expect(new SimulatedBench(board).headerFacts()).toMatchObject({
      instrument: 'bench-board',
      gramsPerCount: 0.00238,
      waterTemperature_degC: 18,
      simulated: true,
    });
    const bare = new SimulatedBench({ ...board, instrument: 'scale', dialect: 'bare-number' });
    expect(bare.headerFacts()).toMatchObject({ instrument: 'scale', unit: 'g', averagedReadings: 1 });
  });

  it('follows the dial while spraying', () => {
    const bench = new SimulatedBench({ ...board, instrument: 'scale', dial: exactDial });
    const chunks = [...bench.advanceTo(2)];
    bench.setDial(20 * PSI);
    bench.openTrigger();
    chunks.push(...bench.advanceTo(20));
    bench.setDial(80 * PSI);
    chunks.push(...bench.advanceTo(40));
    const readings = readingsOf(decode(bench, chunks));
    const rate = (from_s: number, to_s: number): number =>
      slope(
        readings.flatMap(({ arrival_s, mass_kg }) =>
          arrival_s > from_s && arrival_s < to_s && mass_kg !== null ? [[arrival_s, mass_kg] as const] : [],
        ),
      );
    expect(rate(25, 39) / rate(5, 19)).toBeCloseTo(2, 2);
  });

  it('is knocked about as the scenario says, and never in a clean one', () => {
    const jolted = (scenario: 'clean' | 'worst'): number => {
      let count = 0;
      for (let seed = 0; seed < 40; seed += 1) {
        const bench = new SimulatedBench({ ...board, scenario, seed, dial: exactDial });
        const readings = readingsOf(decode(bench, spray(bench)));
        const masses = readings.flatMap(({ time_s, mass_kg }) =>
          time_s > 6.5 && time_s < 34 && mass_kg !== null ? [mass_kg - 0.0251 * time_s] : [],
        );
        // Worst slosh, jet and noise together change by some 10 g from reading to reading; most knocks are larger.
        if (masses.some((mass_kg, i) => Math.abs(mass_kg - (masses[i - 1] ?? mass_kg)) > 0.03)) count += 1;
      }
      return count;
    };
    expect(jolted('clean')).toBe(0);
    const worst = jolted('worst');
    expect(worst).toBeGreaterThan(4);
    expect(worst).toBeLessThan(25);
  });
});
