import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { firstAtOrAfter } from '../../analysis/flow/steady-window.ts';
import { findPlateaus } from '../../analysis/sweep/plateaus.ts';
import { findPressurePlateaus } from '../../analysis/sweep/pressure-plateaus.ts';
import type { PourReadings } from './pour-readings.ts';

/** Looked back so far before the turn was asked for. */
const LOOKS_BACK_S = 12;
/** A new stretch counts only while it is the one that runs. */
const STILL_RUNS_S = 0.6;
/** The border of a small change may be found so much too early; but nobody has turned a control sooner than this after being told. */
const BLURRED_S = 3;
const REACTION_S = 1;
/** Of the change that was meant, so much must be seen: a dial is wrong by part of a step. */
const FAIR_PART = 0.25;
/** The level has left the line of the setting before when it is off by so many standard deviations of it, and by a tenth of a second of water. */
const OFF_THE_LINE_SD = 4;
const OFF_THE_LINE_S = 0.1;

/**
 * `wanted`: the pressures on the dial before and after the turn.
 * The same segmentation that will cut the pour in the end, asked of the last seconds: has a stretch begun since `since_s`?
 * @returns where the steady stretch that runs now began; null while there is none but the old one.
 */
export function newStretch(
  readings: PourReadings,
  since_s: number,
  now_s: number,
  wanted: { readonly from_Pa: number; readonly to_Pa: number },
): number | null {
  const { time_s, mass_kg, pressure_Pa } = readings;
  const n = time_s.length;
  const from_s = since_s - LOOKS_BACK_S;
  const hasPressure = n > 0 && Number.isFinite(pressure_Pa[n - 1]);
  const pieces = hasPressure
    ? findPressurePlateaus(time_s, pressure_Pa, n, from_s, now_s)
    : findPlateaus(time_s, mass_kg, n, from_s, now_s, 'nearby');
  const last = pieces.at(-1);
  if (pieces.length < 2 || last === undefined) return null;
  if (last.start_s < since_s - BLURRED_S || last.stop_s < now_s - STILL_RUNS_S) return null;
  const before = pieces.slice(0, -1).reduce((a, b) => (b.stop_s - b.start_s > a.stop_s - a.start_s ? b : a));
  if (!changedAsWanted(before, last, wanted)) return null;
  return Math.max(last.start_s, since_s + REACTION_S);
}

interface Piece {
  readonly slope_kg_per_s?: number;
  readonly pressure_Pa?: number;
}

/** A hand that wanders makes stretches too; the turn that was asked for goes the right way, and by a fair part of what was meant. */
function changedAsWanted(
  before: Piece,
  after: Piece,
  { from_Pa, to_Pa }: { readonly from_Pa: number; readonly to_Pa: number },
): boolean {
  const ofPressure = before.pressure_Pa !== undefined && after.pressure_Pa !== undefined;
  const meant = ofPressure ? to_Pa / from_Pa - 1 : Math.sqrt(to_Pa / from_Pa) - 1;
  const seen = ofPressure
    ? after.pressure_Pa / before.pressure_Pa - 1
    : (after.slope_kg_per_s ?? 0) / (before.slope_kg_per_s ?? 0) - 1;
  return seen / meant >= FAIR_PART;
}

/** Whether the water has left the line it ran on up to `since_s` (the control is being turned, though nothing is steady yet). */
export function hasLeftTheLine(readings: PourReadings, since_s: number, now_s: number): boolean {
  const { time_s, mass_kg } = readings;
  const n = time_s.length;
  const from = firstAtOrAfter(time_s, n, since_s - LOOKS_BACK_S);
  const to = firstAtOrAfter(time_s, n, since_s);
  const line = to - from < 6 ? null : ordinaryLine(time_s.slice(from, to), mass_kg.slice(from, to));
  if (line === null || !Number.isFinite(line.slope)) return false;
  const newest = firstAtOrAfter(time_s, n, now_s - 0.6);
  let off = 0;
  for (let i = newest; i < n; i += 1)
    off += (mass_kg[i]! - line.meanY - line.slope * (time_s[i]! - line.meanX)) / (n - newest);
  const sd = Math.sqrt(line.residualSumOfSquares / line.n);
  return Math.abs(off) > Math.max(OFF_THE_LINE_SD * sd, OFF_THE_LINE_S * line.slope);
}
