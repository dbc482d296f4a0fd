/** The checks of one tip over the weeks, as plain geometry in pixels. */
import { area, line } from 'd3-shape';
import type { DriftChart } from '../contract.ts';
import { baselineMiddle_ms } from '../wording/drift.ts';
import { axis, levels, spanOf, type Level } from './axes.ts';
import type { Size } from './curve-picture.ts';

export interface DrawnDrift {
  readonly plot: {
    readonly left: number;
    readonly right: number;
    readonly top: number;
    readonly bottom: number;
  };
  readonly levels: readonly Level[];
  readonly weeks: readonly Level[];
  readonly zero: number;
  /** Upper and lower limit as one closed band; null: none are drawn. */
  readonly limits: string | null;
  readonly average: string | null;
  readonly points: readonly {
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
    readonly signals: boolean;
  }[];
  /** The person's own limit, where the picture reaches that far. */
  readonly worn: number | null;
  /** `named`: none is named so near before it that the two words would run together. */
  readonly jumps: readonly { readonly x: number; readonly named: boolean }[];
  readonly forecast: {
    readonly wedge: string;
    readonly x: number;
    readonly y: number;
    readonly from: number;
    readonly to: number;
    /** The latest day lies beyond the picture. */
    readonly open: boolean;
  } | null;
}

const MARGIN = { left: 52, right: 16, top: 30, bottom: 48 } as const;
const WEEK_MS = 7 * 86_400_000;
/** A forecast farther off than this many times the weeks seen so far is told in words only. */
const FARTHEST = 2.5;

/** @returns null without a point, or without room. */
export function drawDrift(chart: DriftChart, size: Size): DrawnDrift | null {
  const plot = {
    left: MARGIN.left,
    right: size.width - MARGIN.right,
    top: MARGIN.top,
    bottom: size.height - MARGIN.bottom,
  };
  const last = chart.points.at(-1);
  if (last === undefined || plot.right - plot.left < 40 || plot.bottom - plot.top < 40) return null;
  const foreseen = inReach(chart, last.week);
  const worn = chart.limitRatio - 1;
  const span = spanOf(
    [
      0,
      ...chart.points.flatMap(({ deviation, expandedUncertainty95: half, limit }) => [
        deviation - half,
        deviation + half,
        limit ?? 0,
        -(limit ?? 0),
      ]),
      ...(foreseen === null ? [] : [worn]),
    ],
    0.08,
  )!;
  const furthest =
    foreseen === null ? last.week : Math.min(foreseen.latest ?? Infinity, last.week * FARTHEST);
  const x = axis(0, Math.max(furthest, 1) * 1.03, plot.left, plot.right);
  const y = axis(span.from, span.to, plot.bottom, plot.top);
  const limited = chart.points.filter(({ limit }) => limit !== null);
  const band = area<DriftChart['points'][number]>()
    .x(({ week }) => x(week))
    .y0(({ limit }) => y(-limit!))
    .y1(({ limit }) => y(limit!));
  const average = line<DriftChart['points'][number]>()
    .x(({ week }) => x(week))
    .y((point) => y(point.average));
  const start_ms = baselineMiddle_ms(chart);
  return {
    plot,
    levels: levels(y, 5, (share) => share * 100),
    // Of one check or two the axis would otherwise be told in tenths of a week.
    weeks: levels(x, Math.min(8, Math.max(2, Math.floor((plot.right - plot.left) / 70)))).filter(
      ({ value }) => Number.isInteger(value),
    ),
    zero: y(0),
    limits: limited.length > 1 ? band(limited) : null,
    average: chart.points.length > 1 ? average(chart.points) : null,
    points: chart.points.map(({ week, deviation, expandedUncertainty95: half, signals }) => ({
      x: x(week),
      y: y(deviation),
      low: y(deviation - half),
      high: y(deviation + half),
      signals,
    })),
    worn: worn >= span.from && worn <= span.to ? y(worn) : null,
    jumps: named(chart.rigJumps.map(({ at_ms }) => x((at_ms - start_ms) / WEEK_MS))),
    forecast: foreseen === null ? null : wedgeOf(foreseen, last, y(worn), x, y, plot.right),
  };
}

/** Room for the words beside a jump. */
const JUMP_LABEL = 64;

function named(places: readonly number[]): DrawnDrift['jumps'] {
  let last = -Infinity;
  return [...places]
    .sort((a, b) => a - b)
    .map((x) => {
      const isFree = x - last >= JUMP_LABEL;
      if (isFree) last = x;
      return { x, named: isFree };
    });
}

type Forecast = NonNullable<DriftChart['forecast']>;

function inReach(chart: DriftChart, lastWeek: number): Forecast | null {
  const { forecast } = chart;
  return forecast === null || forecast.week > lastWeek * FARTHEST || forecast.week < lastWeek
    ? null
    : forecast;
}

function wedgeOf(
  { week, earliest, latest }: Forecast,
  last: DriftChart['points'][number],
  level: number,
  x: (week: number) => number,
  y: (deviation: number) => number,
  right: number,
): NonNullable<DrawnDrift['forecast']> {
  const tip = { x: x(last.week), y: y(last.average) };
  const from = x(Math.max(earliest, last.week));
  const to = Math.min(latest === null ? right : x(latest), right);
  const open = latest === null || x(latest) > right;
  // Beyond the picture the lower edge is cut where it leaves it.
  const lower = open && latest !== null ? cutAt(right, tip, { x: x(latest), y: level }) : level;
  const far = latest === null ? ` L${right} ${tip.y}` : ` L${to} ${lower}`;
  return {
    wedge: `M${tip.x} ${tip.y} L${from} ${level} L${to} ${level}${open ? far : ''} Z`,
    x: x(week),
    y: level,
    from,
    to,
    open,
  };
}

function cutAt(right: number, a: { x: number; y: number }, b: { x: number; y: number }): number {
  return a.y + ((right - a.x) / (b.x - a.x)) * (b.y - a.y);
}
