import type { CatchEvent, CatchListener } from '../../../src/signal/catches/catch-event.ts';

const SPAN_S = 1;
const STEEP_KG = 0.003;
const SHORTEST_S = 4;

/** The detector to be better than: rise over one second above 3 g is water, below is none; under 4 s doesn't count. */
export function createSimpleThreshold(): CatchListener {
  const times_s: number[] = [];
  const masses_kg: number[] = [];
  let start_s: number | null = null;
  let before_kg = 0;
  return {
    state: 'quiet',
    level_kg: null,
    push(time_s, mass_kg) {
      const events: CatchEvent[] = [];
      if (mass_kg === null) return events;
      times_s.push(time_s);
      masses_kg.push(mass_kg);
      while ((times_s[1] ?? time_s) <= time_s - SPAN_S) {
        times_s.shift();
        masses_kg.shift();
      }
      const rise_kg = mass_kg - (masses_kg[0] ?? mass_kg);
      if (start_s === null && rise_kg >= STEEP_KG) {
        start_s = time_s - SPAN_S / 2;
        before_kg = masses_kg[0] ?? mass_kg;
        events.push({ kind: 'filling', at_s: time_s, start_s });
      } else if (start_s !== null && rise_kg < STEEP_KG) {
        const stop_s = time_s - SPAN_S / 2;
        if (stop_s - start_s >= SHORTEST_S)
          events.push({
            kind: 'closed',
            at_s: time_s,
            caught: {
              start_s,
              stop_s,
              before_kg,
              settled_kg: mass_kg,
              jet_kg: 0,
              drip_kg_per_s: null,
              voidBecause: null,
              warnings: [],
            },
          });
        start_s = null;
      }
      return events;
    },
    gap: () => [],
    tared: () => [],
    end: () => [],
  };
}
