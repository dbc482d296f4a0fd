/**
 * Edges by the best split of a short stretch into a constant and a free line, least squares.
 * Never by meeting the fill's line with the base's line: the jet's push makes that early by J/q, 0.1-2.4 s (measurement.md 3).
 */
export interface Split {
  /** Last index of the first piece. */
  readonly lastOfFirst: number;
  /** Between the last reading of the first piece and the first of the second, s. */
  readonly edge_s: number;
  readonly sumOfSquares_kg2: number;
}

const LEAST_POINTS = 3;

/** Best `constant, then line` over indices `from` ≤ i < `to`: where the water starts. Null with fewer than six points. */
export function splitAtStart(
  times_s: readonly number[],
  masses_kg: readonly number[],
  from: number,
  to: number,
): Split | null {
  return bestSplit(times_s, masses_kg, from, to, 'constant-first');
}

/** Best `line, then constant` over indices `from` ≤ i < `to`: where the water stops. Null with fewer than six points. */
export function splitAtStop(
  times_s: readonly number[],
  masses_kg: readonly number[],
  from: number,
  to: number,
): Split | null {
  return bestSplit(times_s, masses_kg, from, to, 'line-first');
}

function bestSplit(
  times_s: readonly number[],
  masses_kg: readonly number[],
  from: number,
  to: number,
  order: 'constant-first' | 'line-first',
): Split | null {
  if (to - from < 2 * LEAST_POINTS) return null;
  // Centred on the first point: sums of squares of kilograms near half a tonne of seconds would cancel badly.
  const t0 = times_s[from] ?? 0;
  const m0 = masses_kg[from] ?? 0;
  const left = new Sums();
  const right = new Sums();
  for (let i = from; i < to; i++) right.add((times_s[i] ?? 0) - t0, (masses_kg[i] ?? 0) - m0, 1);
  let best: Split | null = null;
  for (let i = from; i < to - LEAST_POINTS; i++) {
    const t = (times_s[i] ?? 0) - t0;
    const m = (masses_kg[i] ?? 0) - m0;
    left.add(t, m, 1);
    right.add(t, m, -1);
    if (i - from + 1 < LEAST_POINTS) continue;
    const sum =
      order === 'constant-first'
        ? left.aboutMean() + right.aboutLine()
        : left.aboutLine() + right.aboutMean();
    if (best === null || sum < best.sumOfSquares_kg2)
      best = {
        lastOfFirst: i,
        edge_s: ((times_s[i] ?? 0) + (times_s[i + 1] ?? 0)) / 2,
        sumOfSquares_kg2: sum,
      };
  }
  return best;
}

class Sums {
  private n = 0;
  private t = 0;
  private m = 0;
  private tt = 0;
  private tm = 0;
  private mm = 0;

  add(t: number, m: number, sign: 1 | -1): void {
    this.n += sign;
    this.t += sign * t;
    this.m += sign * m;
    this.tt += sign * t * t;
    this.tm += sign * t * m;
    this.mm += sign * m * m;
  }

  aboutMean(): number {
    return Math.max(0, this.mm - (this.m * this.m) / this.n);
  }

  aboutLine(): number {
    const sxx = this.tt - (this.t * this.t) / this.n;
    const sxy = this.tm - (this.t * this.m) / this.n;
    return sxx <= 0 ? this.aboutMean() : Math.max(0, this.aboutMean() - (sxy * sxy) / sxx);
  }
}
