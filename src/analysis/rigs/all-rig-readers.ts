import { createBeatSmoother } from '../../signal/catches/beat-smoother.ts';
import { createTurnedDetector } from '../../signal/catches/turned-detector.ts';
import { fallingSegments } from '../sweep/falling-segments.ts';
import { bentLine } from './bent-line.ts';
import { estimateForRig } from './rig-catch.ts';
import type { RigReaders } from './rig-readers.ts';
import { strokeDrift } from './stroke-drift.ts';
import { SwellingWatch } from './swelling-watch.ts';
import { FEWEST_STROKES, strokeMeans, wholeStrokes } from './whole-strokes.ts';

/** Everything that `rig-readers.ts` asks for. Loading this file loads it all. */
export const allRigReaders: RigReaders = {
  estimateForRig,
  fallingSegments,
  listenTo: (rig, usual) => {
    const beat_s = rig.kind === 'pumped-while-spraying' ? rig.strokePeriod_s : null;
    const inner = beat_s === null ? usual : createBeatSmoother(usual, beat_s);
    return rig.standsOnScale === 'sprayer' ? createTurnedDetector(inner) : inner;
  },
  bentNoise: (time_s, mass_kg) => bentLine(time_s, mass_kg, 2)?.noise ?? null,
  strokesSoFar: (readings, from_s, period_s) => {
    const last_s = readings.time_s[readings.time_s.length - 1] ?? from_s;
    const whole = wholeStrokes(from_s, last_s, period_s);
    return whole < FEWEST_STROKES ? null : strokeDrift(strokeMeans(readings, from_s, period_s, whole));
  },
  watchSwelling: (start_s, averagedReadings) => new SwellingWatch(start_s, averagedReadings),
};
