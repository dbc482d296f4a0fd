/** Ticks and labels of the curve that must not run into each other. Places are in the drawing's own pixels. */
import type { CatchView } from '../contract.ts';
import { doubtsOf } from '../wording/doubts.ts';
import type { Repeat, Upright } from './curve-picture.ts';

/** Ticks nearer than this melt into one. */
const TICK_GAP = 6;
/** Where a tick begins, beside its upright: right, left, further right, further left. */
const TICK_LANES = [8, -17, 20, -29] as const;
/** A digit of the chart's lettering, a little more than it takes. */
const DIGIT_WIDTH = 9;
const RATED_LABEL_WIDTH = 40;

export const isDoubtful = (thisCatch: CatchView): boolean => doubtsOf(thisCatch).length > 0;

export function repeatTicks(catches: readonly CatchView[], y: (flow_m3_per_s: number) => number): Repeat[] {
  const last: number[] = [];
  return catches
    .map((thisCatch) => ({ y: y(thisCatch.flow_m3_per_s!), doubtful: isDoubtful(thisCatch) }))
    .sort((a, b) => a.y - b.y)
    .map((tick) => {
      const free = TICK_LANES.findIndex((_, lane) => tick.y - (last[lane] ?? -Infinity) >= TICK_GAP);
      const lane = Math.max(0, free);
      last[lane] = tick.y;
      return { ...tick, dx: TICK_LANES[lane]! };
    });
}

/** Leaves out labels that would run into one already written; the lit one is always there. */
export function spaced(uprights: readonly Upright[]): Upright[] {
  const written: { from: number; to: number }[] = [];
  const fits = ({ x, label }: Upright): boolean => {
    const half = (label.length * DIGIT_WIDTH) / 2;
    const free = written.every(({ from, to }) => x + half + 4 < from || x - half - 4 > to);
    if (free) written.push({ from: x - half, to: x + half });
    return free;
  };
  const first = uprights.find(({ lit }) => lit);
  if (first !== undefined) fits(first);
  const shown = new Set(
    [...uprights].sort((a, b) => a.x - b.x).filter((upright) => upright === first || fits(upright)),
  );
  return uprights.map((upright) => (shown.has(upright) ? upright : { ...upright, label: '' }));
}

/** In the rightmost gap between uprights that is wide enough, so that none crosses it; else at the right edge. */
export function placeRatedLabel(
  uprights: readonly number[],
  right: number,
  yAt: (x: number) => number,
): { x: number; y: number } {
  const edges = [...uprights, right].sort((a, b) => b - a);
  const gap = edges.findIndex((edge, index) => edge - (edges[index + 1] ?? Infinity) >= RATED_LABEL_WIDTH);
  const x = gap < 0 ? right - RATED_LABEL_WIDTH / 2 : (edges[gap]! + edges[gap + 1]!) / 2;
  return { x, y: yAt(x) };
}
