/** What the charts of the Rack share: a straight scale between numbers and pixels, and its labelled levels. */
import { ticks } from 'd3-array';
import { fixed } from '../wording/number.ts';

export interface Axis {
  (value: number): number;
  readonly from: number;
  readonly to: number;
}

export interface Level {
  readonly at: number;
  readonly value: number;
  readonly label: string;
}

/** From `from`…`to` to the pixels `start`…`end`; a range of nothing is opened a little. */
export function axis(from: number, to: number, start: number, end: number): Axis {
  const span = to > from ? to - from : Math.abs(from) * 0.2 || 1;
  const low = to > from ? from : from - span / 2;
  const scale = (value: number): number => start + ((value - low) / span) * (end - start);
  return Object.assign(scale, { from: low, to: low + span });
}

/** @param about how many levels are wanted. */
export function levels(
  scale: Axis,
  about: number,
  shown: (value: number) => number = (value) => value,
): Level[] {
  const low = shown(scale.from);
  const high = shown(scale.to);
  const values = ticks(low, high, about);
  const step = values.length > 1 ? values[1]! - values[0]! : 1;
  const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
  const back = (value: number): number =>
    scale.from + ((value - low) / (high - low)) * (scale.to - scale.from);
  return values.map((value) => ({ at: scale(back(value)), value, label: fixed(value, decimals) }));
}

/** Lowest and highest of the numbers that are any, widened by a share of their span; null without one. */
export function spanOf(values: readonly number[], pad: number): { from: number; to: number } | null {
  const finite = values.filter(Number.isFinite);
  if (finite.length === 0) return null;
  const from = Math.min(...finite);
  const to = Math.max(...finite);
  const more = (to - from) * pad;
  return { from: from - more, to: to + more };
}

/** Heights moved apart so that no two labels stand nearer than `gap`, each as near to its own as that allows. */
export function keepApart(wanted: readonly number[], gap: number, top: number, bottom: number): number[] {
  const order = wanted.map((y, index) => ({ y, index })).sort((a, b) => a.y - b.y);
  const placed: number[] = [];
  for (const { y } of order) placed.push(Math.max(y, (placed.at(-1) ?? -Infinity) + gap, top));
  // Pushed over the edge: back up from below.
  for (let index = placed.length - 1, edge = bottom; index >= 0; index -= 1) {
    placed[index] = Math.min(placed[index]!, edge);
    edge = placed[index]! - gap;
  }
  const result = new Array<number>(wanted.length);
  order.forEach(({ index }, place) => (result[index] = placed[place]!));
  return result;
}

/** Line patterns that tell curves apart without colour; the first is the one the others are held against. */
export const PATTERNS = ['', '14 4', '5 4', '14 4 3 4', '2 4', '9 3 2 3 2 3'] as const;
