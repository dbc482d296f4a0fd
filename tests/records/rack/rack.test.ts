import { describe, expect, test } from 'vitest';
import type { BenchRecord, TipRecord } from '../../../src/records/bench-record.ts';
import type { BookMemo } from '../../../src/records/rack/book.ts';
import { compareRackTips } from '../../../src/records/rack/compare.ts';
import { assembleRack } from '../../../src/records/rack/rack.ts';
import type { RackTip } from '../../../src/records/rack/rack-view.ts';
import { simulatedSeason } from '../../../src/simulation/season.ts';
import {
  aByHandSweep,
  aRigCheck,
  aStrike,
  aTip,
  anEnvelope,
  anId,
  aSweep,
  someRigChecks,
} from '../build-records.ts';

/** A book with a history, as if it had been measured: only what says "simulated" is taken away. */
const season = simulatedSeason(3, Date.UTC(2026, 10, 25, 18));
const measured = season.map((record): BenchRecord => ({ ...record, simulated: false }));
const day_ms = 24 * 3600 * 1000;

function tipOf(records: readonly BenchRecord[], name: string): RackTip {
  return assembleRack(records).tips.find((tip) => tip.name === name)!;
}
function ofTip(name: string) {
  return (record: BenchRecord): boolean => record.kind === 'sweep' && record.setup.tip.name === name;
}
const sweepsOf = (records: readonly BenchRecord[], name: string) =>
  records.filter(ofTip(name)).map(({ sweepId }) => sweepId);
const without = (sweepIds: readonly string[]) =>
  measured.filter(({ sweepId }) => !sweepIds.includes(sweepId));
const facts = (changes: Partial<TipRecord>): TipRecord => ({
  ...aTip(900, { name: 'Reel C', simulated: false, recordedAt_ms: Date.UTC(2026, 10, 25, 19) }),
  ...changes,
});

describe('what stands in the book', () => {
  test('measured and simulated tips of one name are two, and neither is the other’s baseline', () => {
    const newTip = new Set(
      season.filter((r) => r.kind === 'sweep' && r.setup.occasion === 'new-tip').map((r) => r.sweepId),
    );
    const mixed = season.map((r): BenchRecord => (newTip.has(r.sweepId) ? r : { ...r, simulated: false }));
    const tips = assembleRack(mixed).tips.filter(({ name }) => name === 'Reel A');
    expect(tips.map(({ key }) => key).sort()).toEqual(['measured:reel a', 'simulated:reel a']);
    const real = tips.find(({ simulated }) => !simulated)!;
    expect(real).toMatchObject({
      baseline: null,
      baselineBecause: 'no-baseline',
      drift: null,
      driftBecause: 'no-baseline',
    });
    expect(real.diagnosis?.reference.from).toBe('rated');
  });

  test('the order of the records changes nothing', () => {
    expect(assembleRack([...measured].reverse())).toEqual(assembleRack(measured));
  });

  test('a memo changes nothing but the time, also when a record comes later', () => {
    const memo: BookMemo = new Map();
    expect(assembleRack(measured, { memo })).toEqual(assembleRack(measured));
    const [last] = sweepsOf(measured, 'Reel A').slice(-1);
    const first = measured.find((r) => r.kind === 'catch' && r.sweepId === last)!;
    const later = [
      ...measured,
      { ...strikeOf(first as Catch), recordedAt_ms: first.recordedAt_ms + 5 * day_ms },
    ];
    expect(assembleRack(later, { memo })).toEqual(assembleRack(later));
    expect(assembleRack(later)).not.toEqual(assembleRack(measured));
  });

  test('names are one whatever their case and blanks; the newest way to write it is shown', () => {
    const renamed = measured.map((r): BenchRecord =>
      r.kind === 'sweep' && r.setup.occasion === 'weekly-check'
        ? {
            ...r,
            setup: { ...r.setup, tip: { ...r.setup.tip, name: `  ${r.setup.tip.name.toUpperCase()} ` } },
          }
        : r,
    );
    expect(assembleRack(renamed).tips).toHaveLength(8);
  });

  test('sweeps newest first, the curve of the newest with two settings, catches that count', () => {
    const tip = tipOf(measured, 'Backpack A');
    expect(tip.sweeps).toHaveLength(17);
    expect(tip.sweeps.map(({ at_ms }) => at_ms)).toEqual(
      [...tip.sweeps.map(({ at_ms }) => at_ms)].sort((a, b) => b - a),
    );
    expect(tip.sweeps[0]!.catches).toBe(15);
    expect(tip.sweeps[1]!.catches).toBe(6);
    expect(tip.curve!.sweepId).toBe(tip.sweeps[0]!.sweepId);
    expect(tip.ratedFlow_m3_per_s).toBeCloseTo(1.52 / 60e3, 12);
  });

  test('a routine is no curve: two tips held against each other are in the rack by name, a boom is not', () => {
    const sweep = aSweep(1, { simulated: false });
    const of = (routine: NonNullable<typeof sweep.setup.routine>) =>
      assembleRack([{ ...sweep, setup: { ...sweep.setup, routine } }]).tips.map(({ name, sweeps }) => [
        name,
        sweeps.length,
      ]);
    expect(
      of({
        kind: 'tip-against-tip',
        otherTip: { ...sweep.setup.tip, name: 'other' },
        wantedDifference: 0.01,
      }),
    ).toEqual([
      ['left knapsack', 0],
      ['other', 0],
    ]);
    expect(of({ kind: 'boom', positions: 6 })).toEqual([]);
    const otherTips = ['b', 'c'].map((name) => ({ ...sweep.setup.tip, name }));
    const bag = assembleRack([
      { ...sweep, setup: { ...sweep.setup, routine: { kind: 'bag', otherTips } } },
    ]).tips;
    expect(bag.map(({ name, caughtAgainst }) => [name, caughtAgainst?.[0]?.others])).toEqual([
      ['b', ['left knapsack', 'c']],
      ['c', ['left knapsack', 'b']],
      ['left knapsack', ['b', 'c']],
    ]);
  });

  test('a sweep timed by hand is one of the tip’s sweeps, with its own ±', () => {
    const { tips } = assembleRack([aByHandSweep(1)]);
    expect(tips[0]!.sweeps[0]).toMatchObject({ timedByHand: true, catches: 1 });
    expect(tips[0]!.sweeps[0]!.nozzleConstant_m3_per_s_per_sqrtPa! * Math.sqrt(275790)).toBeCloseTo(
      7.6e-4 / 30.2,
      12,
    );
  });

  test('the newest check of the rig of each kind, the wand gauge of each setting', () => {
    const checks = [
      ...someRigChecks.map((found, i) => aRigCheck(10 + i, found)),
      aRigCheck(20, { kind: 'dial-at-zero', shown_Pa: 100, standardUncertainty_Pa: 50 }),
      aRigCheck(21, {
        kind: 'wand-gauge',
        setting_Pa: 137_895,
        wand_Pa: 130_000,
        standardUncertainty_Pa: 5_000,
      }),
    ];
    const [rig] = assembleRack(checks).rigs;
    expect(rig!.checks.map(({ found }) => found.kind).sort()).toEqual([
      'blank-tip',
      'dial-at-zero',
      'flow-stops-at',
      'sag-test',
      'wand-gauge',
      'wand-gauge',
    ]);
    expect(rig!.checks.find(({ found }) => found.kind === 'dial-at-zero')!.found).toMatchObject({
      shown_Pa: 100,
    });
  });

  test('a check of the rig made after the end of a sweep speaks in its finding; one that its capture holds too counts once', () => {
    const [, , , ...later] = sweepsOf(measured, 'Reel B');
    const last = later.at(-1)!;
    const check: BenchRecord = {
      ...aRigCheck(700, {
        kind: 'blank-tip',
        leak_m3_per_s: 0,
        standardUncertainty_m3_per_s: 5e-8,
        pressure_Pa: 413_685,
      }),
      sweepId: last,
      rigName: 'Invented hose reel',
      simulated: false,
      recordedAt_ms: Date.UTC(2026, 10, 25, 19),
    };
    const aiccOf = (records: readonly BenchRecord[]) =>
      tipOf(records, 'Reel B').diagnosis!.finding.evidence.aicc.leaking;
    expect(aiccOf([...measured, check])).toBeGreaterThan(aiccOf(measured));
    const marked = measured.map((r): BenchRecord =>
      r.kind === 'sweep-end' && r.sweepId === last
        ? { ...r, marks: '900.000\t!rig-check blank-tip 0 5e-8 at 413685\n' }
        : r,
    );
    expect(aiccOf([...marked, check])).toBeCloseTo(aiccOf([...measured, check]), 9);
  });

  test('nothing at all is an empty rack', () => {
    expect(assembleRack([])).toEqual({ tips: [], rigs: [], unreadable: 0 });
  });
});

describe('baselines', () => {
  test('three sweeps of a new tip: their mean, no ± smaller than what they share', () => {
    const { baseline } = tipOf(measured, 'Reel A');
    expect(baseline!.sweepIds).toHaveLength(3);
    expect(baseline!.nozzleConstant_m3_per_s_per_sqrtPa / (3.04 / 60e3 / Math.sqrt(275790.3))).toBeCloseTo(
      1,
      1,
    );
    expect(baseline!.relativeStandardUncertainty).toBeGreaterThan(6e-4);
    expect(baseline!.relativeStandardUncertainty).toBeLessThan(0.02);
  });

  test('a sweep whose catches are all struck can’t be one: the others serve, and it is said', () => {
    const [first] = sweepsOf(measured, 'Reel A');
    const strikes = measured
      .filter((r): r is Catch => r.kind === 'catch' && r.sweepId === first)
      .map(strikeOf);
    const tip = tipOf([...measured, ...strikes], 'Reel A');
    expect(tip.baseline!.sweepIds).toHaveLength(2);
    expect(tip.warnings).toContain('baseline-sweep-unusable');
    expect(tip.drift!.limitsBecause).toBe('baseline-of-two');
  });

  test('all of them void: no baseline, and that is why', () => {
    const ids = sweepsOf(measured, 'Reel A').slice(0, 3);
    const strikes = measured
      .filter((r): r is Catch => r.kind === 'catch' && ids.includes(r.sweepId))
      .map(strikeOf);
    expect(tipOf([...measured, ...strikes], 'Reel A')).toMatchObject({
      baseline: null,
      baselineBecause: 'baseline-void',
      driftBecause: 'baseline-void',
    });
  });

  test('a baseline of one: points without limits', () => {
    const tip = tipOf(without(sweepsOf(measured, 'Reel A').slice(0, 2)), 'Reel A');
    expect(tip.drift!.limitsBecause).toBe('baseline-of-one');
    expect(tip.drift!.points).toHaveLength(14);
    expect(tip.drift!.points.every(({ limit }) => limit === null)).toBe(true);
  });

  test('what the person named is it; a name from another tip names nothing', () => {
    const [, , third, fourth] = sweepsOf(measured, 'Reel C');
    const tip = tipOf([...measured, facts({ baselineSweepIds: [third!, fourth!] })], 'Reel C');
    expect(tip.baseline!.sweepIds).toEqual([third, fourth]);
    const other = tipOf(
      [...measured, facts({ baselineSweepIds: sweepsOf(measured, 'Reel A').slice(0, 3) })],
      'Reel C',
    );
    expect(other.baselineBecause).toBe('no-baseline');
  });

  test('"this tip is new" months later begins a new baseline', () => {
    const renewed = sweepsOf(measured, 'Reel A').at(-1);
    const records = measured.map((r): BenchRecord =>
      r.kind === 'sweep' && r.sweepId === renewed ? { ...r, setup: { ...r.setup, occasion: 'new-tip' } } : r,
    );
    expect(tipOf(records, 'Reel A').baseline!.sweepIds).toEqual([renewed]);
    expect(tipOf(records, 'Reel A').driftBecause).toBe('no-check-yet');
  });

  test('a baseline holds on its own rig only', () => {
    const moved = measured.map((r): BenchRecord =>
      r.kind === 'sweep' && r.setup.occasion !== 'new-tip'
        ? { ...r, setup: { ...r.setup, rig: { ...r.setup.rig, name: 'another' } } }
        : r,
    );
    expect(tipOf(moved, 'Reel A')).toMatchObject({
      rigName: 'another',
      baseline: null,
      baselineBecause: 'no-baseline',
    });
  });
});

describe('the wrong tip', () => {
  const swapped = sweepsOf(measured, 'Reel C').at(-3)!;
  test('answered yes it counts, answered no nothing is left to ask', () => {
    const answered = (isThisTip: boolean) =>
      tipOf([...measured, facts({ answered: [{ sweepId: swapped, isThisTip }] })], 'Reel C');
    const of = (tip: RackTip) => tip.drift!.points.find(({ sweepId }) => sweepId === swapped)!;
    expect(of(answered(true)).leftOutBecause).toBeNull();
    expect(of(answered(false)).leftOutBecause).toBe('is-this-the-tip');
    expect(answered(false).warnings).not.toContain('is-this-the-tip');
    expect(tipOf(measured, 'Reel C').warnings).toContain('is-this-the-tip');
  });

  test('answered no, it is kept in its list and is no part of finding, curve, comparison, tip or rig', () => {
    const newest = sweepsOf(measured, 'Reel C').at(-1)!;
    const larger = measured.map((r): BenchRecord =>
      r.kind === 'catch' && r.sweepId === newest && r.shown.flow_m3_per_s !== null
        ? { ...r, shown: { ...r.shown, flow_m3_per_s: 1.4 * r.shown.flow_m3_per_s } }
        : r,
    );
    const records = [...larger, facts({ answered: [{ sweepId: newest, isThisTip: false }] })];
    const tip = tipOf(records, 'Reel C');
    const never = tipOf(without([newest]), 'Reel C');
    expect(tip.notThisTip!.map(({ sweepId }) => sweepId)).toEqual([newest]);
    expect(tip.sweeps).toEqual(never.sweeps);
    expect(tip.curve).toEqual(never.curve);
    expect(tip.diagnosis).toEqual(never.diagnosis);
    expect(tip.drift!.points.at(-1)).toMatchObject({ sweepId: newest, isThisTip: false });
    expect(tip.drift!.points.slice(0, -1)).toEqual(never.drift!.points);
    const rig = (view: readonly BenchRecord[]) =>
      assembleRack(view).rigs.find(({ key }) => key === `measured:${never.rigName.toLowerCase()}`)!.tipOrRig;
    expect(rig(records)).toEqual(rig(without([newest])));
    const keys = ['measured:reel c', 'measured:reel a'];
    expect(compareRackTips(records, keys, keys[1]!)).toEqual(
      compareRackTips(without([newest]), keys, keys[1]!),
    );
    // Taken back, it is this tip's again.
    expect(tipOf(larger, 'Reel C').notThisTip).toBeUndefined();
  });

  test('struck out, it is no point any more', () => {
    const strikes = measured
      .filter((r): r is Catch => r.kind === 'catch' && r.sweepId === swapped)
      .map(strikeOf);
    const tip = tipOf([...measured, ...strikes], 'Reel C');
    expect(tip.drift!.points.some(({ sweepId }) => sweepId === swapped)).toBe(false);
    expect(tip.warnings).not.toContain('is-this-the-tip');
  });
});

describe('a finding that was there before', () => {
  // A sweep, thirteen weekly checks, three of a new tip; the newest and the third oldest give 12 % more.
  const ids = sweepsOf(measured, 'Reel A').toReversed();
  const [first, third] = [ids.at(-1)!, ids.at(-3)!];
  const worn = measured.map((r): BenchRecord =>
    r.kind === 'catch' && [ids[0], third].includes(r.sweepId) && r.shown.flow_m3_per_s !== null
      ? { ...r, shown: { ...r.shown, flow_m3_per_s: 1.12 * r.shown.flow_m3_per_s } }
      : r,
  );
  const found = (baselineSweepIds: readonly string[]) => {
    const { diagnosis } = tipOf([...worn, facts({ name: 'Reel A', baselineSweepIds })], 'Reel A');
    return [diagnosis!.reference.from, diagnosis!.finding.cause, diagnosis!.standing];
  };

  test('since the baseline makes it the second', () => {
    expect(found([first])).toEqual(['baseline', 'worn', 'found-twice']);
  });

  test('before the baseline was the old tip’s: it is seen for the first time', () => {
    expect(found([ids.at(-4)!])).toEqual(['baseline', 'worn', 'look-again']);
  });
});

describe('tips against each other', () => {
  const compare = (...names: string[]) =>
    compareRackTips(
      measured,
      names.map((name) => `measured:${name.toLowerCase()}`),
      `measured:${names[0]!.toLowerCase()}`,
    );

  test('two of one rig and day: their ratio, with its interval', () => {
    const compared = compare('Backpack A', 'Backpack B');
    if (!compared.ok) throw new Error(compared.because);
    const [pair] = compared.value.pairs;
    // 1.5 × (1 + 0.6 % × 14 weeks) over 1.52.
    const truth = (1.5 * 1.084) / 1.52;
    expect(Math.abs(pair!.compared!.ratio - truth)).toBeLessThan(2 * pair!.compared!.expandedUncertainty95);
    expect(pair!.compared!.verdict).toBe('different');
    expect(compared.value.curves.map(({ name }) => name)).toEqual(['Backpack A', 'Backpack B']);
  });

  test('of two rigs without any tie of their pressures: refused, and said why', () => {
    const compared = compare('Backpack A', 'Reel A');
    if (!compared.ok) throw new Error(compared.because);
    expect(compared.value.pairs[0]).toMatchObject({ compared: null, comparedBecause: 'rigs-not-tied' });
    expect(compared.value.pairs[0]!.notAlike).toContain('another-rig');
  });

  test('one, seven, unknown', () => {
    expect(compare('Backpack A')).toMatchObject({ ok: false, because: 'tips-two-to-six' });
    expect(compare('Backpack A', 'Backpack A')).toMatchObject({ ok: false, because: 'tips-two-to-six' });
    expect(compare('Backpack A', 'B', 'C', 'D', 'E', 'F', 'G')).toMatchObject({ because: 'tips-two-to-six' });
    expect(compare('Backpack A', 'nobody')).toMatchObject({ ok: false, because: 'tip-not-found' });
  });
});

type Catch = Extract<BenchRecord, { kind: 'catch' }>;
let strikes = 5000;
function strikeOf(record: Catch): BenchRecord {
  strikes += 1;
  return {
    ...aStrike(strikes, 1, record.start_s),
    ...anEnvelope(strikes, 1),
    id: anId(strikes),
    sweepId: record.sweepId,
    simulated: record.simulated,
    recordedAt_ms: record.recordedAt_ms + day_ms / 2,
  };
}
