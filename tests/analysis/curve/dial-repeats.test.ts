import { describe, expect, it } from 'vitest';
import type { CurveInput } from '../../../src/analysis/curve/curve-point.ts';
import { dialRepeats } from '../../../src/analysis/curve/dial-repeats.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';

const K = 4.8e-8;
const settings_psi = [20, 30, 40, 50, 60];

function sweep(
  dial_psi: number,
  own: number,
  random: Random,
  protocol: CurveInput['protocol'] = 're-set',
): CurveInput {
  return {
    protocol,
    settingStandardUncertainty_Pa: 1.5 * PSI_PA,
    pressureMeasured: false,
    points: settings_psi.flatMap((setting) =>
      [1, 2, 3].map(() => {
        const flow =
          K * Math.sqrt((setting + dial_psi * random.normal()) * PSI_PA) * (1 + own * random.normal());
        return {
          pressure_Pa: setting * PSI_PA,
          setting_Pa: setting * PSI_PA,
          flow_m3_per_s: flow,
          ownStandardUncertainty_m3_per_s: own * flow,
          sharedRelativeStandardUncertainty: 0,
        };
      }),
    ),
  };
}

describe('how well a dial repeats', () => {
  it('is the pooled scatter turned into pressure, with the chi-square interval of a standard deviation', () => {
    // One setting, five catches whose pressures depart by −2 … 2 psi: s = √(10/4) psi with 4 degrees of freedom.
    const at = (psi: number) => K * Math.sqrt(40 * PSI_PA) * (1 + psi / 80);
    const found = dialRepeats({
      protocol: 're-set',
      settingStandardUncertainty_Pa: 1.5 * PSI_PA,
      pressureMeasured: false,
      points: [-2, -1, 0, 1, 2].map((psi) => ({
        pressure_Pa: 40 * PSI_PA,
        setting_Pa: 40 * PSI_PA,
        flow_m3_per_s: at(psi),
        ownStandardUncertainty_m3_per_s: 0,
        sharedRelativeStandardUncertainty: 0,
      })),
    })!;
    expect(found.degreesOfFreedom).toBe(4);
    expect(found.standardDeviation_Pa / PSI_PA).toBeCloseTo(Math.sqrt(2.5), 6);
    // χ²(4): 11.14329 and 0.48442 (printed table, check values 6c): √(10/11.14329) and √(10/0.48442) psi.
    expect(found.lowest_Pa / PSI_PA).toBeCloseTo(Math.sqrt(10 / 11.14329), 4);
    expect(found.highest_Pa / PSI_PA).toBeCloseTo(Math.sqrt(10 / 0.48442), 3);
    expect(found.stated_Pa / PSI_PA).toBeCloseTo(1.5, 9);
  });

  it('holds the truth in its interval in 93 to 97 of 100, and is right in the mean (1,000 seeded, 1.5 psi, catches of 0.5 %)', () => {
    let held = 0;
    let squares = 0;
    for (let seed = 0; seed < 1000; seed++) {
      const found = dialRepeats(sweep(1.5, 0.005, new Random(seed, 'dial')))!;
      if (found.lowest_Pa <= 1.5 * PSI_PA && 1.5 * PSI_PA <= found.highest_Pa) held++;
      squares += (found.standardDeviation_Pa / PSI_PA) ** 2 / 1000;
    }
    expect(held / 1000).toBeGreaterThan(0.93);
    expect(held / 1000).toBeLessThan(0.97);
    expect(Math.sqrt(squares)).toBeCloseTo(1.5, 1);
  });

  it('has a lower end of 0 where the catches alone could scatter so', () => {
    const found = dialRepeats(sweep(0, 0.01, new Random(3, 'dial')))!;
    expect(found.lowest_Pa).toBe(0);
    expect(found.highest_Pa).toBeGreaterThan(0);
  });

  it('is not told of a dial left alone, of a sensor’s pressures, or of too few repeats', () => {
    const random = new Random(4, 'dial');
    expect(dialRepeats(sweep(1.5, 0.01, random, 'set-once'))).toBeNull();
    expect(dialRepeats({ ...sweep(1.5, 0.01, random), pressureMeasured: true })).toBeNull();
    const few = sweep(1.5, 0.01, random);
    expect(dialRepeats({ ...few, points: few.points.slice(0, 4) })).toBeNull();
    expect(dialRepeats({ ...few, points: [] })).toBeNull();
  });
});
