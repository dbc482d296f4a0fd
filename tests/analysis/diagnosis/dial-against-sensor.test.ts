import { describe, expect, it } from 'vitest';
import { isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import { dialAgainstSensor } from '../../../src/analysis/diagnosis/dial-against-sensor.ts';
import type { Diagnosis, DialAgainstSensor } from '../../../src/analysis/diagnosis/diagnosis.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import type { CaptureRequest } from '../../../src/simulation/simulated-capture.ts';
import { analysed } from '../sweep/analysed.ts';

interface Rig {
  readonly dial_psi?: number;
  readonly offset_psi?: number;
  readonly gain?: number;
  readonly cap_psi?: number;
  readonly protocol?: 're-set' | 'set-once';
}

/** 5 x 3 catches on a dial said to be worth 1.5 psi; a sensor whose readings share 0.25 psi. */
function read(rig: Rig, seed: number): DialAgainstSensor {
  const { dial_psi = 1.5, offset_psi = 0, gain = 1, cap_psi = Infinity, protocol = 're-set' } = rig;
  const random = new Random(seed, 'dial-against-sensor');
  const shared = 0.25 * random.normal();
  const catches = [20, 30, 40, 50, 60].flatMap((set) => {
    let scatter = dial_psi * random.normal();
    return [0, 1, 2].map(() => {
      if (protocol === 're-set') scatter = dial_psi * random.normal();
      const true_psi = Math.min(cap_psi, gain * set - offset_psi + scatter);
      return {
        setting_Pa: set * PSI_PA,
        pressure_Pa: (true_psi + shared + 0.1 * random.normal()) * PSI_PA,
      };
    });
  });
  return dialAgainstSensor({
    catches,
    protocol,
    dialStandardUncertainty_Pa: 1.5 * PSI_PA,
    sensorStandardUncertainty_Pa: 0.25 * PSI_PA,
  })!;
}
const percent = (rig: Rig, holds: (found: DialAgainstSensor) => boolean, runs = 2000): number =>
  (100 * Array.from({ length: runs }, (_, seed) => holds(read(rig, seed))).filter(Boolean).length) / runs;

describe('a ceiling of the pump, read by a sensor', () => {
  it.each([
    ['sound, set anew', {}],
    ['sound, set once', { protocol: 'set-once' }],
    ['a dial that repeats worse than stated', { dial_psi: 2.5 }],
    ['a dial 5 psi high', { offset_psi: 5 }],
    ['a dial 15 % high', { gain: 0.85 }],
  ] satisfies [string, Rig][])('is named in 1 %% at most without one: %s (2,000 seeded)', (_, rig) => {
    expect(percent(rig, ({ ceiling }) => ceiling !== null)).toBeLessThanOrEqual(1);
  });

  it.each([
    ['at 45 psi', { cap_psi: 45 }, 99],
    ['at 50 psi', { cap_psi: 50 }, 90],
    ['at 45 psi on a dial 4 psi low', { cap_psi: 45, offset_psi: -4 }, 99],
    ['at 45 psi, set once', { cap_psi: 45, protocol: 'set-once' }, 80],
  ] satisfies [string, Rig, number][])('is named %s (2,000 seeded)', (_, rig, least) => {
    expect(percent(rig, ({ ceiling }) => ceiling !== null)).toBeGreaterThanOrEqual(least);
    const held = percent(rig, ({ ceiling }) => {
      if (ceiling === null) return true;
      const off_Pa = Math.abs(ceiling.pressure_Pa - rig.cap_psi * PSI_PA);
      return off_Pa <= ceiling.expandedUncertainty95_Pa;
    });
    expect(held).toBeGreaterThan(90);
  });
});

describe('the dial against the sensor', () => {
  it('is called wrong in under 2 % when sound, and right about the sign when off by 4 psi (2,000 seeded)', () => {
    expect(percent({}, ({ dial }) => dial !== 'agrees')).toBeLessThan(2);
    expect(percent({ offset_psi: 4 }, ({ dial }) => dial === 'reads-high')).toBeGreaterThan(98);
    expect(percent({ offset_psi: -4 }, ({ dial }) => dial === 'reads-low')).toBeGreaterThan(98);
    expect(percent({ gain: 0.85 }, ({ dial }) => dial === 'reads-high')).toBeGreaterThan(95);
    const covers = percent({ offset_psi: 4 }, (found) => {
      return Math.abs(found.difference_Pa - 4 * PSI_PA) <= found.differenceExpandedUncertainty95_Pa;
    });
    expect(covers).toBeGreaterThan(93);
  });

  it('is not judged under five settings', () => {
    const catches = [20, 30, 40, 50].map((psi) => ({ setting_Pa: psi, pressure_Pa: psi }));
    const doubts = { dialStandardUncertainty_Pa: 1, sensorStandardUncertainty_Pa: 0 };
    expect(dialAgainstSensor({ catches, protocol: 're-set', ...doubts })).toBeNull();
  });
});

describe('whole captures with a sensor in the line', () => {
  const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
  function found(sweep: Partial<NonNullable<CaptureRequest['sweep']>>): Diagnosis {
    const text = simulateCapture({
      scenario: 'typical',
      seed: 12,
      fills: 15,
      instrument: { kind: 'bench-board', pressureFullScale_Pa: 1e6 },
      sweep: {
        settings_Pa,
        dial: { protocol: 're-set', standardDeviation_Pa: 1.5 * PSI_PA },
        reference: {
          nozzleConstant_m3_per_s_per_sqrtPa: 2.5e-5 / Math.sqrt(40 * PSI_PA),
          relativeStandardUncertainty: 0.01,
          from: 'baseline',
        },
        ...sweep,
      },
    });
    const { diagnosis } = analysed(text);
    if (!isDiagnosis(diagnosis)) throw new Error(diagnosis.because);
    return diagnosis;
  }

  it('a pump that can’t is named, where the flow at the pressure that was there is sound', () => {
    const one = found({ fault: { kind: 'pump-limited', pressure_Pa: 45 * PSI_PA } });
    expect(one.pressureMeasured).toBe(true);
    expect(one).toMatchObject({ said: 'pump-limited', standing: 'look-again' });
    expect(one.size).toMatchObject({ of: 'pump-pressure_Pa' });
    expect(Math.abs(one.size!.value - 45 * PSI_PA)).toBeLessThan(one.size!.expandedUncertainty95);
    const { cause, evidence } = one.finding;
    expect(cause).toBe('pump-limited');
    expect(evidence.aicc['no fault shown'] - evidence.aicc['pump-limited']).toBeCloseTo(evidence.gain, 9);
    expect(evidence.gain).toBeGreaterThan(one.gate);
  });

  it('beside a worn tip the wear stays the finding', () => {
    const faults = [
      { kind: 'worn', share: 0.15 },
      { kind: 'pump-limited', pressure_Pa: 45 * PSI_PA },
    ] as const;
    const one = found({ faults });
    expect(one.finding.cause).toBe('worn');
    expect(one.dialAgainstSensor?.ceiling).not.toBeNull();
  });

  it('without one nothing is found, and the dial agrees', () => {
    const one = found({});
    expect(one.finding.cause).toBe('no fault shown');
    expect(one.dialAgainstSensor).toMatchObject({ ceiling: null, dial: 'agrees' });
  });
});
