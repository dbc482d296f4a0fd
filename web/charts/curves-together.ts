/** Several curves over each other, and their ratios to one of them, as plain geometry in pixels. */
import { line } from 'd3-shape';
import type { TipsCompared } from '../contract.ts';
import type { ShownUnits } from '../wording/units.ts';
import { axis, keepApart, levels, PATTERNS, spanOf, type Level } from './axes.ts';
import type { Size } from './curve-picture.ts';

interface Plot {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export interface DrawnLine {
  readonly key: string;
  readonly path: string;
  readonly pattern: string;
  readonly label: string;
  readonly labelY: number;
  /** Where the line itself ends, for a lead to a label that was moved away. */
  readonly end: { readonly x: number; readonly y: number };
  readonly dots: readonly {
    readonly x: number;
    readonly y: number;
    readonly low: number;
    readonly high: number;
  }[];
}

export interface DrawnTogether {
  readonly plot: Plot;
  readonly levels: readonly Level[];
  readonly pressures: readonly Level[];
  readonly lines: readonly DrawnLine[];
  /** Height of "the same" and of its name; null on the picture of the curves. */
  readonly same: { readonly y: number; readonly labelY: number } | null;
}

const LABEL_GAP = 18;
/** A letter of the chart, a little more than it takes. */
const LETTER_WIDTH = 8.2;

function plotOf(size: Size): Plot {
  // On a phone the labels take less of the little there is.
  const labels = Math.min(150, size.width * 0.3);
  return { left: 52, right: size.width - labels, top: 26, bottom: size.height - 44 };
}

const isRoomy = (plot: Plot): boolean => plot.right - plot.left >= 60 && plot.bottom - plot.top >= 60;

function cut(name: string, size: Size, plot: Plot): string {
  const longest = Math.floor((size.width - plot.right - 12) / LETTER_WIDTH);
  return name.length > longest ? `${name.slice(0, longest - 1)}…` : name;
}

export function patternOf(compared: TipsCompared, key: string): string {
  if (key === compared.against) return PATTERNS[0];
  const place = compared.curves
    .filter((one) => one.key !== compared.against)
    .findIndex((one) => one.key === key);
  return PATTERNS[1 + (Math.max(0, place) % (PATTERNS.length - 1))]!;
}

/** @returns null when none of them has a curve, or there is no room. */
export function drawTogether(compared: TipsCompared, units: ShownUnits, size: Size): DrawnTogether | null {
  const plot = plotOf(size);
  const drawable = compared.curves.flatMap(({ key, name, curve }) =>
    curve === null || curve.pressures_Pa.length < 2 ? [] : [{ key, name, curve }],
  );
  if (drawable.length === 0 || !isRoomy(plot)) return null;
  const across = spanOf(
    drawable.flatMap(({ curve }) => [...curve.pressures_Pa]),
    0,
  )!;
  const up = spanOf(
    drawable.flatMap(({ curve }) => [
      ...curve.flow_m3_per_s,
      ...curve.settings.map((mean) => mean.flow_m3_per_s + mean.expandedUncertainty95_m3_per_s),
      ...curve.settings.map((mean) => mean.flow_m3_per_s - mean.expandedUncertainty95_m3_per_s),
    ]),
    0.06,
  )!;
  const x = axis(across.from, across.to, plot.left, plot.right);
  const y = axis(Math.max(0, up.from), up.to, plot.bottom, plot.top);
  const ends = drawable.map(({ curve }) => y(curve.flow_m3_per_s.at(-1)!));
  const labelled = keepApart(ends, LABEL_GAP, plot.top, plot.bottom);
  return {
    plot,
    same: null,
    levels: levels(y, 4, (flow) => units.flow.fromSI(flow)),
    pressures: levels(x, plot.right - plot.left < 260 ? 3 : 5, (pressure) => units.pressure.fromSI(pressure)),
    lines: drawable.map(({ key, name, curve }, index) => ({
      key,
      path: line<number>()
        .x((at) => x(curve.pressures_Pa[at]!))
        .y((at) => y(curve.flow_m3_per_s[at]!))(curve.pressures_Pa.map((_, at) => at))!,
      pattern: patternOf(compared, key),
      label: cut(name, size, plot),
      labelY: labelled[index]!,
      end: { x: x(curve.pressures_Pa.at(-1)!), y: ends[index]! },
      dots: curve.settings.map(
        ({ setting_Pa, flow_m3_per_s: flow, expandedUncertainty95_m3_per_s: half }) => ({
          x: x(setting_Pa),
          y: y(flow),
          low: y(flow - half),
          high: y(flow + half),
        }),
      ),
    })),
  };
}

/** Whiskers of several ratios at one pressure stand beside each other. */
const LANE = 5;

/** @returns null when no pair has a ratio, or there is no room. */
export function drawRatios(compared: TipsCompared, units: ShownUnits, size: Size): DrawnTogether | null {
  const plot = plotOf(size);
  const pairs = compared.pairs.filter(({ at }) => at.length > 0);
  if (pairs.length === 0 || !isRoomy(plot)) return null;
  const all = pairs.flatMap(({ at }) => [...at]);
  const across = spanOf(
    all.map(({ pressure_Pa }) => pressure_Pa),
    0.12,
  )!;
  const up = spanOf(
    [1, ...all.flatMap(({ ratio, expandedUncertainty95: half }) => [ratio - half, ratio + half])],
    0.08,
  )!;
  const x = axis(across.from, across.to, plot.left, plot.right);
  const y = axis(up.from, up.to, plot.bottom, plot.top);
  const nameOf = (key: string): string => compared.curves.find((one) => one.key === key)?.name ?? key;
  const ends = pairs.map(({ at }) => y(at.at(-1)!.ratio));
  const labelled = keepApart([...ends, y(1)], LABEL_GAP, plot.top, plot.bottom);
  return {
    plot,
    same: { y: y(1), labelY: labelled.at(-1)! },
    levels: levels(y, 4),
    pressures: levels(x, plot.right - plot.left < 260 ? 3 : 5, (pressure) => units.pressure.fromSI(pressure)),
    lines: pairs.map(({ tip, at }, index) => {
      const aside = (index - (pairs.length - 1) / 2) * LANE;
      const dots = [...at]
        .sort((a, b) => a.pressure_Pa - b.pressure_Pa)
        .map(({ pressure_Pa, ratio, expandedUncertainty95: half }) => ({
          x: x(pressure_Pa) + aside,
          y: y(ratio),
          low: y(ratio - half),
          high: y(ratio + half),
        }));
      const last = dots.at(-1)!;
      return {
        key: tip,
        path: dots.map((dot, place) => `${place === 0 ? 'M' : 'L'}${dot.x} ${dot.y}`).join(' '),
        pattern: patternOf(compared, tip),
        label: cut(nameOf(tip), size, plot),
        labelY: labelled[index]!,
        end: { x: last.x, y: last.y },
        dots,
      };
    }),
  };
}
