import { madScale, median } from './median.ts';
import { ordinaryLine } from './ordinary-line.ts';

export interface HuberLine {
  readonly method: 'Huber M-estimate, MAD scale about zero';
  readonly n: number;
  /** Huber's constant c, in units of the scale. */
  readonly tuning: number;
  readonly slope: number;
  readonly intercept: number;
  /** 1.4826 · median |residual|, about zero. Zero when at least half of the points lie on one line. */
  readonly scale: number;
  readonly residuals: Float64Array;
  readonly iterations: number;
}

/**
 * What: a straight line by iterated reweighting; residuals beyond c·scale count by their sign only.
 * Purpose: the mask of the steady window (which readings are bumps), before ordinary least squares takes over.
 * Formula: w = min(1, c·s/|r|); s = MAD about ZERO (not about the residuals' median: the two give different answers,
 *   check-values R2); repeated until no coefficient moves by 1e-10 of the data's spread, at most 200 times.
 * Source: Huber 1964 (recalled); the MAD convention as in the statsmodels RLM documentation.
 * Conditions: it resists wild y, not wild x; a wild y at the very end of a short record can carry the scale with it.
 * Returns null when x has fewer than two distinct values. Errors: RangeError when lengths differ or c is not positive.
 * @example huberLine([0, 1, 2, 3, 4, 5, 6], [0, 1, 2, 90, 4, 5, 6], 1.5)?.slope // 1
 */
export function huberLine(x: ArrayLike<number>, y: ArrayLike<number>, tuning = 1.5): HuberLine | null {
  if (!(tuning > 0)) throw new RangeError('Huber needs a positive constant');
  const start = ordinaryLine(x, y);
  if (start === null) return null;
  const n = x.length;
  const { meanX, sxx } = start;
  const spreadX = Math.sqrt(sxx / n);
  let level = start.meanY;
  let slope = start.slope;
  const residuals = Float64Array.from(start.residuals);
  const middle = median(y);
  const spreadY = Math.max(...Array.from(y, (value) => Math.abs(value - middle)));
  let scale = madScale(residuals, 0);
  let iterations = 0;
  // A scale at rounding level means a majority already lies on the line: nothing further to weigh.
  const rounding = 1e-13 * spreadY;
  while (iterations < 200 && scale > rounding) {
    iterations++;
    let sw = 0;
    let swx = 0;
    let swy = 0;
    for (let i = 0; i < n; i++) {
      const w = weight(residuals[i]!, tuning * scale);
      sw += w;
      swx += w * (x[i]! - meanX);
      swy += w * (y[i]! - level);
    }
    const centreX = swx / sw;
    const centreY = swy / sw;
    let wxx = 0;
    let wxy = 0;
    for (let i = 0; i < n; i++) {
      const w = weight(residuals[i]!, tuning * scale);
      const dx = x[i]! - meanX - centreX;
      wxx += w * dx * dx;
      wxy += w * dx * (y[i]! - level - centreY);
    }
    if (!(wxx > 0)) break;
    const newSlope = wxy / wxx;
    const newLevel = level + centreY - newSlope * centreX;
    const moved = Math.abs(newLevel - level) + Math.abs(newSlope - slope) * spreadX;
    level = newLevel;
    slope = newSlope;
    for (let i = 0; i < n; i++) residuals[i] = y[i]! - level - slope * (x[i]! - meanX);
    scale = madScale(residuals, 0);
    if (moved <= 1e-10 * spreadY) break;
  }
  return Object.freeze({
    method: 'Huber M-estimate, MAD scale about zero',
    n,
    tuning,
    slope,
    intercept: level - slope * meanX,
    scale,
    residuals,
    iterations,
  });
}

function weight(residual: number, limit: number): number {
  const size = Math.abs(residual);
  return size <= limit ? 1 : limit / size;
}
