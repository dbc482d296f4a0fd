import { describe, expect, it } from 'vitest';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import { moreRounds } from '../../../src/session/routine/more-rounds.ts';
import { nextLabel, routineOrder } from '../../../src/session/routine/routine-order.ts';
import type { SeveralTips } from '../../../src/analysis/sweep/several-tips.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { HandFedSweep } from '../../builders/hand-fed-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

function twoTips(catchesPerSetting: number, wantedDifference = 0.02, name = 'grey tip 8'): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting,
    targetRelative: 0.02,
    routine: {
      kind: 'tip-against-tip',
      otherTip: { name, ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
      wantedDifference,
    },
  });
}

function handFed(setup: SweepSetup): HandFedSweep {
  return new HandFedSweep(
    setup,
    routineOrder(setup).map(() => setup.settings_Pa[0]!),
  );
}

const done = (sweep: HandFedSweep): number[] => sweep.live.view().routine!.plan.map((p) => p.done);

describe('at the change of a tip', () => {
  /** One good catch of A; B was asked for a moment ago. */
  function atTheChange(): HandFedSweep {
    const sweep = handFed(twoTips(2));
    sweep.run(6).run(40, 25).run(4);
    expect(sweep.live.prompt).toMatchObject({
      kind: 'set-and-spray',
      nozzle: { of: 'tips', index: 1, change: 'change' },
    });
    return sweep;
  }

  it('water sooner than anybody can change it counts for neither tip, and that is said', () => {
    const sweep = atTheChange();
    sweep.run(15, 25).run(6);
    expect(sweep.said).toContainEqual({ kind: 'enough', because: 'tip-not-changed' });
    expect(sweep.said).toContainEqual({ kind: 'void', because: 'tip-not-changed' });
    expect(done(sweep)).toEqual([1, 0]);
    // The change is asked for again, not only the water.
    expect(sweep.live.prompt).toMatchObject({
      kind: 'set-and-spray',
      nozzle: { index: 1, change: 'change' },
    });
    sweep.run(10).run(20, 25).run(8);
    expect(done(sweep)).toEqual([1, 1]);
  });

  it('a splash of the pressure let out into the pail is no catch', () => {
    const sweep = atTheChange();
    sweep.run(1.5).run(2, 25).run(20);
    expect(done(sweep)).toEqual([1, 0]);
    sweep.run(20, 25).run(8);
    expect(done(sweep)).toEqual([1, 1]);
  });

  it('a struck catch of A is asked for again, with its tip', () => {
    const sweep = atTheChange();
    sweep.run(20).run(20, 25).run(8);
    expect(done(sweep)).toEqual([1, 1]);
    const struck = sweep.live.strike(0, 'the wand slipped', sweep.now_s);
    expect(struck.ok).toBe(true);
    expect(done(sweep)).toEqual([0, 1]);
    expect(sweep.live.prompt).toMatchObject({ nozzle: { index: 0, change: 'change' } });
  });

  it('water while it is paused counts for nothing', () => {
    const sweep = atTheChange();
    sweep.take(sweep.live.pause(sweep.now_s));
    sweep.run(10).run(20, 25).run(8);
    expect(done(sweep)).toEqual([1, 0]);
    sweep.take(sweep.live.goOn(sweep.now_s));
    expect(sweep.live.prompt).toMatchObject({ nozzle: { index: 1, change: 'change' } });
  });

  it('a name with any characters is kept in the capture and comes back from it', () => {
    const odd = '=cmd|"x"\\ <i>8</i> é';
    const sweep = guidedSweep({ setup: twoTips(2, 0.05, odd) });
    sweep.run(1500);
    const labels = sweep.live.view().catches.map((c) => c.label);
    expect(labels.filter((label) => label === odd)).toHaveLength(2);
    // As a note is: no line of the capture can be forged by it.
    expect(sweep.captureText()).not.toContain(odd);
  });
});

describe('when the planned catches are there', () => {
  it('offers more where they scatter too much for the difference that was wanted, and takes them in whole rounds', () => {
    const sweep = guidedSweep({
      setup: { ...twoTips(2, 0.002), targetRelative: 0.01 },
      bench: { scenario: 'rough' },
      seed: 6,
    });
    sweep.run(2000, (s) => s.live.prompt.kind === 'more-catches');
    const { prompt } = sweep.live;
    if (prompt.kind !== 'more-catches') throw new Error('nothing was offered');
    expect(sweep.live.phase).toBe('paused');
    const offered = prompt.catchesPerTip;
    expect(offered % 2).toBe(0);
    sweep.apply(sweep.live.goOn(sweep.bench.now_s));
    expect(sweep.live.view().routine!.plan.map((p) => p.wanted)).toEqual([2 + offered, 2 + offered]);
    sweep.run(1000, (s) => s.live.view().routine!.plan.every((p) => p.done >= 4));
    expect(sweep.live.view().routine!.plan.every((p) => p.done >= 4)).toBe(true);
  });

  it('ends with what is there if the person wants no more, and never offers again', () => {
    const sweep = guidedSweep({
      setup: { ...twoTips(2, 0.002), targetRelative: 0.01 },
      bench: { scenario: 'rough' },
      seed: 6,
    });
    sweep.run(2000, (s) => s.live.prompt.kind === 'more-catches');
    sweep.apply(sweep.live.end(sweep.bench.now_s));
    expect(sweep.live.phase).toBe('done');
    expect(sweep.live.view().routine!.several).not.toBeNull();
  });

  const two = (ratio: number, half: number): SeveralTips => ({
    kind: 'two',
    tip: 'B',
    against: 'A',
    compared: {
      ratio,
      relativeStandardUncertainty: half / 2,
      degreesOfFreedom: 6,
      expandedUncertainty95: half,
      verdict: Math.abs(ratio - 1) > half ? 'different' : 'none-seen',
      largestDifference: Math.abs(ratio - 1) + half,
    },
    comparedBecause: null,
    catchStandardDeviation: half,
    drift: null,
  });

  it('has enough when the ± is within the wanted difference, or the planned catches show one', () => {
    const setup = twoTips(4, 0.01);
    const planned = { catches: 8, planned: 8 };
    expect(moreRounds(setup, two(1.001, 0.009), planned)).toBeNull();
    expect(moreRounds(setup, two(1.05, 0.02), planned)).toBeNull();
    // Half-width twice as wide: four times as many catches, sixteen of each in all, so twelve more: six rounds, four at most.
    expect(moreRounds(setup, two(1.001, 0.02), planned)).toBe(4);
    expect(moreRounds(setup, two(1.001, 0.0102), planned)).toBe(1);
    // A later look goes by the width alone.
    expect(moreRounds(setup, two(1.05, 0.02), { catches: 12, planned: 8 })).toBe(4);
    expect(moreRounds(setup, two(1.001, 0.02), { catches: 120, planned: 8 })).toBeNull();
  });
});

describe('the order of a routine', () => {
  it('two tips: whole rounds of A B B A, an odd number made even', () => {
    const order = (n: number): string =>
      routineOrder(twoTips(n))
        .map((l) => (l === 'grey tip 7' ? 'A' : 'B'))
        .join('');
    expect([2, 3, 4].map(order)).toEqual(['ABBA', 'ABBAABBA', 'ABBAABBA']);
  });

  it('a boom: position by position, the first again at the end, as often as at first', () => {
    const boom = { ...twoTips(2), routine: { kind: 'boom', positions: 3 } } as const;
    expect(routineOrder(boom)).toEqual(['1', '1', '2', '2', '3', '3', '1', '1']);
    expect(
      nextLabel(
        routineOrder(boom),
        new Map([
          ['1', 2],
          ['2', 1],
        ]),
      ),
    ).toBe('2');
    expect(
      nextLabel(
        routineOrder(boom),
        new Map([
          ['1', 2],
          ['2', 2],
          ['3', 2],
        ]),
      ),
    ).toBe('1');
    expect(
      nextLabel(
        routineOrder(boom),
        new Map([
          ['1', 4],
          ['2', 2],
          ['3', 2],
        ]),
      ),
    ).toBeNull();
  });
});
