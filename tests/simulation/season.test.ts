import { describe, expect, test } from 'vitest';
import { assembleRack } from '../../src/records/rack/rack.ts';
import { parseRecord } from '../../src/records/schemas/record.ts';
import {
  SEASON_WEEKS,
  simulatedSeason,
  SLIPPED_FROM,
  SLIPPED_UNTIL,
  SWAPPED_IN,
} from '../../src/simulation/season.ts';

const END_ms = Date.UTC(2026, 10, 25, 18);
const records = simulatedSeason(2, END_ms);
const rack = assembleRack(records);
const tip = (name: string) => rack.tips.find((one) => one.name === name)!;

describe('the invented season', () => {
  test('every record is one of the book, marked simulated, with an id of its own', () => {
    for (const record of records) expect(parseRecord(record)).toMatchObject({ ok: true });
    expect(records.every(({ simulated }) => simulated)).toBe(true);
    expect(new Set(records.map(({ id }) => id)).size).toBe(records.length);
    expect(Math.max(...records.map(({ recordedAt_ms }) => recordedAt_ms))).toBeLessThan(END_ms);
  });

  test('equal seeds, equal books; other seeds, others', () => {
    expect(simulatedSeason(2, END_ms)).toEqual(records);
    expect(simulatedSeason(7, END_ms)).not.toEqual(records);
  });

  test('two rigs, eight tips, all simulated', () => {
    expect(rack.rigs.map(({ name, simulated }) => [name, simulated])).toEqual([
      ['Invented backpack', true],
      ['Invented hose reel', true],
    ]);
    expect(rack.tips).toHaveLength(8);
    expect(rack.tips.every(({ simulated, key }) => simulated && key.startsWith('simulated:'))).toBe(true);
  });
});

describe('the rack finds what was put into it', () => {
  test.each([
    ['Backpack A', 'no fault shown'],
    ['Backpack B', 'worn'],
    ['Backpack C', 'restricted'],
    ['Reel D', 'leaking'],
    ['Reel A', 'no fault shown'],
    ['Reel B', 'worn'],
  ])('%s: %s', (name, cause) => {
    expect(tip(name).diagnosis?.finding.cause).toBe(cause);
    expect(tip(name).diagnosis?.reference.from).toBe('baseline');
  });

  test('sound tips do not signal; the worn, restricted and leaking ones do', () => {
    const signals = (name: string) => tip(name).drift!.points.some((point) => point.signals);
    for (const name of ['Backpack A', 'Reel A', 'Reel C'])
      expect([name, signals(name)]).toEqual([name, false]);
    for (const name of ['Backpack B', 'Backpack C', 'Reel D', 'Reel B'])
      expect([name, signals(name)]).toEqual([name, true]);
  });

  test('the slipped regulator is the rig’s in both its weeks', () => {
    const { rigJumps, points } = tip('Reel A').drift!;
    // There, and back again.
    expect(rigJumps).toHaveLength(2);
    expect(rigJumps[0]!.jump).toBeLessThan(-0.03);
    expect(rigJumps[1]!.jump).toBeGreaterThan(0.03);
    for (const { tips } of rigJumps) expect(tips).toBeGreaterThanOrEqual(3);
    for (let week = SLIPPED_FROM; week < SLIPPED_UNTIL; week++)
      expect(points[week - 1]!.sharedJump).toBe(rigJumps[0]!.jump);
    expect(points[SLIPPED_FROM - 1]!.sharedJump).toBeLessThan(-0.03);
    expect(tip('Backpack A').drift!.rigJumps).toEqual([]);
  });

  test('the wrong tip is asked about and does not count', () => {
    const { drift, warnings } = tip('Reel C');
    expect(drift!.points[SWAPPED_IN - 1]!.leftOutBecause).toBe('is-this-the-tip');
    expect(drift!.points[SWAPPED_IN - 1]!.deviation).toBeLessThan(-0.35);
    expect(warnings).toContain('is-this-the-tip');
  });

  test('wear is carried on: the true week of +10 % lies in the forecast', () => {
    // 0.6 % a week from the baseline on.
    const b = tip('Backpack B').drift!;
    expect(b.points).toHaveLength(SEASON_WEEKS);
    expect(b.forecast!.earliest).toBeLessThan(10 / 0.6);
    expect(b.forecast!.latest!).toBeGreaterThan(10 / 0.6);
  });

  test('tip or rig: on the backpack the tips are to blame, and the drawer tip vouches for the rig', () => {
    const { tipOrRig } = rack.rigs.find(({ name }) => name === 'Invented backpack')!;
    if ('because' in tipOrRig) throw new Error(tipOrRig.because);
    expect(tipOrRig).toMatchObject({ since: 'baseline', anchored: 'drawer-tip' });
    const blame = new Map(tipOrRig.tips.map((one) => [one.key, one]));
    expect(blame.get('simulated:backpack b')!.blame).toBe('tip');
    expect(blame.get('simulated:backpack c')!.blame).toBe('tip');
    expect(blame.get('simulated:backpack a')!.blame).not.toBe('tip');
    expect(blame.get('simulated:backpack b')!.tipPart.value).toBeCloseTo(1.084, 1);
  });

  test('tip or rig: on the reel the tip that leaks is left out, and the worn one is the tip’s own doing', () => {
    const { tipOrRig } = rack.rigs.find(({ name }) => name === 'Invented hose reel')!;
    if ('because' in tipOrRig) throw new Error(tipOrRig.because);
    expect(tipOrRig.leftOut).toEqual([{ key: 'simulated:reel d', shows: 'leaking' }]);
    expect(tipOrRig.warnings).toContain('tips-left-out');
    expect(tipOrRig.tips.map(({ key, blame }) => [key, blame])).toEqual([
      ['simulated:reel a', 'neither'],
      ['simulated:reel b', 'tip'],
      ['simulated:reel c', 'neither'],
    ]);
    // A and C did not change; B takes a tenth more.
    for (const [i, true_] of [1, 1.1, 1].entries()) {
      const { value, expandedUncertainty95: half } = tipOrRig.tips[i]!.deviation;
      expect(Math.abs(value - true_)).toBeLessThan(Math.min(half, 0.015));
    }
    expect(Math.abs(tipOrRig.lostAtLargest!.value)).toBeLessThan(0.02);
  });

  test('the drawer tip: kept so, its baseline there, one check', () => {
    expect(tip('Drawer')).toMatchObject({ drawer: true, isoSize: '04', driftBecause: null });
    expect(tip('Drawer').drift!.points).toHaveLength(1);
  });
});
