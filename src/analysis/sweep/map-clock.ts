import type { CaptureHeader } from '../../signal/captures/header.ts';
import { mapBoardClock } from '../../signal/streams/board-clock.ts';
import { reconstructScaleClock } from '../../signal/streams/scale-clock.ts';
import type { CaptureColumns } from './capture-columns.ts';

export interface MappedClock {
  /** Every reading on the arrival axis, never decreasing. */
  readonly time_s: Float64Array;
  /** Arrival seconds in one device second; null for a scale, which has no clock. */
  readonly ratio: number | null;
  readonly ratioStandardUncertainty: number | null;
  /** False: a device clock that could not be checked against the host's. */
  readonly checked: boolean;
}

/** The axis on which catches are found and flows computed: a board's clock mapped, a scale's rebuilt from arrival. */
export function mapClock(
  columns: CaptureColumns,
  { instrument, clockRatio, clockRatioStandardUncertainty }: CaptureHeader,
): MappedClock {
  const arrival_s = columns.column('arrival_s');
  if (instrument === 'scale') {
    const { time_s } = reconstructScaleClock(arrival_s);
    return { time_s: neverBack(time_s), ratio: null, ratioStandardUncertainty: null, checked: true };
  }
  const { time_s, ratio, ratioStandardUncertainty, checked } = mapBoardClock(
    columns.column('device_s'),
    arrival_s,
    columns.clockStarts,
    clockRatio === undefined || clockRatioStandardUncertainty === undefined
      ? null
      : { ratio: clockRatio, standardUncertainty: clockRatioStandardUncertainty },
  );
  return { time_s: neverBack(time_s), ratio, ratioStandardUncertainty, checked };
}

/** A restarted clock may land a hair before the last reading of the old one. */
function neverBack(time_s: Float64Array): Float64Array {
  for (let i = 1; i < time_s.length; i++) {
    if (!(time_s[i]! >= time_s[i - 1]!)) time_s[i] = time_s[i - 1]!;
  }
  return time_s;
}

/** The clock as the documented analysis prints it; a scale has none. */
export function clockFields({ ratio, ratioStandardUncertainty }: MappedClock) {
  if (ratio === null || ratioStandardUncertainty === null) {
    const because = 'device-has-no-clock' as const;
    return {
      clockRatio: null,
      clockRatioBecause: because,
      clockRatioStandardUncertainty: null,
      clockRatioStandardUncertaintyBecause: because,
    };
  }
  return { clockRatio: ratio, clockRatioStandardUncertainty: ratioStandardUncertainty };
}
