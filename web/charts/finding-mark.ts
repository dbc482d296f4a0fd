/** The mark of a finding on its curve, as plain geometry in pixels: the curve that the cause gives, and a bracket where it shows. */
import { line } from 'd3-shape';
import type { Diagnosis } from '../contract.ts';
import type { FindingToDraw } from '../wording/finding-mark.ts';
import type { DrawnCurve } from './curve-picture.ts';

export interface DrawnMark {
  readonly path: string;
  readonly label: string;
  readonly x: number;
  readonly y: number;
  readonly anchor: 'start' | 'end';
}

export interface DrawnFinding {
  readonly model: string | null;
  readonly reference: string | null;
  readonly referenceAt: { readonly x: number; readonly y: number } | null;
  readonly marks: readonly DrawnMark[];
}

/** Between the mean's whisker and the bracket. */
const ASIDE = 14;
const LIP = 6;
/** Between the curve and a bracket along it. */
const AWAY = 26;
/** A bracket is never less tall than this, or it would pass for a tick. */
const LEAST_HEIGHT = 10;
/** A letter of the chart, a little more than it takes. */
const LETTER_WIDTH = 8;
/** From the middle of the letters to the line they stand on. */
const HALF_LETTER = 5;

export function drawFinding(input: FindingToDraw, drawn: DrawnCurve): DrawnFinding {
  const { x, y, plot } = drawn;
  const { diagnosis, pressures_Pa } = input;
  const seen = pressures_Pa.flatMap((pressure, index) =>
    x(pressure) >= plot.left - 1 && x(pressure) <= plot.right + 1 ? [index] : [],
  );
  const model = line<number>()
    .x((index) => x(pressures_Pa[index]!))
    .y((index) => y(diagnosis.modelFlow_m3_per_s[index]!));
  const k = diagnosis.reference.nozzleConstant_m3_per_s_per_sqrtPa;
  const reference = line<number>()
    .x((index) => x(pressures_Pa[index]!))
    .y((index) => y(k * Math.sqrt(pressures_Pa[index]!)));
  const hasModel = diagnosis.modelFlow_m3_per_s.length === pressures_Pa.length && seen.length > 1;
  const named = gapOf(drawn);
  return {
    model: hasModel ? model(seen) : null,
    reference: input.referenceLabel !== '' && seen.length > 1 ? reference(seen) : null,
    referenceAt:
      input.referenceLabel === '' || seen.length < 2
        ? null
        : { x: x(named), y: y(k * Math.sqrt(named)) + HALF_LETTER },
    marks: diagnosis.marks.map((mark, index) => drawMark(mark, input.labels[index] ?? '', drawn)),
  };
}

/** Pressure in the middle between the two middle uprights, where its name stands on the reference's line; the rated one has its own at the right. */
function gapOf({ uprights, plot, pressureAt }: DrawnCurve): number {
  const across = uprights.map((upright) => upright.x).sort((a, b) => a - b);
  const middle = Math.floor((across.length - 1) / 2);
  const left = across[middle - 1] ?? plot.left;
  return pressureAt((left + (across[middle] ?? plot.right)) / 2);
}

function drawMark(
  mark: Diagnosis['marks'][number],
  label: string,
  { x, y, plot, uprights }: DrawnCurve,
): DrawnMark {
  const at = x(mark.pressure_Pa);
  const flows = [y(mark.flow_m3_per_s), y(mark.expectedFlow_m3_per_s)];
  const wide = label.length * LETTER_WIDTH;
  if (mark.kind === 'from-here-up' || mark.kind === 'from-here-down') {
    // Under the rising curve from here up, over it from here down: there it crosses nothing.
    const up = mark.kind === 'from-here-up';
    const level = up
      ? Math.min(Math.max(...flows) + AWAY, plot.bottom - 24)
      : Math.max(Math.min(...flows) - AWAY, plot.top + 24);
    const right = up ? plot.right : at;
    const fits = right - wide >= plot.left;
    return {
      path: `M${at} ${level + (up ? -LIP : LIP)} V${level} H${up ? plot.right : plot.left} v${up ? -LIP : LIP}`,
      label,
      x: fits ? right : plot.left + 4,
      y: up ? level + 18 : level - 8,
      anchor: fits ? 'end' : 'start',
    };
  }
  const middle = (flows[0]! + flows[1]!) / 2;
  const half = Math.max(Math.abs(flows[0]! - flows[1]!), LEAST_HEIGHT) / 2;
  const isOnRight = at + ASIDE + LIP <= plot.right;
  const from = isOnRight ? at + ASIDE : at - ASIDE;
  const lip = isOnRight ? LIP : -LIP;
  // A rising curve leaves room on its upper left and its lower right: there the label stands, clear of the marks of the setting.
  const isOver = mark.flow_m3_per_s >= mark.expectedFlow_m3_per_s;
  const marks = heightsAt(at, uprights);
  const fitsLeft = at - 8 - wide >= plot.left;
  const fitsRight = at + wide <= plot.right;
  return {
    path: `M${from} ${middle - half} h${lip} V${middle + half} h${-lip}`,
    label,
    x: isOver ? (fitsLeft ? at - 8 : plot.left + wide) : fitsRight ? at : plot.right,
    y: isOver
      ? Math.max(Math.min(middle - half, ...marks) - 12, plot.top + 12)
      : Math.min(Math.max(middle + half, ...marks) + 22, plot.bottom - 8),
    anchor: isOver || !fitsRight ? 'end' : 'start',
  };
}

/** Heights of what is drawn at the upright that stands there. */
function heightsAt(x: number, uprights: DrawnCurve['uprights']): number[] {
  const here = uprights.find((upright) => Math.abs(upright.x - x) < 4);
  if (here === undefined) return [];
  return [...here.repeats.map(({ y }) => y), ...(here.mean === null ? [] : [here.mean.low, here.mean.high])];
}
