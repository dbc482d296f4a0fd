import { describe, expect, it } from 'vitest';
import { gapReasons, voidReasons, withdrawnReasons } from '../../../src/base/because.ts';
import type { CatchEvent } from '../../../src/signal/catches/catch-event.ts';
import { trace, type Stretch } from '../../builders/trace.ts';
import { catches, detector, hear, hearPoints, hearWith, kinds, onlyCatch, plainPour } from './hear.ts';

describe('a plain pour', () => {
  it('is told as maybe, filling, settling, closed, in this order and in time', () => {
    const events = hear(plainPour(20));
    expect(kinds(events)).toEqual(['maybe', 'filling', 'settling', 'closed']);
    const [maybe, filling, settling, closed] = events.map((event) => event.at_s);
    expect(maybe).toBeLessThan(5 + 1.3);
    expect(filling).toBeLessThan(5 + 3.1);
    expect(settling).toBeLessThan(25 + 1.5);
    expect(closed).toBeLessThan(25 + 3.5);
  });

  it.each([2, 5, 10, 12, 20, 40, 80])(
    'has its edges within a reading or 0.15 s at %i readings a second',
    (rate_Hz) => {
      const caught = onlyCatch(hear([{ flat_s: 3 }, ...plainPour(20)], { rate_Hz }));
      const slack_s = Math.max(0.15, 1 / rate_Hz);
      expect(Math.abs(caught.start_s - 8)).toBeLessThan(slack_s);
      expect(Math.abs(caught.stop_s - 28)).toBeLessThan(slack_s);
      expect(caught.voidBecause).toBeNull();
    },
  );

  it('keeps the levels before and after, and the push of the jet', () => {
    const caught = onlyCatch(hear(plainPour(20), { noise_g: 0.3, step_g: 0.1 }));
    expect(caught.before_kg).toBeCloseTo(0.5, 3);
    expect(caught.settled_kg).toBeCloseTo(0.9, 3);
    expect(caught.jet_kg).toBeGreaterThan(0.006);
    expect(caught.jet_kg).toBeLessThan(0.01);
  });

  it('has no jet when nothing presses, and never a negative one', () => {
    const caught = onlyCatch(hear([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 20 }, { flat_s: 5 }]));
    expect(caught.jet_kg).toBeGreaterThanOrEqual(0);
    expect(caught.jet_kg).toBeLessThan(0.002);
  });

  it('gives the same catch from 80 readings a second as from 10', () => {
    const [slow, fast] = [10, 80].map((rate_Hz) => onlyCatch(hear(plainPour(20), { rate_Hz, noise_g: 0.3 })));
    expect(Math.abs((slow?.start_s ?? 0) - (fast?.start_s ?? 9))).toBeLessThan(0.15);
    expect(Math.abs((slow?.stop_s ?? 0) - (fast?.stop_s ?? 9))).toBeLessThan(0.15);
    expect(Math.abs((slow?.settled_kg ?? 0) - (fast?.settled_kg ?? 9))).toBeLessThan(0.001);
  });

  it('is heard with every tenth reading lost', () => {
    const points = trace(plainPour(20)).filter((_, i) => i % 10 !== 3);
    const caught = onlyCatch(hearPoints(points));
    expect(Math.abs(caught.start_s - 5)).toBeLessThan(0.2);
    expect(caught.voidBecause).toBeNull();
  });

  it('shows its state and level while it listens', () => {
    const listener = detector();
    const seen = new Set<string>();
    let level_kg: number | null = null;
    for (const { time_s, mass_kg } of trace(plainPour(20))) {
      listener.push(time_s, mass_kg);
      seen.add(listener.state);
      if (time_s < 5) level_kg = listener.level_kg;
    }
    expect([...seen]).toEqual(['quiet', 'maybe', 'filling', 'settling']);
    expect(level_kg).toBeCloseTo(0.5, 3);
    expect(listener.state).toBe('quiet');
    expect(listener.level_kg).toBeCloseTo(0.9, 3);
  });
});

describe('pours in a row', () => {
  it('are one catch when the water is off for less than two seconds', () => {
    const pour: Stretch = { pour_g_per_s: 20, lasts_s: 10, jet_g: 8 };
    const events = hear([{ flat_s: 5 }, pour, { flat_s: 1.2 }, pour, { flat_s: 6 }]);
    expect(kinds(events)).toContain('filling-again');
    const caught = onlyCatch(events);
    expect(Math.abs(caught.start_s - 5)).toBeLessThan(0.2);
    expect(Math.abs(caught.stop_s - 26.2)).toBeLessThan(0.2);
  });

  it.each([2.6, 3.2, 6])('are two catches when it is off for %f seconds', (off_s) => {
    const pour: Stretch = { pour_g_per_s: 20, lasts_s: 10, jet_g: 8 };
    const [first, second, ...more] = catches(
      hear([{ flat_s: 5 }, pour, { flat_s: off_s }, pour, { flat_s: 6 }]),
    );
    expect(more).toEqual([]);
    expect(first?.settled_kg).toBeCloseTo(0.7, 2);
    expect(Math.abs((second?.start_s ?? 0) - 15 - off_s)).toBeLessThan(0.3);
    expect(second?.before_kg).toBeCloseTo(0.7, 2);
  });
});

/** For every reason why a catch can be void: how it comes about here. Reasons made elsewhere are named, with the reason. */
const voids: Record<string, () => CatchEvent[]> = {
  'lifted-while-filling': () =>
    hear([
      { flat_s: 5 },
      { pour_g_per_s: 20, lasts_s: 10, jet_g: 8 },
      { to_g: 0, within_s: 0.4 },
      { flat_s: 5 },
    ]),
  'tared-while-filling': () =>
    hear([
      { flat_s: 5 },
      { pour_g_per_s: 20, lasts_s: 10 },
      { jump_g: -700 },
      { pour_g_per_s: 20, lasts_s: 10 },
      { flat_s: 5 },
    ]),
  'over-range': () =>
    hear([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 10 }, { nothing_s: 3 }, { flat_s: 5 }]),
  'too-short': () => hear(plainPour(3.8)),
  'display-frozen': () =>
    hear(
      [
        { flat_s: 5 },
        { pour_g_per_s: 20, lasts_s: 5 },
        ...[1, 2].flatMap((): Stretch[] => [
          { flat_s: 2.5 },
          { jump_g: 50 },
          { pour_g_per_s: 20, lasts_s: 2 },
        ]),
        { flat_s: 8 },
      ],
      { noise_g: 0 },
    ),
  'capture-ended-while-filling': () => hear([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 10 }]),
};
voids['running-at-the-start'] = () => hear([{ pour_g_per_s: 20, lasts_s: 10, jet_g: 8 }, { flat_s: 8 }]);
for (const because of gapReasons)
  voids[because] = () =>
    hearWith(
      [...plainPour(10, 0), { missing_s: 2 }, { pour_g_per_s: 20, lasts_s: 5 }, { flat_s: 5 }],
      15,
      (listener) => listener.gap(15, because),
    );
const madeElsewhere = new Set([
  'stopped-by-person',
  'unit-unknown',
  'no-steady-window',
  'below-checked-flow',
  'too-few-strokes',
  // By a routine, which knows what it asked for.
  'tip-not-changed',
  'tip-changed-while-spraying',
  'pail-not-moved-yet',
]);

describe('a void catch', () => {
  it.each(voidReasons.filter((because) => !madeElsewhere.has(because)))(
    'says %s when that has happened',
    (because) => {
      const events = voids[because]?.() ?? [];
      expect(onlyCatch(events).voidBecause).toBe(because);
    },
  );

  it('ends at the last reading before the lift', () => {
    const caught = onlyCatch(voids['lifted-while-filling']?.() ?? []);
    expect(caught.stop_s).toBeCloseTo(14.9, 1);
    expect(caught.settled_kg).toBeNull();
  });

  it('ends at the last reading before a gap, a tare or an over-range', () => {
    for (const because of ['board-restarted', 'tared-while-filling', 'over-range'])
      expect(onlyCatch(voids[because]?.() ?? []).stop_s).toBeCloseTo(14.9, 1);
  });

  it('is followed by nothing while the same water runs on after a gap', () => {
    const events = voids['device-lost']?.() ?? [];
    expect(kinds(events).filter((kind) => kind === 'filling')).toHaveLength(1);
  });

  it('comes from a tare that the line tells, too', () => {
    const caught = onlyCatch(hearWith(plainPour(20), 15, (listener) => listener.tared(15)));
    expect(caught.voidBecause).toBe('tared-while-filling');
  });

  it('comes of readings that stop without a word', () => {
    const events = hear([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 10 }, { missing_s: 3 }, { flat_s: 5 }]);
    expect(onlyCatch(events).voidBecause).toBe('readings-stopped');
  });
});

describe('what leaves a catch standing', () => {
  it('is a single reading without a number', () => {
    const points = trace(plainPour(20)).map((point, i) => (i === 150 ? { ...point, mass_kg: null } : point));
    expect(onlyCatch(hearPoints(points)).voidBecause).toBeNull();
  });

  it('is a lost line or two, with a warning', () => {
    const lost = hearWith(
      [...plainPour(10, 0), { missing_s: 0.2 }, { pour_g_per_s: 20, lasts_s: 10, jet_g: 8 }, { flat_s: 6 }],
      15.1,
      (listener) => listener.gap(15.1, 'lines-lost'),
    );
    const caught = onlyCatch(lost);
    expect(caught.voidBecause).toBeNull();
    expect(caught.warnings).toContain('gap-while-filling');
  });

  it('is a gap after the level has settled', () => {
    const events = hearWith(plainPour(20), 26.8, (listener) => listener.gap(26.8, 'device-lost'));
    const caught = onlyCatch(events);
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.9, 2);
  });

  it('is the end of the readings after the level has settled', () => {
    const caught = onlyCatch(hear(plainPour(20, 1.5)));
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.9, 2);
  });

  it('is a knock, with a warning', () => {
    const events = hear([
      { flat_s: 5 },
      { pour_g_per_s: 20, lasts_s: 10 },
      { to_g: 800, within_s: 0.2 },
      { to_g: 708, within_s: 0.2 },
      { pour_g_per_s: 20, lasts_s: 10 },
      { flat_s: 6 },
    ]);
    expect(kinds(events)).toContain('bumped');
    expect(onlyCatch(events).warnings).toContain('bumped-while-filling');
  });

  it('is a display that stood still for a tenth of the time, with a warning', () => {
    const pour: Stretch = { pour_g_per_s: 20, lasts_s: 10 };
    const events = hear([{ flat_s: 5 }, pour, { flat_s: 2.5 }, { jump_g: 50 }, pour, { flat_s: 8 }], {
      noise_g: 0,
    });
    const caught = onlyCatch(events);
    expect(caught.voidBecause).toBeNull();
    expect(caught.warnings).toContain('display-froze');
    expect(Math.abs(caught.stop_s - 27.5)).toBeLessThan(0.3);
  });

  it('is a display of 5 g steps, found from the readings, with a warning', () => {
    const caught = onlyCatch(hear([{ flat_s: 3 }, ...plainPour(20)], { step_g: 5, rate_Hz: 5, noise_g: 1 }));
    expect(caught.warnings).toContain('coarse-steps');
    expect(caught.voidBecause).toBeNull();
  });

  it('is a push at the start that no jet can make, with a warning', () => {
    const events = hear([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 20, jet_g: 200 }, { flat_s: 6 }]);
    expect(onlyCatch(events).warnings).toContain('wind-or-touch');
  });

  it('is water whose gain per reading nearly is a whole step, on a display without flicker, with a warning', () => {
    const pour = (noise_g: number): Stretch[] | null =>
      noise_g < 0 ? null : [{ flat_s: 5 }, { pour_g_per_s: 10.05, lasts_s: 20 }, { flat_s: 6 }];
    expect(onlyCatch(hear(pour(0.02) ?? [], { noise_g: 0.02 })).warnings).toContain('quantisation-resonance');
    expect(onlyCatch(hear(pour(0.8) ?? [], { noise_g: 0.8 })).warnings).not.toContain(
      'quantisation-resonance',
    );
  });
});

const notWater: Record<string, () => CatchEvent[]> = {
  'pail-pushed': () =>
    hear([{ flat_s: 5 }, { to_g: 650, within_s: 5 }, { to_g: 500, within_s: 0.5 }, { flat_s: 8 }]),
  'too-short-and-fell-back': () =>
    hear([{ flat_s: 5 }, { to_g: 600, within_s: 4 }, { to_g: 500, within_s: 0.5 }, { flat_s: 8 }]),
  'settled-too-low': () =>
    hear([{ flat_s: 5 }, { to_g: 650, within_s: 6 }, { to_g: 570, within_s: 0.5 }, { flat_s: 8 }]),
  'too-slow': () =>
    hear([{ flat_s: 5 }, { to_g: 512, within_s: 4 }, { pour_g_per_s: 1.2, lasts_s: 40 }, { flat_s: 8 }], {
      step_g: 0.1,
      noise_g: 0.1,
    }),
  // Slow pushes with two quick ones between, too near each other to be a weight that comes to rest on the rim.
  'not-straight': () =>
    hear([
      { flat_s: 5 },
      { to_g: 560, within_s: 6 },
      { to_g: 760, within_s: 1 },
      { to_g: 780, within_s: 2 },
      { to_g: 980, within_s: 1 },
      { to_g: 1010, within_s: 2.5 },
      { flat_s: 8 },
    ]),
};

describe('what is not water', () => {
  // One that goes on is taken back, not withdrawn: see simulated-fills.test.ts.
  it.each(withdrawnReasons.filter((because) => because !== 'part-of-one-pour'))(
    'is withdrawn as %s',
    (because) => {
      const events = notWater[because]?.() ?? [];
      expect(catches(events)).toEqual([]);
      expect(events.filter((event) => event.kind === 'withdrawn')).toMatchObject([{ because }]);
    },
  );

  it('is retracted when a hand that leaned on the pail goes away after it was closed', () => {
    const events = hear([
      { flat_s: 5 },
      { to_g: 650, within_s: 5 },
      { flat_s: 5 },
      { to_g: 500, within_s: 0.5 },
      { flat_s: 8 },
    ]);
    const caught = onlyCatch(events);
    expect(events.at(-1)).toMatchObject({
      kind: 'retracted',
      start_s: caught.start_s,
      because: 'pail-pushed',
    });
  });

  it.each([
    [530, 'maybe, and then not', ['maybe', 'maybe-not']],
    [800, 'steeper than most water, so not even a maybe', []],
  ])('is a quick push to %i g: %s', (to_g, _, heard) => {
    const events = hear([
      { flat_s: 5 },
      { to_g, within_s: 0.8 },
      { flat_s: 4 },
      { to_g: 500, within_s: 0.8 },
      { flat_s: 8 },
    ]);
    expect(kinds(events).filter((kind) => kind !== 'bumped')).toEqual(heard);
  });

  it('is a knock on the quiet pail', () => {
    const events = hear([
      { flat_s: 5 },
      { to_g: 600, within_s: 0.2 },
      { to_g: 500, within_s: 0.2 },
      { flat_s: 5 },
    ]);
    expect(kinds(events)).toEqual(['bumped']);
  });
});

describe('the pail', () => {
  it('is heard lifted and put back, and its new level is told', () => {
    const events = hear([
      { flat_s: 5 },
      { to_g: 0, within_s: 0.4 },
      { flat_s: 5 },
      { to_g: 520, within_s: 0.3 },
      { flat_s: 5 },
    ]);
    expect(kinds(events)).toEqual(['lifted', 'replaced']);
    const replaced = events[1];
    expect(replaced?.kind === 'replaced' && replaced.level_kg).toBeCloseTo(0.52, 2);
  });

  it('is away between the two', () => {
    const listener = detector();
    const points = trace([{ flat_s: 5 }, { to_g: 0, within_s: 0.4 }, { flat_s: 5 }]);
    for (const { time_s, mass_kg } of points) listener.push(time_s, mass_kg);
    expect(listener.state).toBe('away');
    expect(listener.level_kg).toBeNull();
  });

  it('may be lifted soon after the water stopped: the catch stands if its level was seen', () => {
    const events = hear([...plainPour(20, 1.2), { to_g: 0, within_s: 0.4 }, { flat_s: 5 }]);
    const caught = onlyCatch(events);
    expect(caught.voidBecause).toBeNull();
    expect(caught.settled_kg).toBeCloseTo(0.9, 2);
    expect(kinds(events).slice(-2)).toEqual(['closed', 'lifted']);
  });

  it('is heard tared from the numbers alone, and the next pour starts at zero', () => {
    const events = hear([{ flat_s: 5 }, { jump_g: -500 }, ...plainPour(10)]);
    expect(kinds(events)[0]).toBe('tared');
    expect(onlyCatch(events).before_kg).toBeCloseTo(0, 3);
  });

  it('is told tared by the line: no water was poured', () => {
    const events = hearWith([{ flat_s: 5 }, { jump_g: -500 }, { flat_s: 5 }], 5, (listener) =>
      listener.tared(5),
    );
    expect(kinds(events)).toEqual(['tared']);
  });
});
