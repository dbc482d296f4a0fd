import { describe, expect, it } from 'vitest';
import { PSI_PA } from '../../../../src/base/units/constants.ts';
import { dialRepeatsDetail, dialRepeatsSentence } from '../../../../web/wording/dial-repeats.ts';
import { shownUnits } from '../../../../web/wording/units.ts';

const seen = {
  standardDeviation_Pa: 1.42 * PSI_PA,
  lowest_Pa: 1.01 * PSI_PA,
  highest_Pa: 2.34 * PSI_PA,
  degreesOfFreedom: 10,
  stated_Pa: 1.5 * PSI_PA,
};

describe('how well the dial repeats, in words', () => {
  it('is one figure in the person’s units, the interval one step deeper', () => {
    expect(dialRepeatsSentence(seen, shownUnits.us)).toBe(
      'This dial goes back to a mark within 1.4 psi, two times in three.',
    );
    expect(dialRepeatsDetail(seen, shownUnits.us)).toBe(
      'Between 1 and 2.3 psi at 95 %, from 10 repeats; 1.5 psi was told.',
    );
    expect(dialRepeatsSentence(seen, shownUnits.metric)).toContain('0.098 bar');
  });

  it('does not call a dial perfect because the catches scatter', () => {
    expect(dialRepeatsSentence({ ...seen, lowest_Pa: 0, standardDeviation_Pa: 0 }, shownUnits.us)).toMatch(
      /within 2\.3 psi or better/,
    );
  });
});
