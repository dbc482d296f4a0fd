import type { StreamEvent } from '../../src/signal/reading.ts';

/** The same event on a clock that reads `by_s` more. */
export function shiftEvent(event: StreamEvent, by_s: number): StreamEvent {
  if (event.kind !== 'reading') return { ...event, at_s: event.at_s + by_s };
  const { reading } = event;
  return {
    kind: 'reading',
    reading: {
      ...reading,
      time_s: reading.time_s + by_s,
      arrival_s: reading.arrival_s + by_s,
      edge_s: reading.edge_s === null ? null : reading.edge_s + by_s,
    },
  };
}
