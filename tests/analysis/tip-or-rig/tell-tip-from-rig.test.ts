import { describe, expect, it } from 'vitest';
import type { MeasuredTip } from '../../../src/analysis/tip-or-rig/measured-tip.ts';
import { withinReason } from '../../../src/analysis/tip-or-rig/choose-changed.ts';
import { fitRig, LOG_GAIN, LOSS, OFFSET } from '../../../src/analysis/tip-or-rig/rig-model.ts';
import { tellTipFromRig } from '../../../src/analysis/tip-or-rig/tell-tip-from-rig.ts';
import type { TipOrRig } from '../../../src/analysis/tip-or-rig/tip-or-rig.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { scoreRack, tableOfSizes } from '../../benchmarks/tip-or-rig-parts/made-racks.ts';

const K = 4.8e-8;
const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
interface Truth {
  readonly offset_Pa?: number;
  readonly gain?: number;
  readonly lost?: number;
  readonly change?: number;
  readonly from?: 'baseline' | 'rated' | 'drawer-tip';
  readonly anchor?: boolean;
}

/** A tip without noise on the rig as it truly is. */
function tip(key: string, size: number, truth: Truth = {}): MeasuredTip {
  const { offset_Pa = 0, gain = 1, lost = 0, change = 1, from = 'rated' } = truth;
  const k = K * size * change;
  const c = lost / (1 - lost) / K ** 2;
  return {
    key,
    points: settings_Pa.map((setting_Pa) => ({
      pressure_Pa: setting_Pa,
      setting_Pa,
      // The pressure at the tip, found by hand from p = g(P + b) − c·Q² and Q = k·√p.
      flow_m3_per_s: k * Math.sqrt((gain * (setting_Pa + offset_Pa)) / (1 + c * k * k)),
      ownRelativeStandardUncertainty: 0.003,
      pressureStandardUncertainty_Pa: 0.25 * PSI_PA,
    })),
    reference: {
      nozzleConstant_m3_per_s_per_sqrtPa: K * size,
      ownRelativeStandardUncertainty: 0.005,
      sharedRelativeStandardUncertainty: 0,
      sharedGroup: 'list',
      from,
      at_ms: from === 'rated' ? null : 1000,
    },
    sharedRelativeStandardUncertainty: 0,
    sharedGroup: 'today',
    anchor: truth.anchor ?? false,
  };
}

function told(tips: readonly MeasuredTip[], more = {}): TipOrRig {
  const found = tellTipFromRig({ tips, dialReturns: false, ...more });
  if ('because' in found) throw new Error(found.because);
  return found;
}
const blames = ({ tips }: TipOrRig) => tips.map((one) => one.blame);

describe('tip or rig, without noise', () => {
  it('finds a rig that is off: b, g and the pressure lost, with sizes 4:1', () => {
    const truth = { offset_Pa: 3 * PSI_PA, gain: 0.95, lost: 0.15 };
    const found = told([tip('a', 1, truth), tip('b', 0.5, truth), tip('c', 0.25, truth)]);
    expect(found.told).toBe('apart');
    expect(found.since).toBe('absolute');
    // The weak beforehand of b (10 psi) takes a trifle off it.
    expect(found.offset_Pa.value / PSI_PA).toBeCloseTo(3, 2);
    expect(found.gain!.value).toBeCloseTo(0.95, 2);
    expect(found.lostAtLargest!.value).toBeCloseTo(0.15, 2);
    expect(found.rigFactor).toBeNull();
    expect(blames(found)).not.toContain('tip');
    expect(found.fit.pValue).toBeGreaterThan(0.5);
  });

  it('blames the one tip that changed, and takes its reference out of what speaks for the rig', () => {
    const found = told([tip('a', 1), tip('b', 0.75, { change: 1.12 }), tip('c', 0.5)]);
    expect(blames(found)).toEqual(['neither', 'tip', 'neither']);
    expect(found.tips[1]!.tipPart.value).toBeCloseTo(1.12, 2);
    expect(found.tips[1]!.rigPart.value).toBeCloseTo(1, 2);
    expect(found.tips[1]!.deviation.value).toBeCloseTo(1.12, 2);
    expect(found.gain!.value).toBeCloseTo(1, 2);
  });

  it('blames the rig for what moves all, and says that worn alike would look the same', () => {
    const rig = { gain: 1.2, from: 'baseline' } as const;
    const found = told([tip('a', 1, rig), tip('b', 0.9, rig), tip('c', 0.8, rig)]);
    expect(found.told).toBe('combined');
    expect(found.gain).toBeNull();
    expect(found.rigFactor!.value).toBeCloseTo(Math.sqrt(1.2), 2);
    expect(found.since).toBe('baseline');
    expect(found.sinceFrom_ms).toBe(1000);
    expect(blames(found)).toEqual(['rig', 'rig', 'rig']);
    expect(found.warnings).toContain('all-tips-or-rig');
  });

  it('is set right by a tip from the drawer: the others wore, all alike', () => {
    const worn = { change: 1.1, from: 'baseline' } as const;
    const drawer = { anchor: true, from: 'drawer-tip' } as const;
    const found = told([tip('a', 1, worn), tip('b', 0.9, worn), tip('c', 0.8, worn), tip('d', 0.85, drawer)]);
    expect(found.anchored).toBe('drawer-tip');
    expect(blames(found)).toEqual(['tip', 'tip', 'tip', 'neither']);
    expect(found.warnings).not.toContain('all-tips-or-rig');
  });

  it('is set right by a gauge at the wand where references are absolute; against baselines nobody read one then, so it can’t be', () => {
    const wand = [40, 60].map((psi) => ({
      setting_Pa: psi * PSI_PA,
      wand_Pa: psi * PSI_PA,
      standardUncertainty_Pa: 0.3 * PSI_PA,
      settingStandardUncertainty_Pa: 0.25 * PSI_PA,
      tip: 'a',
    }));
    const worn = (from: 'rated' | 'baseline') =>
      [1, 0.9, 0.8].map((size, i) => tip('abc'[i]!, size, { change: 1.1, from }));
    const found = told(worn('rated'), { wand });
    expect(found.anchored).toBe('wand-gauge');
    // It was read with the largest on; what is lost before a smaller one is a doubt (sizes too near to tell g from c).
    expect(blames(found).slice(0, 2)).toEqual(['tip', 'tip']);
    expect(blames(found)).not.toContain('rig');
    expect(told(worn('baseline'), { wand }).anchored).toBeNull();
  });

  it('can’t tell where two tips of one rig differ by what a loss would do', () => {
    const found = told([tip('a', 1, { lost: 0.2 }), tip('b', 0.5, { lost: 0.2 })]);
    expect(found.tips[0]!.blame).toBe('cannot-tell');
    const [a] = found.tips;
    // The interval holds both: all of it the rig's, all of it the tip's.
    expect(Math.abs(a!.tipPart.value - 1)).toBeLessThan(a!.tipPart.expandedUncertainty95);
    expect(Math.abs(a!.rigPart.value - Math.sqrt(0.8))).toBeLessThan(a!.rigPart.expandedUncertainty95);
  });

  it('says which kinds of reference went in', () => {
    expect(told([tip('a', 1), tip('b', 0.9, { from: 'baseline' })]).since).toBe('mixed');
  });

  it('carries what references share: g and a common error are one and the same', () => {
    const sharing = (one: MeasuredTip): MeasuredTip => ({
      ...one,
      reference: { ...one.reference!, sharedRelativeStandardUncertainty: 0.02 },
    });
    const tips = [tip('a', 1), tip('b', 0.5), tip('c', 0.25)];
    const alone = told(tips);
    const shared = told(tips.map(sharing));
    // 2 % of flow is 4 % of pressure; nothing of it falls on the loss.
    expect(shared.gain!.standardUncertainty ** 2 - alone.gain!.standardUncertainty ** 2).toBeCloseTo(
      0.04 ** 2,
      5,
    );
    expect(shared.lostAtLargest!.standardUncertainty).toBeCloseTo(
      alone.lostAtLargest!.standardUncertainty,
      5,
    );
    // The same of a scale that all were weighed on today.
    const scale = told(tips.map((one) => ({ ...one, sharedRelativeStandardUncertainty: 0.02 })));
    expect(scale.gain!.standardUncertainty).toBeCloseTo(shared.gain!.standardUncertainty, 5);
  });

  it('counts a dial that returns to the same wrong pressure once, not once for each tip', () => {
    const tips = [tip('a', 1), tip('b', 0.5), tip('c', 0.25)];
    const free = told(tips);
    const clicks = told(tips, { dialReturns: true });
    expect(clicks.offset_Pa.standardUncertainty).toBeGreaterThan(1.3 * free.offset_Pa.standardUncertainty);
  });

  it('says what is missing', () => {
    const bare = { ...tip('b', 0.5), reference: null };
    expect(tellTipFromRig({ tips: [tip('a', 1)], dialReturns: false })).toEqual({ because: 'one-tip-only' });
    expect(tellTipFromRig({ tips: [tip('a', 1), bare], dialReturns: false })).toEqual({
      because: 'no-reference',
    });
  });
});

describe('the shared model against generalised least squares written out', () => {
  it('has the covariance that the straight-line algebra gives (two sizes, references of 1 %)', () => {
    // ln(level) of each tip: ½ ln g − ½ ln(1 + c·k²) + ln k. With exact flows only the references of 1 % speak:
    // ½(G − C) = e₁, ½(G − C/4) = e₂, so C = 8(e₂ − e₁)/3 and G = (8e₂ − 2e₁)/3: u(C) = 8√2/3 %, u(G) = √68/3 %.
    const exact = (one: MeasuredTip): MeasuredTip => ({
      ...one,
      points: one.points.map((point) => ({
        ...point,
        ownRelativeStandardUncertainty: 1e-6,
        pressureStandardUncertainty_Pa: 1,
      })),
      reference: { ...one.reference!, ownRelativeStandardUncertainty: 0.01 },
    });
    const tips = [tip('a', 1), tip('b', 0.5)]
      .map(exact)
      .map((one) => ({ ...one, reference: one.reference! }));
    const known = { offset: { value_Pa: 0, standardUncertainty_Pa: 1e6 }, loss: null };
    const fit = fitRig({ tips, dialReturns: false, wand: [] }, known, new Set())!;
    expect(Math.sqrt(fit.covariance(LOSS, LOSS))).toBeCloseTo((0.08 * Math.SQRT2) / 3, 4);
    expect(Math.sqrt(fit.covariance(LOG_GAIN, LOG_GAIN))).toBeCloseTo((0.01 * Math.sqrt(68)) / 3, 4);
    expect(fit.parameters[OFFSET]).toBeCloseTo(0, 6);
  });
});

describe('what no rig makes', () => {
  /** 11 % more at the top than the tip gives, and less below: a leak as P^1.25. */
  const leaking = (one: MeasuredTip): MeasuredTip => ({
    ...one,
    points: one.points.map((point) => ({
      ...point,
      flow_m3_per_s: point.flow_m3_per_s * (1 + 0.11 * (point.pressure_Pa / settings_Pa[4]!) ** 0.75),
    })),
  });
  const base = { from: 'baseline' } as const;
  const reel = (shows: 'leaking' | undefined): MeasuredTip[] => [
    tip('a', 1, base),
    tip('b', 0.75, { ...base, change: 1.1 }),
    tip('c', 0.375, base),
    { ...leaking(tip('d', 0.5, base)), ...(shows === undefined ? {} : { shows }) },
  ];

  it('a tip that leaks is left out and named; the others are told as they are', () => {
    const found = told(reel('leaking'));
    expect(found.leftOut).toEqual([{ key: 'd', shows: 'leaking' }]);
    expect(found.warnings).toContain('tips-left-out');
    expect(blames(found)).toEqual(['neither', 'tip', 'neither']);
    expect(found.tips.map(({ deviation }) => deviation.value)).toEqual([
      expect.closeTo(1, 3),
      expect.closeTo(1.1, 3),
      expect.closeTo(1, 3),
    ]);
    expect(told(reel(undefined)).leftOut).toBeUndefined();
  });

  it('fewer than two left: says so, and which were left out', () => {
    const two = reel('leaking').slice(2);
    expect(tellTipFromRig({ tips: two, dialReturns: false })).toEqual({
      because: 'too-few-tips-left',
      leftOut: [{ key: 'd', shows: 'leaking' }],
    });
  });

  it('a rig that wins pressure on the way is not believed: held to none, and the fit says so', () => {
    // Larger tips give more and more: as if the largest won 40 % of its pressure on the way.
    const won = { lost: -0.4 };
    const tips = [tip('a', 1, won), tip('b', 0.5, won), tip('c', 0.25, won)];
    const question = {
      tips: tips.map((one) => ({ ...one, reference: one.reference! })),
      dialReturns: false,
      wand: [],
    };
    const known = { offset: { value_Pa: 0, standardUncertainty_Pa: 7e4 }, loss: null };
    const free = fitRig(question, known, new Set())!;
    expect(free.parameters[LOSS]).toBeCloseTo(-0.4 / 1.4, 2);
    const held = withinReason(question, known, new Set(), free);
    expect(held.parameters[LOSS]).toBeGreaterThan(-0.12);
    expect(held.chiSquare).toBeGreaterThan(free.chiSquare + 20);
    // The whole answer does not blame the rig for it.
    expect(blames(told(tips))).not.toContain('rig');
    expect(told(tips).lostAtLargest?.value ?? 0).toBeGreaterThan(-0.12);
    // A loss is left as it is, and so is what chance puts below none.
    const lost = { lost: 0.3 };
    const clogged = [tip('a', 1, lost), tip('b', 0.5, lost), tip('c', 0.25, lost)];
    expect(told(clogged).lostAtLargest!.value).toBeCloseTo(0.3, 2);
  });

  it('three times the pressure is no rig', () => {
    const wild = { gain: 3.5, from: 'baseline' } as const;
    const tips = [tip('a', 1, wild), tip('b', 0.5, wild), tip('c', 0.25, wild)];
    expect(tellTipFromRig({ tips, dialReturns: false })).toEqual({ because: 'tips-and-rig-disagree' });
    const high = { gain: 2.5, from: 'baseline' } as const;
    expect(told(tips.map((_, i) => tip('abc'[i]!, 1 / 2 ** i, high))).gain!.value).toBeCloseTo(2.5, 1);
  });
});

describe('a large rack', () => {
  const sizes = Array.from({ length: 50 }, (_, i) => 1 - 0.015 * i);
  const tips = sizes.map((size, i) => tip(`tip ${i}`, size, i % 20 === 7 ? { change: 1.12 } : {}));

  it('finds those that changed among fifty, though only those that stand off are asked', () => {
    const found = told(tips);
    expect(found.tips.filter(({ blame }) => blame === 'tip').map(({ key }) => key)).toEqual([
      'tip 7',
      'tip 27',
      'tip 47',
    ]);
    for (const one of found.tips.filter(({ blame }) => blame !== 'tip')) expect(one.blame).toBe('neither');
  });

  it('knows beforehand what chi-square falls by when a tip may have changed', () => {
    const question = {
      tips: tips.slice(0, 9).map((one) => ({ ...one, reference: one.reference! })),
      dialReturns: false,
      wand: [],
    };
    const known = { offset: { value_Pa: 0, standardUncertainty_Pa: 1e5 }, loss: null };
    const all = fitRig(question, known, new Set())!;
    for (const i of [0, 4, 7]) {
      const freed = fitRig(question, known, new Set([i]))!;
      const fall = all.chiSquare - freed.chiSquare;
      expect(Math.abs(all.standsOff(i) - fall)).toBeLessThan(0.02 * fall + 0.01);
    }
  });
});

describe('the table of measurement 11.9', () => {
  // A smaller version of `npm run benchmark -- tip-or-rig`: 200 seeded runs a cell, so ± 10 % of a standard deviation.
  it.each(tableOfSizes.filter((row) => row.sizes[1] !== 0.8))(
    'holds for sizes $sizes (200 seeded)',
    (row) => {
      const score = scoreRack(
        { name: 'table', sizes: row.sizes, catch: 0.01, dial_psi: 1.5, reference: 0.01 },
        200,
        71,
      );
      expect(score.standardDeviation.offset_psi / row.offset_psi).toBeGreaterThan(0.82);
      expect(score.standardDeviation.offset_psi / row.offset_psi).toBeLessThan(1.18);
      expect(score.standardDeviation.gainPercent! / row.gain).toBeGreaterThan(0.8);
      expect(score.standardDeviation.gainPercent! / row.gain).toBeLessThan(1.2);
      expect(score.standardDeviation.lostPercent! / row.lost).toBeGreaterThan(0.8);
      expect(score.standardDeviation.lostPercent! / row.lost).toBeLessThan(1.2);
      expect(score.coveragePercent.gain).toBeGreaterThan(91);
      expect(score.coveragePercent.lost).toBeGreaterThan(91);
      // A healthy rack: nobody is blamed.
      for (const one of score.tips) expect(one.blamed['tip']! + one.blamed['rig']!).toBeLessThan(2);
    },
  );

  it('blames a tip worn by 15 %, and a rig whose pressure is a fifth too high, and seldom anything wrong (200 seeded)', () => {
    const usual = { sizes: [1, 0.75, 0.5], catch: 0.01, dial_psi: 1.5, reference: 0.01 };
    const worn = scoreRack({ ...usual, name: 'worn', changes: [1, 1.15, 1] }, 200, 72);
    expect(worn.tips[1]!.blamed['tip']).toBeGreaterThan(94);
    expect(worn.tips[1]!.tipPartCoverage).toBeGreaterThan(90);
    expect(worn.tips.every((one) => one.blamed['rig']! < 1)).toBe(true);
    const high = scoreRack({ ...usual, name: 'high', gain: 1.2 }, 200, 73);
    expect(high.tips[1]!.blamed['rig']).toBeGreaterThan(80);
    expect(high.tips.every((one) => one.blamed['tip']! < 1)).toBe(true);
  });
});
