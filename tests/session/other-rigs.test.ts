import { describe, expect, it } from 'vitest';
import { checkSetup } from '../../src/session/plan.ts';
import { TankWatch } from '../../src/session/tank-watch.ts';
import type { RigSetup } from '../../src/session/sweep-setup.ts';
import { analysed } from '../analysis/sweep/analysed.ts';
import { guidedSweep } from '../builders/guided-sweep.ts';
import { aSetup, psi } from '../builders/setup.ts';

function rigged(rig: Partial<RigSetup>, seed = 9) {
  const setup = aSetup({
    rig: { ...aSetup().rig, scaleLimit_kg: 40, ...rig },
    settings_Pa: psi(20, 50),
    catchesPerSetting: 1,
  });
  const { kind, standsOnScale, strokePeriod_s } = setup.rig;
  return guidedSweep({
    setup,
    bench: { rig: { kind, standsOnScale, strokePeriod_s }, scaleLimit_kg: 40 },
    seed,
  });
}

/** What the saved capture gives is what the screen shows, to the last digit. */
function expectSameFromFile(sweep: ReturnType<typeof guidedSweep>): void {
  const saved = analysed(sweep.captureText());
  expect(saved.analysis.catches).toEqual(sweep.live.analysis!.catches);
  expect(saved.rig).toEqual(sweep.live.view().rig);
}

describe('a sweep with the sprayer on the scale', () => {
  it('asks for refills instead of an emptied pail, and its file says what its screen says (seed 9)', () => {
    const sweep = rigged({ standsOnScale: 'sprayer', pailVolume_m3: 0.0018 });
    sweep.run(1500);
    expect(sweep.live.phase).toBe('done');
    const said = sweep.announcements.map(({ kind }) => kind);
    expect(said).toContain('refill-tank');
    expect(said).not.toContain('empty-pail');
    const first = sweep.prompts.find((prompt) => prompt.kind === 'set-and-spray');
    expect(first).toMatchObject({ rig: { kind: 'held', standsOnScale: 'sprayer' } });
    const caught = sweep.live.analysis!.catches;
    expect(caught.map((c) => c.voidBecause)).toEqual([null, null]);
    for (const c of caught) {
      expect(c.mass_kg).toBeGreaterThan(0.3);
      const truth = sweep.bench.truth.find((pour) => Math.abs(pour.start_s - c.start_s) < 2)!;
      expect(Math.abs(c.flow_m3_per_s! - truth.meanFlow_m3_per_s!)).toBeLessThan(
        c.expandedUncertainty95_m3_per_s!,
      );
    }
    expectSameFromFile(sweep);
  });

  it('is told to shut off before the tank runs dry', () => {
    const sweep = rigged({ standsOnScale: 'sprayer', pailVolume_m3: 0.001 });
    sweep.run(600, ({ announcements }) => announcements.some((a) => a.kind === 'enough'));
    expect(sweep.announcements.find((a) => a.kind === 'enough')).toMatchObject({ because: 'tank-low' });
    expect(sweep.live.view().pail.level_kg).toBeLessThan(0.11);
    expect(sweep.live.view().pail.level_kg).toBeGreaterThan(0.05);
  });
});

describe('a sweep with a pump worked by hand', () => {
  it('runs at least twenty whole strokes a catch, and its file says what its screen says (seed 9)', () => {
    const sweep = rigged({ kind: 'pumped-while-spraying', strokePeriod_s: 2 });
    sweep.run(1500);
    expect(sweep.live.phase).toBe('done');
    for (const c of sweep.live.analysis!.catches) expect(c.stop_s - c.start_s).toBeGreaterThan(2 * 20);
    for (const seen of sweep.live.view().rig!.catches) expect(seen).toMatchObject({ kind: 'strokes' });
    for (const c of sweep.live.analysis!.catches) expect(c.warnings).toEqual([]);
    expectSameFromFile(sweep);
  });
});

describe('a sweep with a hose reel', () => {
  it('says that the hose swells until it is steady, and measures from there (seed 9)', () => {
    const sweep = rigged({ kind: 'hose-reel' });
    sweep.run(1500);
    expect(sweep.live.phase).toBe('done');
    const sprayed = sweep.prompts.filter((prompt) => prompt.kind === 'keep-spraying');
    expect(sprayed.filter((prompt) => prompt.swelling === true).length).toBeGreaterThanOrEqual(2);
    expect(sprayed.filter((prompt) => prompt.swelling === undefined).length).toBeGreaterThanOrEqual(2);
    for (const c of sweep.live.analysis!.catches) {
      const truth = sweep.bench.truth.find((pour) => Math.abs(pour.start_s - c.start_s) < 2)!;
      expect(Math.abs(c.flow_m3_per_s! / truth.flow_m3_per_s - 1)).toBeLessThan(0.006);
      // The whole catch is lower than that: the hose took its share.
      expect(truth.meanFlow_m3_per_s! / truth.flow_m3_per_s).toBeLessThan(0.995);
    }
    expectSameFromFile(sweep);
  });
});

describe('a sweep with a pumped-up can', () => {
  it('has no curve and says why, and tells each catch by its rows (seed 9)', () => {
    const sweep = rigged({ kind: 'pumped-up' });
    sweep.run(1500);
    expect(sweep.live.phase).toBe('done');
    const view = sweep.live.view();
    expect(view.picture).toBeNull();
    expect(view.pictureBecause).toBe('pressure-falls');
    expect(view.rig!.catches.map((seen) => (seen?.kind === 'falling' ? seen.rows.length : 0))).toEqual([
      3, 3,
    ]);
    expectSameFromFile(sweep);
  });
});

describe('a sweep with a pumped-up can and a pressure sensor', () => {
  const setup = aSetup({
    rig: { ...aSetup().rig, scaleLimit_kg: 40, kind: 'pumped-up' },
    settings_Pa: psi(30, 50),
    catchesPerSetting: 1,
  });
  /** Until the first pour has closed; `during` is done while it runs. */
  const firstPour = (during: (sweep: ReturnType<typeof guidedSweep>) => void = () => undefined) => {
    const closed: number[] = [];
    const sweep = guidedSweep({
      setup,
      bench: {
        rig: { kind: 'pumped-up', standsOnScale: 'pail', strokePeriod_s: null },
        instrument: 'bench-board',
        pressureFullScale_Pa: psi(100)[0]!,
        scaleLimit_kg: 40,
      },
      seed: 9,
    });
    const apply = sweep.apply.bind(sweep);
    let asked = false;
    sweep.apply = (commands) => {
      for (const command of commands) if (command.kind === 'catch-closed') closed.push(command.index);
      apply(commands);
    };
    sweep.run(600, () => {
      if (!asked && (sweep.live.view().running?.elapsed_s ?? 0) > 22) {
        asked = true;
        during(sweep);
      }
      return closed.length > 0;
    });
    expect(asked).toBe(true);
    return { sweep, closed };
  };
  const struck = ({ live }: ReturnType<typeof guidedSweep>) => live.view().catches.map((c) => c.struck);

  it('has every point of a pour kept, and each struck and taken back by itself (seed 9)', () => {
    const { sweep, closed } = firstPour();
    const points = sweep.live.view().catches;
    expect(points.length).toBeGreaterThan(2);
    expect(closed).toEqual(points.map((_, i) => i));
    const struckOne = sweep.live.strike(2, 'knocked', 999);
    expect(struckOne.ok).toBe(true);
    if (struckOne.ok) sweep.apply(struckOne.value);
    expect(struck(sweep)).toEqual(points.map((_, i) => i === 2));
    expect(sweep.live.view().catches[2]!.struckReason).toBe('knocked');
    expectSameFromFile(sweep);
    const back = sweep.live.undoStrike(2, 999);
    expect(back.ok).toBe(true);
    expect(struck(sweep)).not.toContain(true);
  });

  it('is struck whole while it runs, and when it closed before the strike came (seed 9)', () => {
    let start_s = NaN;
    const { sweep } = firstPour((running) => {
      start_s = running.live.view().running!.start_s;
      const asked = running.live.strikeStarted(start_s, 'hand slipped', start_s + 12);
      if (asked.ok) running.apply(asked.value);
    });
    const isAll = (is: boolean) => expect(new Set(struck(sweep))).toEqual(new Set([is]));
    expect(struck(sweep).length).toBeGreaterThan(1);
    isAll(true);
    struck(sweep).forEach((_, i) => expect(sweep.live.undoStrike(i, 999).ok).toBe(true));
    isAll(false);
    expect(sweep.live.strikeStarted(start_s, 'hand slipped', 999).ok).toBe(true);
    isAll(true);
    expect(sweep.live.strikeStarted(start_s, 'hand slipped', 999)).toMatchObject({
      ok: false,
      because: 'nothing-to-strike',
    });
  });
});

describe('what can’t be measured is refused before it begins', () => {
  const at = (rig: Partial<RigSetup>) => checkSetup(aSetup({ rig: { ...aSetup().rig, ...rig } }));

  it.each([null, 0, -1, 0.2, 30, NaN])('a beat of %s', (strokePeriod_s) => {
    expect(at({ kind: 'pumped-while-spraying', strokePeriod_s })).toMatchObject({
      ok: false,
      because: 'beat-missing',
    });
  });

  it('strokes on a sprayer that stands on the scale', () => {
    expect(
      at({ kind: 'pumped-while-spraying', strokePeriod_s: 1.5, standsOnScale: 'sprayer' }),
    ).toMatchObject({
      ok: false,
      because: 'pumping-presses-on-scale',
    });
    expect(at({ kind: 'pumped-up', standsOnScale: 'sprayer' }).ok).toBe(true);
  });
});

describe('the water in the tank', () => {
  const tank = (fill_m3 = 0.01): TankWatch => new TankWatch({ pailVolume_m3: fill_m3 });

  it('is the typed fill less what the sprayer has lost; a tenth of it stays', () => {
    const watch = tank();
    watch.quiet(-15);
    expect(watch.told_kg).toBeCloseTo(10, 9);
    watch.quiet(-11);
    expect(watch.told_kg).toBeCloseTo(6, 9);
    expect(watch.room_kg).toBeCloseTo(5, 9);
    expect(watch.isEmpty).toBe(false);
    expect(watch.fits(0.1, 49)).toBe(true);
    expect(watch.fits(0.1, 51)).toBe(false);
    expect(watch.rising(-6.1)).toBe(false);
    expect(watch.rising(-5.9)).toBe(true);
  });

  it('is full again after a refill, and not by being lifted and set back', () => {
    const watch = tank();
    watch.quiet(-15);
    watch.quiet(-9);
    watch.replaced(-9.02, false);
    expect(watch.told_kg).toBeCloseTo(4.02, 9);
    watch.replaced(-14.7, false);
    expect(watch.told_kg).toBeCloseTo(10, 9);
    watch.quiet(-14.7);
    watch.replaced(-14.6, true);
    expect(watch.told_kg).toBeCloseTo(10, 9);
  });

  it('is not lost when the scale is set to zero', () => {
    const watch = tank();
    watch.quiet(-15);
    watch.tared();
    watch.quiet(2);
    expect(watch.told_kg).toBeCloseTo(8, 9);
  });

  it('counts what ran before a sweep was taken up, at most a whole tank', () => {
    const watch = tank();
    watch.assumeWater(25);
    watch.quiet(-7);
    expect(watch.told_kg).toBe(0);
    expect(watch.room_kg).toBe(0);
    watch.replaced(-16, true);
    expect(watch.told_kg).toBeCloseTo(10, 9);
  });
});
