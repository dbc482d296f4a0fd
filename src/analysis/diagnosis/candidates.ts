import type { CandidateData } from './candidate-data.ts';
import { boundary, fitConstant, fitLeak } from './candidate-fit.ts';
import type { CandidateFit } from './candidate-fit.ts';
import type { Cause, FinerCause } from './diagnosis.ts';
import { fitCap } from './fit-cap.ts';
import { fitShift } from './fit-shift.ts';

/** The explanations tried, a dial that reads high and a check valve apart: one curve, but the checks of the rig tell them apart. */
export type Candidate = Exclude<FinerCause, 'dial-high-or-check-valve'>;

export type Fits = Readonly<Record<Candidate, CandidateFit>>;

/**
 * Every candidate on its own side of zero; on the wrong side it is no better than no fault, its boundary (measurement 5.3). Where the shape
 * is not trusted so are all that rest on it. Null: not even √P could be fitted.
 */
export function fitCandidates(data: CandidateData): Fits | null {
  const sound = fitConstant(data, false);
  const scaled = fitConstant(data, true);
  if (sound === null || scaled === null) return null;
  // With the loss on the way known by a gauge at the wand, the reference is lower by it.
  const isAbove = scaled.constant >= sound.constant;
  const heights = {
    'no fault shown': sound,
    worn: isAbove ? scaled : boundary(sound),
    restricted: isAbove ? boundary(sound) : scaled,
  };
  if (!data.shapeTrusted) {
    const none = boundary(sound);
    return {
      ...heights,
      leaking: none,
      'pump-limited': none,
      'dial-high': none,
      'check-valve': none,
      'dial-low': none,
    };
  }
  const high = fitShift(data, 'dial-high', sound);
  return {
    ...heights,
    leaking: fitLeak(data, sound),
    'pump-limited': fitCap(data, sound),
    'dial-high': high,
    'check-valve': tellsDialFromValve(data) ? fitShift(data, 'check-valve', sound) : high,
    'dial-low': fitShift(data, 'dial-low', sound),
  };
}

/** Without one of these the two are one and the same equation. */
export function tellsDialFromValve({ evidence, sensorZero, sensorChecked }: CandidateData): boolean {
  return evidence.dialAtZero !== null || evidence.wand.length > 0 || (sensorZero !== null && sensorChecked);
}

/** The key under which the documented analysis prints a candidate. */
export function documented(candidate: Candidate): Cause {
  return candidate === 'dial-high' || candidate === 'check-valve' ? 'threshold-or-dial-high' : candidate;
}
