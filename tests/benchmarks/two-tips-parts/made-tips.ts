import type { SharedPart } from '../../../src/analysis/budget/budget.ts';
import { compareTips } from '../../../src/analysis/comparison/compare-tips.ts';
import type { TipSweep } from '../../../src/analysis/comparison/tip-sweep.ts';
import type { CurveInput, CurvePoint, SettingProtocol } from '../../../src/analysis/curve/curve-point.ts';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import { settingMeans } from '../../../src/analysis/curve/setting-means.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';

const TRUE_K = 3e-8;
const settings_psi = [20, 30, 40, 50, 60];

export interface MadeTip {
  readonly tip?: string;
  /** k of the tip, in units of a common one. */
  readonly size: number;
  readonly protocol: SettingProtocol;
  readonly own: number;
  readonly dial_psi: number;
  /** True errors that all its catches share: relative of flow, psi of pressure, relative of pressure. */
  readonly gain?: number;
  readonly offset_psi?: number;
  readonly pressureGain?: number;
  /** Error of the dial at each setting, where it goes back to the same (psi, five of them). */
  readonly marks?: readonly number[];
  readonly settings_psi?: readonly number[];
  readonly scale?: { readonly name: string | null; readonly factor: number; readonly u: number } | null;
  readonly rig?: string;
  readonly day?: string;
  readonly told?: Partial<TipSweep['pressure']>;
}

/** A sweep of a made tip: flows with noise, the fit, and what is told of it. */
export function madeTip(made: MadeTip, random: Random): TipSweep {
  const points: CurvePoint[] = [];
  for (const [place, setting] of (made.settings_psi ?? settings_psi).entries()) {
    let error = made.marks?.[place] ?? made.dial_psi * random.normal();
    for (let repeat = 0; repeat < 3; repeat++) {
      if (made.protocol === 're-set' && repeat > 0) error = made.dial_psi * random.normal();
      const true_psi = (setting + error + (made.offset_psi ?? 0)) * (1 + (made.pressureGain ?? 0));
      const flow =
        made.size *
        TRUE_K *
        Math.sqrt(true_psi * PSI_PA) *
        (1 + (made.gain ?? 0)) *
        (1 + made.own * random.normal());
      points.push({
        pressure_Pa: setting * PSI_PA,
        setting_Pa: setting * PSI_PA,
        flow_m3_per_s: flow,
        ownStandardUncertainty_m3_per_s: flow * made.own,
        sharedRelativeStandardUncertainty: made.scale?.u ?? 0,
      });
    }
  }
  const input: CurveInput = {
    points,
    protocol: made.protocol,
    settingStandardUncertainty_Pa: made.dial_psi * PSI_PA,
    pressureMeasured: false,
  };
  const curve = fitNozzleCurve(input);
  if (!curve.ok) throw new Error(curve.because);
  const scale = made.scale === undefined ? { name: 'one', factor: 1, u: 0 } : made.scale;
  return {
    tip: made.tip ?? 'A',
    curve: curve.value,
    settings: settingMeans(input),
    shared: scale === null || scale.u === 0 ? [] : [scaleFactor(scale.factor, scale.u)],
    flowFrom: 'mass',
    instrument: scale?.name ?? null,
    rig: made.rig ?? 'rig',
    day: made.day ?? '2026-11-26',
    simulated: true,
    pressure: {
      source: 'dial',
      returns: made.marks !== undefined,
      sharedOffsetStandardUncertainty_Pa: made.dial_psi * PSI_PA,
      sharedGainRelativeStandardUncertainty: null,
      ...made.told,
    },
    held: true,
    meterOffsetStandardUncertainty_m3_per_s: 0,
  };
}

export function scaleFactor(value: number, relative: number): SharedPart {
  return {
    input: 'scale-factor',
    value,
    unit: '1',
    standardUncertainty: relative,
    distribution: 'normal',
    degreesOfFreedom: 1e6,
    relative,
  };
}

/** What two sweeps have in common; each with the errors that this makes. */
export const togetherness = [
  'one scale, one dial, free knob',
  'one scale, a dial that clicks',
  'two scales',
  'two rigs with gauges',
] as const;

/** Does the interval of the ratio hold the true one? `truth` 1: like tips. */
export function comparedSweeps(
  how: (typeof togetherness)[number],
  truth: number,
  runs: number,
  seed: number,
) {
  let held = 0;
  let different = 0;
  const halves: number[] = [];
  for (let run = 0; run < runs; run++) {
    const random = new Random(seed, `${how}/${run}`);
    const common = {
      protocol: how.includes('clicks') ? 'set-once' : 're-set',
      own: 0.005,
      dial_psi: 1.5,
    } as const;
    const offset_psi = 1.5 * random.normal();
    const marks = settings_psi.map(() => 1.5 * random.normal());
    const of = (size: number, tip: string, name: string): TipSweep =>
      madeTip(
        {
          ...common,
          tip,
          size,
          ...(how.includes('clicks') ? { marks } : { offset_psi }),
          ...(how === 'two scales'
            ? {
                gain: 0.004 * random.normal(),
                scale: { name, factor: name === 'x' ? 1.001 : 0.998, u: 0.004 },
              }
            : {}),
          ...(how === 'two rigs with gauges'
            ? {
                rig: name,
                offset_psi: 0.5 * random.normal(),
                pressureGain: 0.01 * random.normal(),
                told: {
                  sharedOffsetStandardUncertainty_Pa: 0.5 * PSI_PA,
                  sharedGainRelativeStandardUncertainty: 0.01,
                },
              }
            : {}),
        },
        random,
      );
    const found = compareTips(of(truth, 'A', 'x'), of(1, 'B', 'y')).compared;
    if (found === null) throw new Error('not compared');
    if (Math.abs(found.ratio / truth - 1) <= found.expandedUncertainty95 / found.ratio) held++;
    if (found.verdict === 'different') different++;
    halves.push(found.expandedUncertainty95 / found.ratio);
  }
  return {
    how,
    truth,
    runs,
    coveragePercent: (100 * held) / runs,
    differentPercent: (100 * different) / runs,
    medianHalfWidthPercent: 100 * halves.sort((a, b) => a - b)[Math.floor(runs / 2)]!,
  };
}
