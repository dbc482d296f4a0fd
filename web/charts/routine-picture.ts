/**
 * Catches of several tips in turn, as plain geometry in pixels. Two tips: two rows over time with one scale, so that what drifts is seen to
 * drift in both, and what differs stands apart in every pair. A boom: each position against the mean of all.
 */
import type { CatchView, SetCompared } from '../contract.ts';
import { clockTime, fixed } from '../wording/number.ts';
import type { Size } from './curve-picture.ts';
import { isDoubtful } from './keep-apart.ts';

export interface RoutineInput {
  readonly catches: readonly CatchView[];
  /** One row a label, in this order; typed text, untrusted. */
  readonly labels: readonly string[];
  /** A boom's or a bag's comparison; null: rows over time. */
  readonly set: SetCompared | null;
  /** Limit of the habit, relative; null: a bag of tips, of which none is too far from the others. */
  readonly limit: number | null;
  /** `label` as it is shown: "A: grey 7", "3". */
  readonly nameOf: (label: string) => string;
}

export interface RoutineMark {
  readonly x: number;
  readonly y: number;
  readonly low: number;
  readonly high: number;
  /** Row of the label: other shapes for other rows. */
  readonly row: number;
  /** Outside the habit's limit with its whole ±. */
  readonly outside: boolean;
  /** Again at the end. */
  readonly again: boolean;
  /** The catch counts, with a doubt. */
  readonly doubtful: boolean;
}

export interface DrawnRoutine {
  readonly plot: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  /** Level of "as the mean", one for each row. */
  readonly rows: readonly { readonly y: number; readonly name: string; readonly nameY: number }[];
  /** Mean of a row's own catches. */
  readonly means: readonly { readonly y: number }[];
  readonly marks: readonly RoutineMark[];
  readonly levels: readonly { readonly y: number; readonly label: string }[];
  readonly limits: readonly number[];
  readonly foot: readonly { readonly x: number; readonly label: string }[];
}

/** Left free over each row for its name. */
const NAME_PX = 20;
const MARGIN = { left: 52, right: 18, top: 30, bottom: 40 } as const;
/** Shares that a level may stand for. */
const STEPS = [0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5];

const isGood = (c: CatchView): boolean =>
  c.label !== undefined && c.voidBecause === null && !c.struck && c.flow_m3_per_s !== null;

/** Null while there is no place or nothing good to draw. */
export function drawRoutine(input: RoutineInput, { width, height }: Size): DrawnRoutine | null {
  const plot = {
    left: MARGIN.left,
    right: width - MARGIN.right,
    top: MARGIN.top,
    bottom: height - MARGIN.bottom,
  };
  if (plot.right - plot.left < 60) return null;
  return input.set === null ? overTime(input, plot) : againstMean(input, input.set, plot);
}

function overTime(input: RoutineInput, plot: DrawnRoutine['plot']): DrawnRoutine | null {
  const good = input.catches.filter((c) => isGood(c) && input.labels.includes(c.label!));
  if (good.length === 0) return null;
  const mean = good.reduce((sum, c) => sum + c.flow_m3_per_s!, 0) / good.length;
  const relative = good.map((c) => {
    const own = ownHalf(c) / mean;
    return { c, off: c.flow_m3_per_s! / mean - 1, own };
  });
  const span = 1.15 * Math.max(0.002, ...relative.map(({ off, own }) => Math.abs(off) + own));
  const deep = (plot.bottom - plot.top) / input.labels.length;
  const half = (deep - NAME_PX) / 2;
  const centre = (row: number): number => plot.top + row * deep + NAME_PX + half;
  const yOf = (row: number, off: number): number => centre(row) - (off / span) * half;
  const first = Math.min(...good.map((c) => c.start_s));
  const last = Math.max(...good.map((c) => c.stop_s));
  const xOf = (at_s: number): number =>
    plot.left + 8 + ((at_s - first) / Math.max(1, last - first)) * (plot.right - plot.left - 16);
  const step = STEPS.find((one) => one >= span / 2) ?? 0.5;
  return {
    plot,
    rows: input.labels.map((label, row) => ({
      y: centre(row),
      name: input.nameOf(label),
      nameY: plot.top + row * deep + 4,
    })),
    means: input.labels.flatMap((label, row) => {
      const own = relative.filter(({ c }) => c.label === label);
      if (own.length === 0) return [];
      return [{ y: yOf(row, own.reduce((sum, { off }) => sum + off, 0) / own.length) }];
    }),
    marks: relative.map(({ c, off, own }) => {
      const row = input.labels.indexOf(c.label!);
      return {
        x: xOf((c.start_s + c.stop_s) / 2),
        y: yOf(row, off),
        low: yOf(row, off - own),
        high: yOf(row, off + own),
        row,
        outside: false,
        again: false,
        doubtful: isDoubtful(c),
      };
    }),
    levels: input.labels.flatMap((_, row) =>
      [-step, 0, step]
        .filter((off) => Math.abs(off) <= span)
        .map((off) => ({ y: yOf(row, off), label: percentLabel(off) })),
    ),
    limits: [],
    foot: [first, last].map((at_s) => ({ x: xOf(at_s), label: clockTime(at_s - first) })),
  };
}

function againstMean(input: RoutineInput, set: SetCompared, plot: DrawnRoutine['plot']): DrawnRoutine {
  const shown = set.members.map(({ label, againstMean: ratio, habit }) => ({
    name: input.nameOf(label),
    off: ratio.ratio - 1,
    half: ratio.expandedUncertainty95,
    outside: input.limit !== null && habit === 'outside',
    again: false,
  }));
  const first = set.members[0];
  if (set.repeat !== null && first !== undefined) {
    const ratio = first.againstMean.ratio * set.repeat.ratio;
    const half = ratio * (set.repeat.expandedUncertainty95 / set.repeat.ratio);
    shown.push({
      name: `${input.nameOf(first.label)}, again`,
      off: ratio - 1,
      half,
      outside: false,
      again: true,
    });
  }
  const widest = Math.max(...shown.map(({ off, half }) => Math.abs(off) + half));
  const span = 1.1 * Math.max(1.15 * (input.limit ?? 0), widest);
  const level = input.limit ?? STEPS.find((one) => one >= span / 2) ?? 0.5;
  const middle = (plot.top + plot.bottom) / 2;
  const yOf = (off: number): number => middle - (off / span) * ((plot.bottom - plot.top) / 2);
  const wide = (plot.right - plot.left) / shown.length;
  const xOf = (i: number): number => plot.left + (i + 0.5) * wide;
  return {
    plot,
    rows: [{ y: middle, name: '', nameY: plot.top }],
    means: [],
    marks: shown.map(({ off, half, outside, again }, i) => ({
      x: xOf(i),
      y: yOf(off),
      low: yOf(off - half),
      high: yOf(off + half),
      row: 0,
      outside,
      again,
      doubtful: false,
    })),
    levels: [-level, 0, level].map((off) => ({ y: yOf(off), label: percentLabel(off) })),
    limits: input.limit === null ? [] : [yOf(-input.limit), yOf(input.limit)],
    foot: shown.map(({ name }, i) => ({ x: xOf(i), label: name })),
  };
}

/** Half-width of what is this catch's alone, near enough for a mark (twice the standard deviation): what both tips share moves neither. */
function ownHalf(c: CatchView): number {
  return 2 * Math.hypot(c.typeA_m3_per_s ?? 0, c.jetAllowance_m3_per_s ?? 0, c.ownTypeB_m3_per_s ?? 0);
}

function percentLabel(off: number): string {
  if (off === 0) return '0';
  const shown = Math.abs(off * 100);
  return `${off < 0 ? '−' : '+'}${fixed(shown, shown < 1 ? 1 : 0)}`;
}
