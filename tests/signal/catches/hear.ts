import { createCatchDetector } from '../../../src/signal/catches/catch-detector.ts';
import type { CatchEvent, CatchListener, DetectedCatch } from '../../../src/signal/catches/catch-event.ts';
import { trace, type Stretch, type TraceOptions, type TracePoint } from '../../builders/trace.ts';

export function detector(): CatchListener {
  return createCatchDetector({ averagedReadings: 1 });
}

/** All events of a hand-made trace, the end of the readings included. */
export function hear(stretches: readonly Stretch[], options: TraceOptions = {}): CatchEvent[] {
  return hearPoints(trace(stretches, options));
}

export function hearPoints(points: readonly TracePoint[], listener = detector()): CatchEvent[] {
  const events = points.flatMap(({ time_s, mass_kg }) => listener.push(time_s, mass_kg));
  return [...events, ...listener.end((points.at(-1)?.time_s ?? 0) + 0.1)];
}

/** Feed up to a time, do something, feed the rest. */
export function hearWith(
  stretches: readonly Stretch[],
  at_s: number,
  act: (listener: CatchListener) => CatchEvent[],
  options: TraceOptions = {},
): CatchEvent[] {
  const listener = detector();
  const points = trace(stretches, options);
  const before = points.filter((point) => point.time_s < at_s);
  const after = points.filter((point) => point.time_s >= at_s);
  const events = before.flatMap(({ time_s, mass_kg }) => listener.push(time_s, mass_kg));
  events.push(...act(listener));
  return [...events, ...hearPoints(after, listener)];
}

export function kinds(events: readonly CatchEvent[]): string[] {
  return events.map((event) => event.kind);
}

export function catches(events: readonly CatchEvent[]): DetectedCatch[] {
  return events.flatMap((event) => (event.kind === 'closed' ? [event.caught] : []));
}

export function onlyCatch(events: readonly CatchEvent[]): DetectedCatch {
  const [caught, ...more] = catches(events);
  if (caught === undefined || more.length > 0)
    throw new Error(`expected one catch, heard ${kinds(events).join(' ')}`);
  return caught;
}

/** Quiet, a pour of 20 g/s with a jet that presses 8 g, quiet. */
export function plainPour(lasts_s: number, quiet_s = 8): Stretch[] {
  return [{ flat_s: 5 }, { pour_g_per_s: 20, lasts_s, jet_g: 8 }, { flat_s: quiet_s }];
}
