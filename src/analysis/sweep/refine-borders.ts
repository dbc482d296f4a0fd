import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { averaged } from './partition.ts';
import { TURN_AT_MOST_s } from './plateaus.ts';

/** Means over so long are looked at: a hand's slow wander must not pass for the turn. */
const MEAN_s = 0.6;
/** So many standard deviations of those means off the line is still the turn. */
const OFF_THE_LINE = 3;
const FEWEST_MEANS = 10;

interface Stretch {
  readonly start_s: number;
  readonly stop_s: number;
}

/**
 * What: borders of plateaus moved inwards, to where the water is on the plateau's own line.
 * Purpose: the segmentation gives the second or two in which the control was turned to one of the neighbours, and the push of the jet,
 *   which changes then, bends that one's slope (after a turn upwards its flow came out too high).
 * Method: a line through the means over 0.6 s without the first and last 4 s (the end only where a turn follows); from there outwards, the
 *   border is where two means running lie more than 3 standard deviations off that line (one alone is chance, or a knock). Plateaus too short for ten means stay as they are.
 */
export function refineBorders<T extends Stretch>(
  time_s: ArrayLike<number>,
  mass_kg: ArrayLike<number>,
  plateaus: readonly T[],
): T[] {
  return plateaus.map((plateau, i) => {
    const first = firstAtOrAfter(time_s, time_s.length, plateau.start_s);
    const means = averaged(time_s, mass_kg, { first, count: time_s.length, ...plateau }, MEAN_s);
    const n = means.time_s.length;
    const edge = Math.ceil(TURN_AT_MOST_s / MEAN_s);
    const from = i === 0 ? Math.ceil(1 / MEAN_s) : edge;
    const to = n - (i + 1 === plateaus.length ? 1 : Math.ceil(edge / 2));
    const line =
      to - from < FEWEST_MEANS
        ? null
        : ordinaryLine(means.time_s.subarray(from, to), means.values.subarray(from, to));
    if (line === null) return plateau;
    const sd = Math.sqrt(line.residualSumOfSquares / (line.n - 2));
    const isOff = (at: number): boolean =>
      Math.abs(means.values[at]! - line.meanY - line.slope * (means.time_s[at]! - line.meanX)) >
      OFF_THE_LINE * sd;
    let begin = from;
    while (begin > 0 && !(isOff(begin - 1) && (begin < 2 || isOff(begin - 2)))) begin--;
    let end = to;
    while (end < n && !(isOff(end) && (end + 1 >= n || isOff(end + 1)))) end++;
    return {
      ...plateau,
      start_s: i === 0 || begin === 0 ? plateau.start_s : means.time_s[begin]! - MEAN_s / 2,
      stop_s: i + 1 === plateaus.length || end === n ? plateau.stop_s : means.time_s[end - 1]! + MEAN_s / 2,
    };
  });
}
