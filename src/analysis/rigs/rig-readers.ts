import type { Outcome } from '../../base/outcome.ts';
import type { CatchListener, DetectedCatch } from '../../signal/catches/catch-event.ts';
import type { HandledListener } from '../../signal/catches/turned-detector.ts';
import type { LowFrequencyVariance } from '../flow/low-frequency-variance.ts';
import type { AnalysedCatch } from '../sweep/analysis.ts';
import type { CatchContext } from '../sweep/analyse-catch.ts';
import type { CatchPlace } from '../sweep/void-catch.ts';
import type { RigColumns, RigEstimate } from './rig-catch.ts';
import type { RigFacts } from './rig-facts.ts';
import type { StrokeDrift } from './stroke-drift.ts';
import type { SwellingWatch } from './swelling-watch.ts';
import type { Readings } from './unbumped.ts';

/** All that is needed only for rigs other than a held pressure into a pail. */
export interface RigReaders {
  readonly estimateForRig: (
    rig: RigFacts,
    columns: RigColumns,
    caught: DetectedCatch,
  ) => Outcome<RigEstimate>;
  /** What hears such a rig, around the usual detector. */
  readonly listenTo: (rig: RigFacts, usual: HandledListener) => CatchListener;
  /** The points of a falling pour whose pressure was measured; fewer than two: it is one catch. */
  readonly fallingSegments: (
    caught: DetectedCatch,
    place: CatchPlace,
    struckAt: (starts_s: readonly number[]) => readonly boolean[],
    context: CatchContext,
  ) => AnalysedCatch[];
  /** Noise about a bent line; null where none can be laid. */
  readonly bentNoise: (time_s: Float64Array, mass_kg: Float64Array) => LowFrequencyVariance | null;
  /** The flow of the whole strokes so far; null while they are too few. */
  readonly strokesSoFar: (readings: Readings, from_s: number, period_s: number) => StrokeDrift | null;
  readonly watchSwelling: (start_s: number, averagedReadings: number | null) => SwellingWatch;
}

/**
 * Most people never measure such a rig, and their worker need not load its code (its size has a budget): whoever is about to give readings
 * of one provides it first, `all-rig-readers.ts` as it stands. The functions themselves are as pure as everything here.
 */
let provided: RigReaders | null = null;

export function provideRigReaders(readers: RigReaders): void {
  provided = readers;
}

/** Errors: RangeError when nobody provided them (a mistake of the caller). */
export function rigReaders(): RigReaders {
  if (provided === null) throw new RangeError('the readers of this kind of rig were not provided');
  return provided;
}
