import { normalQuantile } from '../../base/statistics/distributions.ts';
import { LOG_GAIN, LOSS, OFFSET, type RigFit, type RigQuestion } from './rig-model.ts';
import type { TipOrRig, WithInterval } from './tip-or-rig.ts';

/** What a tip gives over its reference, taken apart. Factors on the flow, 1 = nothing. */
export interface Parts {
  readonly deviation: WithInterval;
  readonly rig: WithInterval;
  readonly tip: WithInterval;
  /** How much larger the tip's part is than the rig's, on the logarithm, without their signs. */
  readonly tipOverRig: WithInterval;
  /** False: its own reference had to speak for the rig, because nothing else could. */
  readonly toldByOthers: boolean;
}

export function interval(value: number, standardUncertainty: number): WithInterval {
  return { value, standardUncertainty, expandedUncertainty95: normalQuantile(0.975) * standardUncertainty };
}

/**
 * The rig's part at the middle of the tip's own pressures P: √(g(P + b)/P/(1 + c·k²)); the tip's own change; their product. Straight-line
 * propagation with the whole covariance of the fit (JCGM 100:2008 5.2).
 */
export function partsOf({ tips }: RigQuestion, fit: RigFit, tip: number): Parts {
  const { points } = tips[tip]!;
  const middle_Pa = Math.exp(
    points.reduce((sum, point) => sum + Math.log(point.pressure_Pa), 0) / points.length,
  );
  const p = fit.parameters;
  const reference = fit.referenceAt(tip);
  const change = fit.changeAt(tip);
  const k = p[reference]! + (change === null ? 0 : p[change]!);
  const size = Math.exp(2 * (k - fit.largest));
  const lost = 1 + p[LOSS]! * size;
  const pressure_Pa = middle_Pa + 1e5 * p[OFFSET]!;
  const rig = new Map<number, number>([
    [OFFSET, 5e4 / pressure_Pa],
    [LOG_GAIN, 0.5],
    [LOSS, (-0.5 * size) / lost],
    [reference, (-p[LOSS]! * size) / lost],
    ...(change === null ? [] : [[change, (-p[LOSS]! * size) / lost] as const]),
  ]);
  const rigValue = 0.5 * (p[LOG_GAIN]! + Math.log(pressure_Pa / middle_Pa) - Math.log(lost));
  const own = new Map<number, number>(change === null ? [] : [[change, 1]]);
  const ownValue = change === null ? 0 : p[change]!;
  const both = sumOf(rig, 1, own, 1);
  const deviation = factor(rigValue + ownValue, deviationOf(fit, both));
  const signs = [Math.sign(ownValue) || 1, Math.sign(rigValue) || 1] as const;
  return {
    deviation,
    rig: factor(rigValue, deviationOf(fit, rig)),
    tip: factor(ownValue, deviationOf(fit, own)),
    toldByOthers: change !== null,
    tipOverRig: interval(
      Math.abs(ownValue) - Math.abs(rigValue),
      deviationOf(fit, sumOf(own, signs[0], rig, -signs[1])),
    ),
  };
}

/**
 * `neither`: the flow is as the reference says, within its ± of 95 %. `tip`, `rig`: at 99 % that part is the larger and is not nothing. A
 * tip that can't have changed leaves the rig. Anything else: `cannot-tell`.
 */
export function blameOf(parts: Parts, anchor: boolean): TipOrRig['tips'][number]['blame'] {
  const { deviation, tip, rig, tipOverRig } = parts;
  if (!isSure(deviation, TO_DOUBT)) {
    return isSure(tip, TO_BLAME) && isSure(rig, TO_BLAME) ? 'cannot-tell' : 'neither';
  }
  if (anchor) return isSure(deviation, TO_BLAME) ? 'rig' : 'cannot-tell';
  if (!parts.toldByOthers) return 'cannot-tell';
  const margin = normalQuantile(TO_BLAME) * tipOverRig.standardUncertainty;
  if (tipOverRig.value > margin && isSure(tip, TO_BLAME)) return 'tip';
  if (-tipOverRig.value > margin && isSure(rig, TO_BLAME)) return 'rig';
  return 'cannot-tell';
}

/** Nothing but its own reference spoke for the rig: either part may be all of the deviation, or none. */
export function untold(parts: Parts): Parts {
  const half = Math.abs(parts.deviation.value - 1) + parts.deviation.expandedUncertainty95;
  const either = { ...interval(1, half / normalQuantile(0.975)), expandedUncertainty95: half };
  return { ...parts, rig: either, tip: either };
}

/** The narrowest interval about the first that holds them all. */
export function enclosing(all: readonly WithInterval[]): WithInterval {
  const first = all[0]!;
  const half = Math.max(...all.map((one) => Math.abs(one.value - first.value) + one.expandedUncertainty95));
  return { ...first, expandedUncertainty95: half };
}

function isSure({ value, standardUncertainty }: WithInterval, p: number): boolean {
  return Math.abs(value - 1) > normalQuantile(p) * standardUncertainty;
}

/** Two-sided 95 %, and the 99 % that it takes to blame: measured, up to 0.6 % of healthy tips are then blamed. */
const TO_DOUBT = 0.975;
const TO_BLAME = 0.995;

function factor(log: number, u: number): WithInterval {
  return interval(Math.exp(log), Math.exp(log) * u);
}

function sumOf(a: ReadonlyMap<number, number>, ofA: number, b: ReadonlyMap<number, number>, ofB: number) {
  const sum = new Map<number, number>();
  for (const [place, slope] of a) sum.set(place, ofA * slope);
  for (const [place, slope] of b) sum.set(place, (sum.get(place) ?? 0) + ofB * slope);
  return sum;
}

function deviationOf({ covariance }: RigFit, slopes: ReadonlyMap<number, number>): number {
  let variance = 0;
  for (const [i, a] of slopes) for (const [j, b] of slopes) variance += a * b * covariance(i, j);
  return Math.sqrt(Math.max(0, variance));
}
