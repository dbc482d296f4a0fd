import { MAD_TO_SIGMA, median } from '../../base/statistics/median.ts';
import { blockMinima, type BlockMinima } from './block-minima.ts';

export interface BoardClock {
  /** Every sample on the arrival axis: `offset + ratio · device_s`, one offset a (re)start, one ratio for all. */
  readonly time_s: Float64Array;
  /**
   * Seconds of the arrival axis in one second of the device's clock: below 1 where the device's clock runs fast.
   * An interval or an age on the device's clock, times this, is true time (a pulse: `time_s[i] - ratio · age`).
   */
  readonly ratio: number;
  /** From the scatter of the early edge only; the arrival clock itself is taken as right. */
  readonly ratioStandardUncertainty: number;
  /** False: too little data (or no usable arrival) and no earlier check; ratio 1 with the uncertainty of a cheap board's resonator. */
  readonly checked: boolean;
}

/** Under a minute the early edge can't tell the clock better than its maker does. */
const CHECKED_FROM_S = 60;
const unchecked = { ratio: 1, standardUncertainty: 0.003 };
/** No board's clock is so wrong: the arrival column is then not a clock (or the file was edited). */
const BELIEVABLE = 0.1;
const MIN_BLOCKS = 8;
const REJECT_SIGMAS = 3;
/** Arrival is kept to 0.1 ms at worst: the early edge can't scatter less (rectangular). */
const ARRIVAL_STEP_S = 1e-4;

/**
 * Maps a device clock onto the arrival axis by a robust line through the early (lower) edge of (device, arrival): a line
 * can be late by the bundling of a USB bridge (up to 16 ms) or a stall, never early. The minima of some hundred blocks
 * stand for the edge; Theil-Sen starts, points off by more than 3 MAD-sigma are set aside, least squares ends it. The
 * uncertainty is that of the slope, widened where neighbouring blocks are alike (a clock that wanders).
 *
 * `device_s` as the decoder gives it (from 0 after every restart), `arrival_s` the same length; `segments`: the indices
 * at which a new start begins (0 may be left out); `known`: an earlier check, used where this is too short for one. Errors: RangeError when lengths differ.
 */
export function mapBoardClock(
  device_s: Float64Array,
  arrival_s: Float64Array,
  segments: readonly number[] = [],
  known: { readonly ratio: number; readonly standardUncertainty: number } | null = null,
): BoardClock {
  if (device_s.length !== arrival_s.length)
    throw new RangeError('device_s and arrival_s must have one length');
  const starts = [...new Set([0, ...segments])].filter((at) => at < device_s.length).sort((a, b) => a - b);
  const minima = blockMinima(device_s, arrival_s, starts);
  const fitted = minima.span_s >= CHECKED_FROM_S ? fitRatio(minima) : null;
  const { ratio, standardUncertainty } = fitted ?? known ?? unchecked;
  return {
    time_s: onArrivalAxis(device_s, starts, ratio, minima),
    ratio,
    ratioStandardUncertainty: standardUncertainty,
    checked: fitted !== null || known !== null,
  };
}

function fitRatio(minima: BlockMinima): { ratio: number; standardUncertainty: number } | null {
  const start = commonSlope(minima);
  if (start === null) return null;
  const residuals = residualsOf(minima, start);
  const scale = MAD_TO_SIGMA * median(residuals.map(Math.abs));
  const limit = REJECT_SIGMAS * Math.max(scale, ARRIVAL_STEP_S);
  const kept = residuals.map((residual) => Math.abs(residual) <= limit);
  // Least squares on what is left, each start with its own mean.
  let sxx = 0;
  let sxy = 0;
  let count = 0;
  let groups = 0;
  for (const members of groupsOf(minima, kept)) {
    const meanX = mean(members.map((i) => minima.device_s[i]!));
    const meanY = mean(members.map((i) => residuals[i]!));
    for (const i of members) {
      const x = minima.device_s[i]! - meanX;
      sxx += x * x;
      sxy += x * (residuals[i]! - meanY);
    }
    count += members.length;
    groups += 1;
  }
  if (count < MIN_BLOCKS || sxx === 0) return null;
  const ratio = start + sxy / sxx;
  if (Math.abs(ratio - 1) > BELIEVABLE) return null;
  const final = residualsOf(minima, ratio).filter((_, i) => kept[i]);
  const squares = final.reduce((sum, residual) => sum + residual * residual, 0);
  const variance = Math.max(squares / Math.max(1, count - groups - 1), ARRIVAL_STEP_S ** 2 / 12);
  return { ratio, standardUncertainty: Math.sqrt((variance / sxx) * likeness(final)) };
}

/** Median of the slopes of all pairs of blocks of one start. */
function commonSlope({ device_s, early_s, segment }: BlockMinima): number | null {
  const slopes: number[] = [];
  for (let i = 0; i < device_s.length; i += 1) {
    for (let j = i + 1; j < device_s.length && segment[j] === segment[i]; j += 1) {
      slopes.push((early_s[j]! - early_s[i]!) / (device_s[j]! - device_s[i]!));
    }
  }
  return slopes.length < MIN_BLOCKS ? null : median(slopes);
}

/** Early edge minus ratio · device, about the median of each start. */
function residualsOf(minima: BlockMinima, ratio: number): number[] {
  const raw = Array.from(minima.early_s, (early, i) => early - ratio * minima.device_s[i]!);
  const result = new Array<number>(raw.length).fill(0);
  for (const members of groupsOf(minima)) {
    const middle = median(members.map((i) => raw[i]!));
    for (const i of members) result[i] = raw[i]! - middle;
  }
  return result;
}

function groupsOf(minima: BlockMinima, kept?: readonly boolean[]): number[][] {
  const groups: number[][] = [];
  minima.segment.forEach((segment, i) => {
    if (kept === undefined || kept[i]) (groups[segment] ??= []).push(i);
  });
  return groups.filter((members) => members.length > 0);
}

/** (1 + r)/(1 - r), r the correlation of neighbours: how much the variance of independent points has to be widened. */
function likeness(residuals: readonly number[]): number {
  let own = 0;
  let neighbours = 0;
  residuals.forEach((residual, i) => {
    own += residual * residual;
    if (i > 0) neighbours += residual * residuals[i - 1]!;
  });
  const r = own === 0 ? 0 : Math.min(0.9, Math.max(0, neighbours / own));
  return (1 + r) / (1 - r);
}

function onArrivalAxis(
  device_s: Float64Array,
  starts: readonly number[],
  ratio: number,
  minima: BlockMinima,
): Float64Array {
  const time_s = new Float64Array(device_s.length);
  starts.forEach((start, segment) => {
    const delays: number[] = [];
    minima.segment.forEach((of, i) => {
      if (of === segment) delays.push(minima.early_s[i]! - ratio * minima.device_s[i]!);
    });
    const offset = median(delays);
    const end = starts[segment + 1] ?? device_s.length;
    for (let i = start; i < end; i += 1) time_s[i] = offset + ratio * device_s[i]!;
  });
  return time_s;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
