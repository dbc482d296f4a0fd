/** Running sums over blocks of 0.2 s: the residual of any stretch in constant time. */
export interface StretchCost {
  /** Residual sum of squares of the blocks `from` … `to − 1`. */
  residual(from: number, to: number): number;
}

/**
 * What a piece costs beside its residual may depend on where it begins: the noise is not everywhere the same.
 * Cheapest cut of 0…n into pieces of at least `shortest` blocks: best[to] = min over from of best[from] + residual(from, to) + penalty
 * (optimal partitioning, Jackson 2005, recalled). @returns the pieces as [from, to), ascending; empty when n is too short for one.
 */
export function partition(
  cost: StretchCost,
  n: number,
  shortest: number,
  penalty: number | ((from: number) => number),
): (readonly [number, number])[] {
  if (n < shortest) return [];
  const best = new Float64Array(n + 1).fill(Infinity);
  const cameFrom = new Int32Array(n + 1);
  const price = typeof penalty === 'number' ? () => penalty : penalty;
  best[0] = 0;
  const prices = Float64Array.from({ length: n }, (_, from) => price(from));
  for (let to = shortest; to <= n; to++) {
    for (let from = 0; from <= to - shortest; from++) {
      if (best[from] === Infinity) continue;
      const total = best[from]! + cost.residual(from, to) + prices[from]!;
      if (total < best[to]!) {
        best[to] = total;
        cameFrom[to] = from;
      }
    }
  }
  const borders: (readonly [number, number])[] = [];
  for (let to = n; to > 0; to = cameFrom[to]!) borders.unshift([cameFrom[to]!, to]);
  return borders;
}

/** Blocks of a column over a stretch of time: means of what was shown in each, NaN left out. */
export function averaged(
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
  span: { readonly first: number; readonly count: number; readonly start_s: number; readonly stop_s: number },
  block_s: number,
): { readonly time_s: Float64Array; readonly values: Float64Array } {
  const times: number[] = [];
  const means: number[] = [];
  let block = -1;
  let inBlock = 0;
  for (let i = span.first; i < span.count && time_s[i]! <= span.stop_s; i++) {
    if (!Number.isFinite(values[i]!)) continue;
    const of = Math.floor((time_s[i]! - span.start_s) / block_s);
    if (of !== block) {
      times.push(0);
      means.push(0);
      block = of;
      inBlock = 0;
    }
    const last = times.length - 1;
    inBlock++;
    times[last]! += (time_s[i]! - times[last]!) / inBlock;
    means[last]! += (values[i]! - means[last]!) / inBlock;
  }
  return { time_s: Float64Array.from(times), values: Float64Array.from(means) };
}
