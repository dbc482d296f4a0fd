import { tQuantile } from '../../base/statistics/distributions.ts';
import type { CandidateData } from './candidate-data.ts';
import { flowOf } from './candidate-fit.ts';
import type { CandidateFit } from './candidate-fit.ts';
import type { CurveMark, Finding } from './diagnosis.ts';
import { meanResidual } from './verdict.ts';

/** Two-sided 95 %. */
const SHOWS = tQuantile(0.975, Infinity);

/**
 * What shows the finding on the curve. A scale: the whole curve, marked at its upper end. A leak: from the lowest setting up where it
 * stands out from the sound curve; a shift: from the highest such setting down; a weak pump: from the pressure it gives up. What does not
 * fit: the setting whose mean stands farthest from the named cause's curve. Nothing where no fault is shown.
 */
export function curveMarks(
  data: CandidateData,
  { cause, fits }: Finding,
  fit: CandidateFit,
  sound: CandidateFit,
): CurveMark[] {
  const lowest = data.settings[0]!;
  const highest = data.settings.at(-1)!;
  if (!fits) {
    const farthest = data.settings.reduce((most, group) => (off(group) > off(most) ? group : most));
    const { residual } = meanResidual(data, fit, farthest);
    const pressure = pressureOf(farthest);
    return [mark('at', pressure, flowOf(fit, pressure, data.leakExponent) + residual)];
  }
  switch (cause) {
    case 'no fault shown':
      return [];
    case 'worn':
    case 'restricted':
      return [asFitted('whole-curve', pressureOf(highest))];
    case 'leaking':
      return [asFitted('from-here-up', pressureOf(data.settings.find(standsOut) ?? highest))];
    case 'pump-limited':
      return [asFitted('from-here-up', fit.cap)];
    case 'threshold-or-dial-high':
    case 'dial-low':
      return [asFitted('from-here-down', pressureOf(data.settings.filter(standsOut).at(-1) ?? lowest))];
  }

  function asFitted(kind: CurveMark['kind'], pressure: number): CurveMark {
    return mark(kind, pressure, flowOf(fit, pressure, data.leakExponent));
  }

  function mark(kind: CurveMark['kind'], pressure: number, flow: number): CurveMark {
    return {
      kind,
      pressure_Pa: pressure * data.pressureUnit_Pa,
      expectedFlow_m3_per_s: soundFlow(pressure) * data.flowUnit_m3_per_s,
      flow_m3_per_s: flow * data.flowUnit_m3_per_s,
    };
  }

  /** As the reference says, with a loss on the way that a gauge at the wand has shown. */
  function soundFlow(pressure: number): number {
    return soundConstant(data, sound) * Math.sqrt(pressure);
  }

  function standsOut(group: readonly number[]): boolean {
    const pressure = pressureOf(group);
    const { u } = meanResidual(data, sound, group);
    return Math.abs(flowOf(fit, pressure, data.leakExponent) - soundFlow(pressure)) > SHOWS * u;
  }

  function off(group: readonly number[]): number {
    const { residual, u } = meanResidual(data, fit, group);
    return Math.abs(residual / u);
  }

  function pressureOf(group: readonly number[]): number {
    return group.reduce((sum, i) => sum + data.pressures[i]!, 0) / group.length;
  }
}

/** k of a sound tip at the marks of this dial: the reference; with a gauge at the wand that less what is lost on the way. */
function soundConstant(data: CandidateData, sound: CandidateFit): number {
  return data.evidence.wand.length === 0 ? data.reference.mean : sound.constant;
}
