/**
 * Whose doing it is, one bar a tip: from zero the rig's part, and from its end the tip's part; a tick where both end, which is what was
 * measured. Plain geometry in pixels.
 */
import type { TipOrRig } from '../contract.ts';
import { axis, levels, spanOf, type Level } from './axes.ts';

interface Bar {
  readonly x: number;
  readonly width: number;
  /** ± about the bar's end. */
  readonly low: number;
  readonly high: number;
}

export interface DrawnShares {
  readonly left: number;
  readonly right: number;
  readonly height: number;
  readonly zero: number;
  readonly levels: readonly Level[];
  readonly rows: readonly {
    readonly key: string;
    readonly top: number;
    readonly rig: Bar;
    readonly tip: Bar;
    readonly all: number;
  }[];
}

const ROW = 64;
const HEAD = 8;
const FOOT = 46;
export const NAME_HEIGHT = 20;
export const BAR_HEIGHT = 13;

/** @returns null without a tip, or without room. */
export function drawShares(found: Pick<TipOrRig, 'tips'>, width: number): DrawnShares | null {
  if (found.tips.length === 0 || width < 200) return null;
  const left = 12;
  const right = width - 12;
  const parts = found.tips.map(({ key, deviation, rigPart, tipPart }) => ({
    key,
    rig: rigPart.value - 1,
    tip: tipPart.value - 1,
    rigHalf: rigPart.expandedUncertainty95,
    tipHalf: tipPart.expandedUncertainty95,
    all: deviation.value - 1,
  }));
  const span = spanOf(
    [
      0,
      ...parts.flatMap(({ rig, tip, rigHalf, tipHalf, all }) => [
        all,
        rig - rigHalf,
        rig + rigHalf,
        rig + tip - tipHalf,
        rig + tip + tipHalf,
      ]),
    ],
    0.05,
  )!;
  const x = axis(span.from, span.to, left, right);
  /** Both are factors on the flow, so together they are their product. */
  const both = ({ rig, tip }: { rig: number; tip: number }): number => (1 + rig) * (1 + tip) - 1;
  const bar = (from: number, to: number, half: number): Bar => ({
    x: Math.min(x(from), x(to)),
    width: Math.abs(x(to) - x(from)),
    low: x(to - half),
    high: x(to + half),
  });
  return {
    left,
    right,
    height: HEAD + parts.length * ROW + FOOT,
    zero: x(0),
    levels: levels(x, width < 420 ? 4 : 7, (share) => share * 100),
    rows: parts.map(({ key, rig, tip, rigHalf, tipHalf, all }, index) => ({
      key,
      top: HEAD + index * ROW,
      rig: bar(0, rig, rigHalf),
      tip: bar(rig, both({ rig, tip }), tipHalf),
      all: x(all),
    })),
  };
}
