import type { WithdrawnReason } from '../../base/because.ts';
import { createCatchDetector } from '../../signal/catches/catch-detector.ts';
import type { CatchEvent, CatchListener, DetectedCatch } from '../../signal/catches/catch-event.ts';
import type { HandledListener } from '../../signal/catches/turned-detector.ts';
import type { Break } from './capture-columns.ts';

export interface Detected {
  /** Ascending in time, void ones included; what was taken back later is not among them. */
  readonly catches: readonly DetectedCatch[];
  readonly withdrawn: readonly { readonly start_s: number; readonly because: WithdrawnReason }[];
  /** Moments at which something happened to the pail, ascending: a quiet stretch ends there. */
  readonly disturbed_s: readonly number[];
}

/** The streaming detector over columns, with the breaks between readings told in their place. */
export function detectCatches(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  breaks: readonly Break[],
  options: {
    readonly step_kg: number | null;
    readonly averagedReadings: number | null;
    readonly around?: (usual: HandledListener) => CatchListener;
  },
): Detected {
  const detector = createCatchDetector(options);
  const catches: DetectedCatch[] = [];
  const withdrawn: { start_s: number; because: WithdrawnReason }[] = [];
  const disturbed_s: number[] = [];
  const hear = (events: readonly CatchEvent[]): void => {
    for (const event of events) {
      switch (event.kind) {
        case 'closed':
          catches.push(event.caught);
          disturbed_s.push(event.caught.stop_s);
          break;
        case 'withdrawn':
          withdrawn.push({ start_s: event.start_s, because: event.because });
          break;
        case 'retracted': {
          const index = catches.findLastIndex((caught) => caught.start_s === event.start_s);
          if (index >= 0) catches.splice(index, 1);
          withdrawn.push({ start_s: event.start_s, because: event.because });
          break;
        }
        case 'maybe':
        case 'filling':
          disturbed_s.push(event.start_s);
          break;
        case 'lifted':
        case 'tared':
        case 'bumped':
        case 'replaced':
          disturbed_s.push(event.at_s - NOTICED_LATE_s);
          break;
        case 'maybe-not':
        case 'settling':
        case 'filling-again':
          break;
      }
    }
  };
  let next = 0;
  for (let i = 0; i <= time_s.length; i++) {
    for (; next < breaks.length && breaks[next]!.before <= i; next++) {
      const pause = breaks[next]!;
      // Told in the time of the readings, so that the break lies after the last one whatever clock it came with.
      const at_s = i > 0 ? Math.max(pause.at_s, time_s[i - 1]!) : pause.at_s;
      hear(pause.kind === 'gap' ? detector.gap(at_s, pause.because) : detector.tared(at_s));
      disturbed_s.push(at_s);
    }
    if (i < time_s.length) {
      const shown = mass_kg[i]!;
      hear(detector.push(time_s[i]!, Number.isNaN(shown) ? null : shown));
    }
  }
  const end_s = time_s.length > 0 ? time_s[time_s.length - 1]! : 0;
  hear(detector.end(end_s));
  catches.sort((a, b) => a.start_s - b.start_s);
  withdrawn.sort((a, b) => a.start_s - b.start_s);
  disturbed_s.sort((a, b) => a - b);
  return { catches, withdrawn, disturbed_s };
}

/** A hand is on the pail about this long before the detector is sure. */
const NOTICED_LATE_s = 1.2;
