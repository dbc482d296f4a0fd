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
/** A bracket is never less tall than this, or it would pass for a tick. */
const LEAST_HEIGHT = 10;
/** A letter of the chart, a little more than it takes. */
const LETTER_WIDTH = 8;

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
  const last = seen.at(-1);
  return {
    model: hasModel ? model(seen) : null,
    reference: input.referenceLabel !== '' && seen.length > 1 ? reference(seen) : null,
    referenceAt:
      input.referenceLabel === '' || last === undefined
        ? null
        : {
            x: x(pressures_Pa[last]!),
            y: y(k * Math.sqrt(pressures_Pa[last]!)) + referenceSide(diagnosis, last, k, pressures_Pa),
          },
    marks: diagnosis.marks.map((mark, index) => drawMark(mark, input.labels[index] ?? '', drawn)),
  };
}

/** Under the reference's curve where the tip gives more, over it where it gives less. */
function referenceSide(
  diagnosis: Diagnosis,
  last: number,
  k: number,
  pressures_Pa: readonly number[],
): number {
  const model = diagnosis.modelFlow_m3_per_s[last];
  return model === undefined || model >= k * Math.sqrt(pressures_Pa[last]!) ? 20 : -10;
}

function drawMark(mark: Diagnosis['marks'][number], label: string, { x, y, plot }: DrawnCurve): DrawnMark {
  const at = x(mark.pressure_Pa);
  const flows = [y(mark.flow_m3_per_s), y(mark.expectedFlow_m3_per_s)];
  const wide = label.length * LETTER_WIDTH;
  if (mark.kind === 'from-here-up' || mark.kind === 'from-here-down') {
    const end = mark.kind === 'from-here-up' ? plot.right : plot.left;
    const under = Math.min(Math.max(...flows) + 26, plot.bottom - 24);
    const right = Math.max(at, end);
    return {
      path: `M${at} ${under - LIP} V${under} H${end} v${-LIP}`,
      label,
      x: right,
      y: under + 18,
      anchor: 'end',
    };
  }
  const middle = (flows[0]! + flows[1]!) / 2;
  const half = Math.max(Math.abs(flows[0]! - flows[1]!), LEAST_HEIGHT) / 2;
  // Where the label fits: right of it, else left.
  const onRight = at + ASIDE + LIP + wide + 4 <= plot.right;
  const from = onRight ? at + ASIDE : at - ASIDE;
  const lip = onRight ? LIP : -LIP;
  return {
    path: `M${from} ${middle - half} h${lip} V${middle + half} h${-lip}`,
    label,
    x: from + lip + (onRight ? 6 : -6),
    y: middle + 5,
    anchor: onRight ? 'start' : 'end',
  };
}
