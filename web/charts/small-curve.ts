/** A tip's curve as small as a word, from zero up, with what it is held against dotted beside it. */
import { line } from 'd3-shape';
import type { RackTip } from '../contract.ts';
import { axis } from './axes.ts';

export interface SmallCurve {
  readonly curve: string | null;
  readonly reference: string | null;
  readonly dots: readonly { readonly x: number; readonly y: number }[];
}

const PAD = 4;
const STEPS = 24;

/** k of the baseline, else of the stamp; null without either. */
export function referenceConstant(
  tip: Pick<RackTip, 'baseline' | 'ratedFlow_m3_per_s' | 'ratedPressure_Pa'>,
): number | null {
  if (tip.baseline !== null) return tip.baseline.nozzleConstant_m3_per_s_per_sqrtPa;
  const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = tip;
  return flow === null || pressure === null ? null : flow / Math.sqrt(pressure);
}

/** @returns null where there is neither curve nor setting to draw. */
export function smallCurve(
  tip: Pick<RackTip, 'curve' | 'baseline' | 'ratedFlow_m3_per_s' | 'ratedPressure_Pa'>,
  width: number,
  height: number,
): SmallCurve | null {
  const { curve } = tip;
  if (curve === null || curve.settings.length === 0) return null;
  const settings = curve.settings.map(({ setting_Pa }) => setting_Pa);
  const low = Math.min(...settings);
  const high = Math.max(...settings);
  const pad = high > low ? (high - low) * 0.1 : high * 0.3;
  const from = Math.max(0, low - pad);
  const to = high + pad;
  const k = referenceConstant(tip);
  const inside = curve.pressures_Pa.flatMap((pressure, index) =>
    pressure >= from && pressure <= to ? [index] : [],
  );
  const top = Math.max(
    ...curve.settings.map(({ flow_m3_per_s }) => flow_m3_per_s),
    ...inside.map((index) => curve.flow_m3_per_s[index]!),
    k === null ? 0 : k * Math.sqrt(to),
  );
  const x = axis(from, to, PAD, width - PAD);
  const y = axis(0, top, height - PAD, PAD);
  const path = line<readonly [number, number]>()
    .x(([pressure]) => x(pressure))
    .y(([, flow]) => y(flow));
  const steps = Array.from({ length: STEPS + 1 }, (_, step) => from + ((to - from) * step) / STEPS);
  return {
    curve:
      inside.length > 1
        ? path(inside.map((index) => [curve.pressures_Pa[index]!, curve.flow_m3_per_s[index]!] as const))
        : null,
    reference:
      k === null ? null : path(steps.map((pressure) => [pressure, k * Math.sqrt(pressure)] as const)),
    dots: curve.settings.map(({ setting_Pa, flow_m3_per_s }) => ({ x: x(setting_Pa), y: y(flow_m3_per_s) })),
  };
}
