/** A mean over a short block of readings: what the detector looks at, about ten a second. */
export interface Block {
  readonly time_s: number;
  readonly mass_kg: number;
}

export interface BlockAverager {
  /** One reading in; a block out when one is full. Streams of up to 12.5 Hz pass through unchanged. */
  push(time_s: number, mass_kg: number): Block | null;
  /** Spacing of the blocks, s; null before it is known. */
  readonly period_s: number | null;
  /** Spacing of the readings, s; null before it is known. */
  readonly readingPeriod_s: number | null;
}

const BLOCK_S = 0.1;
const REMEMBERED = 48;

/**
 * Averages streams faster than 12.5 Hz to about 10 Hz, by time and not by count, so that dropped readings don't stretch a block.
 * The period is the mean over the last 48 readings (bundled arrivals average out), holes of over 4 periods left out.
 */
export function createBlockAverager(): BlockAverager {
  const steps_s: number[] = [];
  let sum_s = 0;
  let last_s: number | null = null;
  let start_s = 0;
  let times_s = 0;
  let masses_kg = 0;
  let count = 0;

  const readingPeriod_s = (): number | null => (steps_s.length < 4 ? null : sum_s / steps_s.length);

  return {
    push(time_s, mass_kg) {
      if (last_s !== null) {
        const step_s = time_s - last_s;
        const usual_s = readingPeriod_s();
        if (usual_s === null || step_s < 4 * usual_s) {
          steps_s.push(step_s);
          sum_s += step_s;
          if (steps_s.length > REMEMBERED) sum_s -= steps_s.shift() ?? 0;
        } else if (count > 0) count = 0;
      }
      last_s = time_s;
      const period_s = readingPeriod_s();
      if (period_s === null || period_s > BLOCK_S * 0.8) {
        count = 0;
        return { time_s, mass_kg };
      }
      if (count === 0) {
        start_s = time_s;
        times_s = 0;
        masses_kg = 0;
      }
      count++;
      times_s += time_s - start_s;
      masses_kg += mass_kg;
      // A hair early rather than late: the next reading would overfill the block.
      if (time_s - start_s < BLOCK_S - 1.25 * period_s) return null;
      const block = { time_s: start_s + times_s / count, mass_kg: masses_kg / count };
      count = 0;
      return block;
    },
    get period_s() {
      const period_s = readingPeriod_s();
      return period_s === null ? null : Math.max(period_s, period_s > BLOCK_S * 0.8 ? period_s : BLOCK_S);
    },
    get readingPeriod_s() {
      return readingPeriod_s();
    },
  };
}
