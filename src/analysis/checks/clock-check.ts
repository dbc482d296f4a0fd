import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { mapBoardClock } from '../../signal/streams/board-clock.ts';

/** Arrival seconds in one second of the device, found over a minute of idle readings. */
export interface ClockCheckResult {
  readonly ratio: number;
  readonly standardUncertainty: number;
  readonly watched_s: number;
}

/** A minute, and a little for the first block. */
export const CLOCK_WATCH_S = 62;
/** A resonator moves with its temperature between the check and a later catch. Assumed; no source. */
const LATER_MOVES = 1e-4;

/**
 * The device's clock against ours while nothing happens. Refused: `device-has-no-clock` (a scale), `clock-too-short` when under a minute
 * came or no steady ratio was found (`watched_s`).
 */
export function checkClock(
  device_s: readonly (number | null)[],
  arrival_s: readonly number[],
  segments: readonly number[] = [],
): Outcome<ClockCheckResult> {
  if (device_s.some((at) => at === null) || device_s.length === 0) return refused('device-has-no-clock');
  const watched_s = (arrival_s.at(-1) ?? 0) - (arrival_s[0] ?? 0);
  const found = mapBoardClock(
    Float64Array.from(device_s as number[]),
    Float64Array.from(arrival_s),
    segments,
  );
  if (!found.checked) return refused('clock-too-short', { watched_s });
  return ok({
    ratio: found.ratio,
    standardUncertainty: Math.hypot(found.ratioStandardUncertainty, LATER_MOVES),
    watched_s,
  });
}
