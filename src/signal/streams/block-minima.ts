/** The earliest arrivals of blocks of device time: columns of one length, in order. */
export interface BlockMinima {
  readonly device_s: Float64Array;
  readonly early_s: Float64Array;
  /** Which start (restart) the block belongs to, counted from 0. */
  readonly segment: Int32Array;
  /** Sum of the spans of all starts on the device clock, s. */
  readonly span_s: number;
}

const BLOCKS_AIMED_AT = 120;
const SHORTEST_BLOCK_S = 2;

/**
 * The sample with the smallest (arrival - device) of every block. Blocks are a hundredth of the whole, at least 2 s; a
 * minimum within so short a block is right although the clocks drift apart by some tenths of a percent.
 * `starts`: indices of the first samples of every start, the first being 0.
 */
export function blockMinima(
  device_s: Float64Array,
  arrival_s: Float64Array,
  starts: readonly number[],
): BlockMinima {
  const ends = starts.map((_, segment) => starts[segment + 1] ?? device_s.length);
  const span_s = starts.reduce(
    (sum, start, segment) => sum + device_s[ends[segment]! - 1]! - device_s[start]!,
    0,
  );
  const block_s = Math.max(SHORTEST_BLOCK_S, span_s / BLOCKS_AIMED_AT);
  const best: number[] = [];
  const segmentOf: number[] = [];
  starts.forEach((start, segment) => {
    let block = -1;
    for (let i = start; i < ends[segment]!; i += 1) {
      const of = Math.floor((device_s[i]! - device_s[start]!) / block_s);
      const champion = best.length - 1;
      if (of !== block) {
        best.push(i);
        segmentOf.push(segment);
        block = of;
      } else if (arrival_s[i]! - device_s[i]! < arrival_s[best[champion]!]! - device_s[best[champion]!]!) {
        best[champion] = i;
      }
    }
  });
  return {
    device_s: Float64Array.from(best, (i) => device_s[i]!),
    early_s: Float64Array.from(best, (i) => arrival_s[i]!),
    segment: Int32Array.from(segmentOf),
    span_s,
  };
}
