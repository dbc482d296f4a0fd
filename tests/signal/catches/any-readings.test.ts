import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gapReasons } from '../../../src/base/because.ts';
import { createCatchDetector } from '../../../src/signal/catches/catch-detector.ts';
import type { CatchEvent } from '../../../src/signal/catches/catch-event.ts';
import { trace } from '../../builders/trace.ts';

type Act =
  | { readonly does: 'reading'; readonly step_s: number; readonly mass_kg: number | null }
  | { readonly does: 'gap'; readonly because: (typeof gapReasons)[number] }
  | { readonly does: 'tare' };

const wild = fc.oneof(
  fc.double({ min: -2, max: 30, noNaN: true }),
  fc.constantFrom(null, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0, -0),
);
const act: fc.Arbitrary<Act> = fc.oneof(
  {
    weight: 30,
    arbitrary: fc.record({
      does: fc.constant('reading' as const),
      step_s: fc.oneof(fc.constant(0.1), fc.double({ min: -1, max: 4 }), fc.constant(Number.NaN)),
      mass_kg: wild,
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ does: fc.constant('gap' as const), because: fc.constantFrom(...gapReasons) }),
  },
  { weight: 1, arbitrary: fc.record({ does: fc.constant('tare' as const) }) },
);

/** What must hold of any row of events, whatever was fed. */
function holds(events: readonly CatchEvent[]): void {
  let open = 0;
  let last_s = -Infinity;
  for (const event of events) {
    expect(Number.isFinite(event.at_s)).toBe(true);
    expect(event.at_s).toBeGreaterThanOrEqual(last_s);
    last_s = event.at_s;
    if (event.kind === 'filling') open++;
    if (event.kind === 'withdrawn') open--;
    if (event.kind === 'closed') {
      open--;
      const { caught } = event;
      for (const value of [caught.start_s, caught.stop_s, caught.before_kg, caught.jet_kg])
        expect(Number.isFinite(value)).toBe(true);
      expect(caught.stop_s).toBeGreaterThanOrEqual(caught.start_s);
      expect(caught.jet_kg).toBeGreaterThanOrEqual(0);
      expect(caught.settled_kg === null || Number.isFinite(caught.settled_kg)).toBe(true);
    }
    expect(open === 0 || open === 1).toBe(true);
  }
  expect(open).toBe(0);
}

describe('whatever is fed', () => {
  it('throws nothing, and every filling ends in exactly one closed or withdrawn (seed 20260, 400 runs)', () => {
    fc.assert(
      fc.property(fc.array(act, { maxLength: 120 }), fc.nat(200), fc.nat(3), (acts, cut, rate) => {
        const listener = createCatchDetector({ averagedReadings: null, step_kg: null });
        const events: CatchEvent[] = [];
        const rate_Hz = [2, 5, 10, 80][rate] ?? 10;
        const pour = trace([{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s: 20, jet_g: 8 }, { flat_s: 6 }], {
          rate_Hz,
        });
        const begun = pour.slice(0, Math.round((cut / 200) * pour.length));
        for (const { time_s, mass_kg } of begun) events.push(...listener.push(time_s, mass_kg));
        let now_s = begun.at(-1)?.time_s ?? 0;
        for (const what of acts) {
          if (what.does === 'reading') {
            events.push(...listener.push(now_s + what.step_s, what.mass_kg));
            if (what.step_s > 0) now_s += what.step_s;
          } else
            events.push(...(what.does === 'gap' ? listener.gap(now_s, what.because) : listener.tared(now_s)));
        }
        events.push(...listener.end(now_s + 1));
        holds(events);
      }),
      { seed: 20260, numRuns: 400 },
    );
  });

  it('keeps a bounded memory through an hour of readings', () => {
    const listener = createCatchDetector({ averagedReadings: 1 });
    const cycle = trace([
      { flat_s: 10 },
      { pour_g_per_s: 20, lasts_s: 20, jet_g: 8 },
      { flat_s: 10 },
      { to_g: 0, within_s: 0.5 },
      { flat_s: 5 },
      { to_g: 500, within_s: 0.5 },
      { flat_s: 4 },
    ]);
    const length_s = 50;
    let caught = 0;
    for (let round = 0; round < 72; round++)
      for (const { time_s, mass_kg } of cycle)
        caught += listener
          .push(round * length_s + time_s, mass_kg)
          .filter((event) => event.kind === 'closed').length;
    expect(caught).toBe(72);
    expect(JSON.stringify(listener).length).toBeLessThan(100_000);
  });

  it('hears a pour of five minutes, longer than the history it keeps', () => {
    const listener = createCatchDetector({ averagedReadings: 1 });
    const points = trace([{ flat_s: 5 }, { pour_g_per_s: 10, lasts_s: 300, jet_g: 5 }, { flat_s: 6 }]);
    const events = points.flatMap(({ time_s, mass_kg }) => listener.push(time_s, mass_kg));
    const closed = events.find((event) => event.kind === 'closed');
    expect(closed?.kind === 'closed' && closed.caught).toMatchObject({ voidBecause: null });
    expect(closed?.kind === 'closed' && Math.abs(closed.caught.start_s - 5) < 0.2).toBe(true);
    expect(closed?.kind === 'closed' && Math.abs(closed.caught.stop_s - 305) < 0.2).toBe(true);
  });
});
