import { median } from '../../base/statistics/median.ts';

export interface NumberedReadings {
  /** The scale's number of every reading, from 0; readings that never came are counted. */
  readonly number: Float64Array;
  readonly period_s: number;
  readonly gaps: readonly { readonly index: number; readonly missing: number }[];
}

/** A step of the early edge may fall short of a whole period by this share of it, and by no more than bundling makes. */
const STEP_SLACK = 0.4;
const BUNDLING_S = 0.016;
/**
 * The early edge before a reading and from it on: the least lateness of at least so many readings. Ahead it has to
 * outlast a stall; back only to find one reading that came without waiting.
 */
const LOOK_READINGS = 5;
const LOOK_AHEAD_S = 2;
const LOOK_BACK_S = 0.4;

/**
 * Numbers readings by arrival alone. Lateness = arrival - period · number; its minimum over the readings to come is
 * free of bundling and stalls, and exceeds the minimum over the readings just past where some never came. The period comes from differences over about a
 * second: first their lower quartile (losses only lengthen them, and a period too short hides no step), then, losses
 * numbered, their median.
 */
export function numberReadings(arrival_s: Float64Array): NumberedReadings {
  const plain = Float64Array.from(arrival_s, (_, i) => i);
  const rough = sortedPeriods(arrival_s, plain, Math.min(10, arrival_s.length - 1));
  const aboutASecond = Math.min(arrival_s.length - 1, Math.max(1, Math.round(1 / median(rough))));
  const differences = sortedPeriods(arrival_s, plain, aboutASecond);
  const first_s = differences[differences.length >> 2]!;
  if (!(first_s > 0)) return { number: plain, period_s: first_s, gaps: [] };
  const { number } = countSteps(arrival_s, first_s);
  const period_s = median(sortedPeriods(arrival_s, number, aboutASecond));
  return { ...countSteps(arrival_s, period_s), period_s };
}

function countSteps(arrival_s: Float64Array, period_s: number): Omit<NumberedReadings, 'period_s'> {
  const ahead = Math.max(LOOK_READINGS, Math.ceil(LOOK_AHEAD_S / period_s));
  const back = Math.max(LOOK_READINGS, Math.ceil(LOOK_BACK_S / period_s));
  const early = forwardMinimum(
    Float64Array.from(arrival_s, (arrival, i) => arrival - period_s * i),
    ahead,
  );
  const slack_s = Math.min(STEP_SLACK * period_s, Math.max(0.1 * period_s, BUNDLING_S));
  const number = new Float64Array(arrival_s.length);
  const gaps: { index: number; missing: number }[] = [];
  const past = new PastMinimum(arrival_s.length, back);
  let added = 0;
  for (let i = 0; i < number.length; i += 1) {
    // How much later than before the readings come from here on, in whole periods.
    const step_s = i === 0 ? 0 : early[i]! - period_s * added - past.value;
    const missing = Math.floor((step_s + slack_s) / period_s);
    if (missing > 0) {
      gaps.push({ index: i, missing });
      added += missing;
    }
    number[i] = i + added;
    past.push(arrival_s[i]! - period_s * number[i]!);
  }
  return { number, gaps };
}

/** Periods over readings `apart` places apart, ascending. */
function sortedPeriods(arrival_s: Float64Array, number: Float64Array, apart: number): Float64Array {
  const periods = new Float64Array(arrival_s.length - apart);
  for (let i = 0; i < periods.length; i += 1) {
    periods[i] = (arrival_s[i + apart]! - arrival_s[i]!) / (number[i + apart]! - number[i]!);
  }
  return periods.sort();
}

/** Smallest of every value and the `length - 1` that follow it; one pass with a queue of candidates. */
function forwardMinimum(values: Float64Array, length: number): Float64Array {
  const n = values.length;
  const result = new Float64Array(n);
  const queue = new Int32Array(n);
  let head = 0;
  let tail = 0;
  for (let i = n - 1; i >= 0; i -= 1) {
    while (tail > head && values[queue[tail - 1]!]! >= values[i]!) tail -= 1;
    queue[tail] = i;
    tail += 1;
    while (queue[head]! >= i + length) head += 1;
    result[i] = values[queue[head]!]!;
  }
  return result;
}

/** Smallest of the last `length` values pushed. */
class PastMinimum {
  readonly #values: Float64Array;
  readonly #queue: Int32Array;
  #head = 0;
  #tail = 0;
  #count = 0;

  constructor(
    total: number,
    private readonly length: number,
  ) {
    this.#values = new Float64Array(total);
    this.#queue = new Int32Array(total);
  }

  get value(): number {
    return this.#values[this.#queue[this.#head]!]!;
  }

  push(value: number): void {
    this.#values[this.#count] = value;
    while (this.#tail > this.#head && this.#values[this.#queue[this.#tail - 1]!]! >= value) this.#tail -= 1;
    this.#queue[this.#tail] = this.#count;
    this.#tail += 1;
    while (this.#queue[this.#head]! <= this.#count - this.length) this.#head += 1;
    this.#count += 1;
  }
}
