/** The live trace as a uPlot attachment: made once per element, fed by an effect of the component. */
import uPlot from 'uplot';
import 'uplot/dist/uPlot.min.css';
import { clockTime, significant } from '../wording/number.ts';
import type { Bracket, TraceColumns } from './trace-columns.ts';

export interface TracePlot {
  show(columns: TraceColumns, brackets: readonly Bracket[]): void;
  resize(width: number, height: number): void;
  destroy(): void;
}

interface Colours {
  readonly ink: string;
  readonly quiet: string;
  readonly line: string;
  readonly measured: string;
  readonly asked: string;
  readonly fault: string;
  readonly stroke: number;
}

/** The canvas can't read custom properties by itself. */
function coloursOf(element: Element): Colours {
  const style = getComputedStyle(element);
  const read = (name: string): string => style.getPropertyValue(name).trim() || '#000';
  return {
    ink: read('--ink'),
    quiet: read('--quiet'),
    line: read('--line'),
    measured: read('--measured'),
    asked: read('--asked'),
    fault: read('--fault'),
    stroke: Number(style.getPropertyValue('--stroke')) || 1,
  };
}

/** A quiet pail shows as a line, not as its noise: at least 2 % of what stands in it, and never less than a tenth of a unit. */
function massRange(low: number | null, high: number | null): [number, number] {
  if (low === null || high === null) return [0, 1];
  const span = Math.max(high - low, Math.abs(high) * 0.02, 0.1);
  const middle = (low + high) / 2;
  return [middle - span * 0.55, middle + span * 0.55];
}

const FONT = "13px 'Atkinson Hyperlegible Next Variable', sans-serif";

export function makeTracePlot(
  element: HTMLElement,
  size: { readonly width: number; readonly height: number },
  options: { readonly timeAxis: boolean; readonly window_s: number | null },
): TracePlot {
  const colours = coloursOf(element);
  let drawn: readonly Bracket[] = [];
  const axis: uPlot.Axis = {
    stroke: colours.quiet,
    font: FONT,
    grid: { stroke: colours.line, width: 1 },
    ticks: { show: false },
  };
  const plot = new uPlot(
    {
      ...size,
      padding: [26, 10, options.timeAxis ? 0 : 8, 0],
      legend: { show: false },
      cursor: { show: false },
      scales: {
        x: {
          time: false,
          // A live trace keeps its width in time and slides; a recording is shown whole.
          range: (_, low, high) => [options.window_s === null ? low : high - options.window_s, high],
        },
        y: { range: (_, low, high) => massRange(low, high) },
      },
      axes: [
        options.timeAxis
          ? { ...axis, grid: { show: false }, size: 30, values: (_, splits) => splits.map(clockTime) }
          : { show: false },
        { ...axis, size: 52, space: 34, values: (_, splits) => splits.map((value) => significant(value, 6)) },
      ],
      series: [{}, { stroke: colours.measured, width: 2 * colours.stroke, points: { show: false } }],
      hooks: { draw: [(self) => drawBrackets(self, drawn, colours)] },
    },
    [[], []],
    element,
  );
  return {
    show: (columns, brackets) => {
      drawn = brackets;
      plot.setData(columns);
    },
    resize: (width, height) => plot.setSize({ width, height }),
    destroy: () => plot.destroy(),
  };
}

/** A bracket over each catch, its setting and flow above it; a void one is dashed, so colour is not alone. */
function drawBrackets(self: uPlot, brackets: readonly Bracket[], colours: Colours): void {
  const { ctx, bbox } = self;
  const ratio = uPlot.pxRatio;
  const first = self.scales['x']?.min;
  const last = self.scales['x']?.max;
  if (first == null || last == null) return;
  const tint = { kept: colours.measured, void: colours.fault, running: colours.asked } as const;
  const y = bbox.top - 4 * ratio;
  ctx.save();
  ctx.lineWidth = 2 * ratio * colours.stroke;
  ctx.font = FONT.replace('13px', `${13 * ratio}px`);
  ctx.textAlign = 'center';
  ctx.textBaseline = 'bottom';
  let labelledFrom = Number.POSITIVE_INFINITY;
  // Newest first: where two labels would run into each other, the newer one stands.
  for (const bracket of brackets.toReversed()) {
    if (bracket.stop_s < first || bracket.start_s > last) continue;
    const left = Math.max(bbox.left, self.valToPos(Math.max(bracket.start_s, first), 'x', true));
    const right = Math.min(bbox.left + bbox.width, self.valToPos(Math.min(bracket.stop_s, last), 'x', true));
    ctx.strokeStyle = tint[bracket.kind];
    ctx.setLineDash(bracket.kind === 'void' ? [4 * ratio, 4 * ratio] : []);
    ctx.beginPath();
    if (bracket.start_s >= first) {
      ctx.moveTo(left, y + 8 * ratio);
      ctx.lineTo(left, y);
    } else ctx.moveTo(left, y);
    ctx.lineTo(right, y);
    if (bracket.stop_s <= last) ctx.lineTo(right, y + 8 * ratio);
    ctx.stroke();
    const width = ctx.measureText(bracket.label).width;
    const middle = Math.min(Math.max((left + right) / 2, width / 2), self.ctx.canvas.width - width / 2);
    if (middle + width / 2 < labelledFrom - 6 * ratio) {
      ctx.fillStyle = bracket.kind === 'kept' ? colours.ink : tint[bracket.kind];
      ctx.fillText(bracket.label, middle, y - 3 * ratio);
      labelledFrom = middle - width / 2;
    }
  }
  ctx.restore();
}
