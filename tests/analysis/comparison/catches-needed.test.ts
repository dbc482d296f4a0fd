import { describe, expect, it } from 'vitest';
import {
  catchesNeeded,
  deviationOfCatch,
  differenceSeen,
} from '../../../src/analysis/comparison/catches-needed.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';

/** Measurement section 6: catches per tip at power 80 % / 95 %, for 1, 2 and 5 per cent apart. */
const table = [
  {
    sd: 0.002,
    needed: [
      [3, 3],
      [2, 2],
      [2, 2],
    ],
  },
  {
    sd: 0.003,
    needed: [
      [3, 4],
      [2, 3],
      [2, 2],
    ],
  },
  {
    sd: 0.005,
    needed: [
      [6, 8],
      [3, 4],
      [2, 2],
    ],
  },
  {
    sd: 0.01,
    needed: [
      [17, 27],
      [6, 8],
      [3, 3],
    ],
  },
  {
    sd: 0.015,
    needed: [
      [37, 60],
      [10, 16],
      [3, 4],
    ],
  },
  {
    sd: 0.02,
    needed: [
      [64, 105],
      [17, 27],
      [4, 6],
    ],
  },
] as const;

describe('how many catches of each tip a difference needs', () => {
  it.each(table)('is the table of the design for a catch of sd $sd', ({ sd, needed }) => {
    const found = [0.01, 0.02, 0.05].map((difference) =>
      [0.8, 0.95].map((power) => catchesNeeded({ difference, catchStandardDeviation: sd, power })),
    );
    expect(found).toEqual(needed);
  });

  it('counts what setting the dial anew adds: more than 60 of each for 1 % (measurement 6)', () => {
    const dialSetAnew = { standardUncertainty_Pa: 1.5 * PSI_PA, setting_Pa: 40 * PSI_PA };
    // hypot(0.15 %, 1.5/80): 1.9 %.
    expect(deviationOfCatch({ catchStandardDeviation: 0.0015, dialSetAnew })).toBeCloseTo(0.0188, 4);
    expect(catchesNeeded({ difference: 0.01, catchStandardDeviation: 0.0015, dialSetAnew })).toBeGreaterThan(
      55,
    );
    // Untouched: four of each resolve 1 % (same section).
    expect(catchesNeeded({ difference: 0.01, catchStandardDeviation: 0.0015 })).toBeLessThanOrEqual(4);
  });

  it('says "more" rather than a number nobody will do, and asks for one more where a drift is estimated', () => {
    expect(catchesNeeded({ difference: 0.001, catchStandardDeviation: 0.02 })).toBeNull();
    expect(catchesNeeded({ difference: 0.01, catchStandardDeviation: 0.003, drift: true })).toBe(4);
    expect(() => catchesNeeded({ difference: 0, catchStandardDeviation: 0.01 })).toThrow(RangeError);
  });

  it('turns round: the difference that so many catches show', () => {
    const seen = differenceSeen(17, { catchStandardDeviation: 0.01 });
    expect(seen).toBeLessThanOrEqual(0.01);
    expect(differenceSeen(16, { catchStandardDeviation: 0.01 })).toBeGreaterThan(0.01);
  });
});
