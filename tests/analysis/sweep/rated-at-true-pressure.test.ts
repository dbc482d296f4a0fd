import { describe, expect, it } from 'vitest';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { analysed } from './analysed.ts';

// Rule 11.4: flow at a mark of this dial has no dial offset in its ±; k and percent of rated add it, unless the dial was read at zero.
const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const rating = `# ratedFlow_m3_per_s: 2.5e-5\n# ratedPressure_Pa: ${40 * PSI_PA}\n`;

function swept(offset_psi: number, seed: number): string {
  return simulateCapture({
    scenario: 'typical',
    seed,
    fills: 15,
    instrument: { kind: 'scale' },
    sweep: {
      settings_Pa,
      dial: { protocol: 're-set', standardDeviation_Pa: 1.5 * PSI_PA },
      ...(offset_psi === 0 ? {} : { fault: { kind: 'dial-high', offset_Pa: offset_psi * PSI_PA } }),
    },
  }).replace('# simulated: true', `${rating}# simulated: true`);
}
const reading = (psi: number, u_psi = 0.3) =>
  `9999.000\t!rig-check dial-at-zero ${psi * PSI_PA} ${u_psi * PSI_PA}\n`;

describe('percent of rated', () => {
  it('is put right by what the dial showed at no pressure, with that reading’s doubt; the curve stays at the dial’s marks', () => {
    const text = swept(4, 5);
    const before = analysed(text);
    const after = analysed(text + reading(4));
    const [raw, right] = [before.picture!.rated!, after.picture!.rated!];
    // 4 psi too high a dial: about 6 % of the flow seems to be missing.
    expect(raw.ratio).toBeLessThan(0.97);
    expect(Math.abs(right.ratio - 1)).toBeLessThan(right.ratioExpandedUncertainty95);
    expect(right.ratioExpandedUncertainty95).toBeLessThan(0.7 * raw.ratioExpandedUncertainty95);
    expect(after.picture!.dialZero).toEqual({
      shown_Pa: 4 * PSI_PA,
      standardUncertainty_Pa: 0.3 * PSI_PA,
      corrected: true,
    });
    expect(after.analysis.curve).toEqual(before.analysis.curve);
    expect(after.picture!.settings).toEqual(before.picture!.settings);
    expect(before.picture!.dialZero).toBeUndefined();
  });

  it('keeps its ± in the budget: the reading’s doubt stands there in place of the assumed one', () => {
    const after = analysed(swept(4, 6) + reading(4));
    const { dialZero } = after.budgetFacts.fitted!;
    expect(dialZero).toEqual({ shown_Pa: 4 * PSI_PA, standardUncertainty_Pa: 0.3 * PSI_PA });
  });

  it(
    'covers what is true in most of 20 sweeps on dials that are off, read to 0.3 psi (seeded)',
    { timeout: 20_000 },
    () => {
      let held = 0;
      for (let seed = 0; seed < 20; seed++) {
        const offset = [-4, -2, 2, 4][seed % 4]!;
        const shown = offset + 0.3 * [-1.2, -0.4, 0.4, 1.2, 0][seed % 5]!;
        const { ratio, ratioExpandedUncertainty95: half } = analysed(
          swept(offset, 100 + seed) + reading(shown),
        ).picture!.rated!;
        if (Math.abs(ratio - 1) <= half) held++;
      }
      expect(held).toBeGreaterThanOrEqual(17);
    },
  );

  it('a reading of exactly nothing may be a needle on its pin: nothing is put right and nothing narrowed', () => {
    const text = swept(0, 7);
    const [raw, zero] = [analysed(text).picture!, analysed(text + reading(0)).picture!];
    expect(zero.rated).toEqual(raw.rated);
    expect(zero.dialZero).toMatchObject({ shown_Pa: 0, corrected: false });
  });

  it('the last reading counts; one that leaves nothing of the lowest setting changes nothing', () => {
    const text = swept(4, 8);
    const one = analysed(text + reading(4)).picture!.rated;
    expect(analysed(text + reading(9) + reading(4)).picture!.rated).toEqual(one);
    const absurd = analysed(text + reading(21)).picture!;
    expect(absurd.rated).toEqual(analysed(text).picture!.rated);
    expect(absurd.dialZero).toMatchObject({ corrected: false });
  });
});
