import type { SettingFlow, SweepFlows } from '../../analysis/drift/deviation.ts';
import type { NozzleCurve } from '../../analysis/curve/nozzle-curve.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { CurveAnswer } from '../../analysis/sweep/analyse-curve.ts';
import { dayOf } from './day-of.ts';

/** Header keys that say what was done about an instrument: another correction is another instrument. */
const ofTheCorrection = [
  'scaleFactor',
  'scaleFactorFound',
  'scaleFactorFrom',
  'pulsesPerLitre',
  'meterOffset_Hz',
] as const satisfies readonly (keyof CaptureHeader)[];

/** Mean flow at each setting with its own doubt, as the drift of the tip looks at it; null without a curve. */
export function flowsOf(sweep: {
  readonly sweepId: string;
  readonly at_ms: number;
  readonly timeZone: string;
  readonly shared: SweepFlows['shared'];
  readonly flowFrom: SweepFlows['flowFrom'];
  readonly header: CaptureHeader;
  readonly answer: CurveAnswer;
  readonly instrument: string;
  readonly instrumentChecked: boolean;
}): SweepFlows | null {
  const curve = sweep.answer.fitted?.curve;
  if (curve === undefined) return null;
  return {
    sweepId: sweep.sweepId,
    at_ms: sweep.at_ms,
    settings: settingFlows(curve),
    shared: sweep.shared,
    flowFrom: sweep.flowFrom,
    day: dayOf(sweep),
    instrument: JSON.stringify([
      sweep.instrument,
      ...ofTheCorrection.map((key) => sweep.header[key] ?? null),
    ]),
    instrumentChecked: sweep.instrumentChecked,
    isThisTip: null,
  };
}

/**
 * Of the fit's points: catches of a re-set knob, each with the knob's own error; setting means of a dial that clicks, without it, for it
 * comes back to the same wrong pressure. A pressure that was read is carried to the setting by its square root.
 */
function settingFlows(curve: NozzleCurve): readonly SettingFlow[] {
  const at = new Map<number, { flows: number[]; squares: number }>();
  curve.points.forEach((point, i) => {
    const flow = point.flow_m3_per_s * Math.sqrt(point.setting_Pa / point.pressure_Pa);
    const relative = ownOf(curve, i) / point.flow_m3_per_s;
    const here = at.get(point.setting_Pa) ?? { flows: [], squares: 0 };
    here.flows.push(flow);
    here.squares += relative ** 2;
    at.set(point.setting_Pa, here);
  });
  return [...at].map(([setting_Pa, { flows, squares }]) => ({
    setting_Pa,
    flow_m3_per_s: flows.reduce((sum, flow) => sum + flow, 0) / flows.length,
    ownRelativeStandardUncertainty: Math.sqrt(squares) / flows.length,
    ownDegreesOfFreedom: curve.effectiveDegreesOfFreedom,
  }));
}

function ownOf(curve: NozzleCurve, i: number): number {
  const whole = curve.points[i]!.standardUncertainty_m3_per_s;
  if (curve.protocol === 're-set' || curve.pressureMeasured) return whole;
  return Math.sqrt(Math.max(0, whole ** 2 - curve.pointParts[i]!.setting ** 2));
}
