import { describe, expect, it } from 'vitest';
import { assignSettings, joinAnnounced } from '../../../src/analysis/sweep/assign-settings.ts';

const plateau = (start_s: number, stop_s: number, slope_kg_per_s = 0.02) => ({
  start_s,
  stop_s,
  slope_kg_per_s,
});
const plan = { settings_Pa: [1e5, 2e5, 3e5], announced: [] };
const told = {
  settings_Pa: [1e5, 2e5, 3e5],
  announced: [
    { at_s: 20, setting_Pa: 2e5 },
    { at_s: 43, setting_Pa: 3e5 },
  ],
};

describe('which setting a plateau of a pour was', () => {
  it('goes by order when nothing was announced, and by nothing when the count is wrong', () => {
    const three = [plateau(0, 20), plateau(22, 42), plateau(45, 60)];
    expect(assignSettings(three, plan)).toMatchObject({ settings_Pa: [1e5, 2e5, 3e5], matches: true });
    expect(assignSettings(three.slice(1), plan)).toMatchObject({ settings_Pa: [null, null], matches: false });
  });

  it('takes what was announced last, so that a pour broken off keeps what it had', () => {
    expect(assignSettings([plateau(0, 21), plateau(23, 44)], told)).toMatchObject({
      settings_Pa: [1e5, 2e5],
      matches: true,
    });
  });

  it('lets the border of a small step lie a little before its announcement, but not a setting before the one before', () => {
    expect(assignSettings([plateau(0, 18), plateau(18, 44), plateau(44, 60)], told).settings_Pa).toEqual([
      1e5, 2e5, 3e5,
    ]);
    expect(assignSettings([plateau(0, 10), plateau(10, 44), plateau(44, 60)], told).settings_Pa).not.toEqual([
      1e5, 2e5, 3e5,
    ]);
  });

  it('gives no setting to a plateau that went on long after the next was announced and never seen', () => {
    const seen = assignSettings([plateau(0, 44), plateau(45, 60)], told);
    expect(seen).toMatchObject({ settings_Pa: [null, 3e5], matches: false });
  });

  it('of two flows at one setting the longer stands for it, both are told as doubtful', () => {
    const seen = assignSettings([plateau(0, 21), plateau(23, 31), plateau(31, 44), plateau(46, 60)], told);
    expect(seen.settings_Pa).toEqual([1e5, null, 2e5, 3e5]);
    expect([...seen.doubtful]).toEqual([1, 2]);
  });

  it('puts pieces of one announced setting together again, a knock in between with them, the turn before left out', () => {
    const pieces = [
      plateau(0, 21, 0.02),
      plateau(21.5, 24, 0.031),
      plateau(24, 32, 0.0281),
      plateau(32, 35, 0.035),
      plateau(35, 44, 0.0279),
      plateau(45, 60, 0.034),
    ];
    expect(joinAnnounced(pieces, told).map((p) => [p.start_s, p.stop_s])).toEqual([
      [0, 21],
      [24, 44],
      [45, 60],
    ]);
    expect(joinAnnounced(pieces, plan)).toBe(pieces);
  });
});
