import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { CurvePoint } from '../../../src/analysis/curve/curve-point.ts';
import { pointsOfCurve, type MeasuredTip } from '../../../src/analysis/tip-or-rig/measured-tip.ts';
import type { TipOrRig } from '../../../src/analysis/tip-or-rig/tip-or-rig.ts';
import { tellTipFromRig, type TipOrRigInput } from '../../../src/analysis/tip-or-rig/tell-tip-from-rig.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';

const LARGEST_K = 4.8e-8;
const settings_psi = [20, 30, 40, 50, 60];

export interface MadeRack {
  readonly name: string;
  /** k of each tip over the largest. */
  readonly sizes: readonly number[];
  readonly catch: number;
  readonly dial_psi: number;
  /** Relative standard uncertainty of each reference by itself, and of what they share. */
  readonly reference: number;
  readonly sharedReference?: number;
  readonly from?: 'baseline' | 'rated';
  /** True state: offset of the dial, gain of the pressure, share lost before the largest tip. */
  readonly offset_psi?: number;
  readonly gain?: number;
  readonly lost?: number;
  /** Change of each tip's k, 1 = none. */
  readonly changes?: readonly number[];
  readonly anchor?: number;
  /** A gauge at the wand, good to this (psi), read at 40 psi with the largest tip on. */
  readonly wand_psi?: number;
  readonly more?: Partial<TipOrRigInput>;
}

/** Flow of a tip on the rig as it truly is. */
function flowOf({ offset_psi = 0, gain = 1, lost = 0 }: MadeRack, k: number, setting_psi: number): number {
  const c = lost / (1 - lost) / LARGEST_K ** 2;
  return k * Math.sqrt((gain * (setting_psi + offset_psi) * PSI_PA) / (1 + c * k * k));
}

/** Five settings of three catches of each tip, knob re-set for each. */
export function madeTips(rack: MadeRack, random: Random): readonly MeasuredTip[] {
  const together = (rack.sharedReference ?? 0) * random.normal();
  return rack.sizes.map((size, i): MeasuredTip => {
    const named = LARGEST_K * size;
    const k = named * (rack.changes?.[i] ?? 1) * Math.exp(rack.reference * random.normal() + together);
    const points = settings_psi.flatMap((setting): CurvePoint[] =>
      [1, 2, 3].map(() => {
        const flow =
          flowOf(rack, k, setting + rack.dial_psi * random.normal()) * (1 + rack.catch * random.normal());
        return {
          pressure_Pa: setting * PSI_PA,
          setting_Pa: setting * PSI_PA,
          flow_m3_per_s: flow,
          ownStandardUncertainty_m3_per_s: flow * rack.catch,
          sharedRelativeStandardUncertainty: 0,
        };
      }),
    );
    const curve = fitNozzleCurve({
      points,
      protocol: 're-set',
      settingStandardUncertainty_Pa: rack.dial_psi * PSI_PA,
      pressureMeasured: false,
    });
    if (!curve.ok) throw new Error(curve.because);
    return {
      key: `${i}`,
      points: pointsOfCurve(curve.value),
      reference: {
        nozzleConstant_m3_per_s_per_sqrtPa: named,
        ownRelativeStandardUncertainty: rack.reference,
        sharedRelativeStandardUncertainty: rack.sharedReference ?? 0,
        sharedGroup: 'references',
        from: rack.from ?? 'rated',
        at_ms: rack.from === 'baseline' ? 1 : null,
      },
      sharedRelativeStandardUncertainty: 0,
      sharedGroup: 'today',
      anchor: rack.anchor === i,
    };
  });
}

/** What the shared model makes of such a rack. */
export function madeRack(rack: MadeRack, random: Random): TipOrRig {
  const { offset_psi = 0, gain = 1, lost = 0, wand_psi: wand } = rack;
  const found = tellTipFromRig({
    tips: madeTips(rack, random),
    dialReturns: false,
    ...(wand === undefined
      ? {}
      : {
          wand: [
            {
              setting_Pa: 40 * PSI_PA,
              wand_Pa:
                gain * (40 + offset_psi + rack.dial_psi * random.normal()) * PSI_PA * (1 - lost) +
                wand * PSI_PA * random.normal(),
              standardUncertainty_Pa: wand * PSI_PA,
              settingStandardUncertainty_Pa: rack.dial_psi * PSI_PA,
              tip: `${rack.sizes.indexOf(Math.max(...rack.sizes))}`,
            },
          ],
        }),
    ...rack.more,
  });
  if ('because' in found) throw new Error(found.because);
  return found;
}

export const deviation = (values: readonly number[]): number => {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
};

/** Standard deviations of b, g and c over the runs, how often their intervals hold the truth, and who was blamed for each tip. */
export function scoreRack(rack: MadeRack, runs: number, seed: number) {
  const found = Array.from({ length: runs }, (_, run) => madeRack(rack, new Random(seed, `rack/${run}`)));
  const { offset_psi = 0, gain = 1, lost = 0 } = rack;
  const apart = found.filter((one) => one.told === 'apart');
  const percent = (of: readonly TipOrRig[], holds: (one: TipOrRig) => boolean): number | null =>
    of.length === 0 ? null : (100 * of.filter(holds).length) / of.length;
  const within = (one: { value: number; expandedUncertainty95: number }, truth: number): boolean =>
    Math.abs(one.value - truth) <= one.expandedUncertainty95;
  return {
    ...rack,
    runs,
    seed,
    apartPercent: (100 * apart.length) / runs,
    standardDeviation: {
      offset_psi: deviation(found.map((one) => one.offset_Pa.value / PSI_PA)),
      gainPercent: apart.length < 2 ? null : 100 * deviation(apart.map((one) => one.gain!.value)),
      lostPercent: apart.length < 2 ? null : 100 * deviation(apart.map((one) => one.lostAtLargest!.value)),
    },
    coveragePercent: {
      offset: percent(found, (one) => within(one.offset_Pa, offset_psi * PSI_PA)),
      gain: percent(apart, (one) => within(one.gain!, gain)),
      lost: percent(apart, (one) => within(one.lostAtLargest!, lost)),
    },
    doesNotFitPercent: percent(found, (one) => one.fit.pValue < 0.05),
    eitherPercent: percent(found, (one) => one.warnings.includes('tip-or-rig-either')),
    tips: rack.sizes.map((size, i) => {
      const change = rack.changes?.[i] ?? 1;
      const k2 = (size * change) ** 2;
      const c = lost / (1 - lost);
      const middle_psi = Math.exp(
        settings_psi.reduce((sum, p) => sum + Math.log(p), 0) / settings_psi.length,
      );
      const rig = Math.sqrt((gain * (middle_psi + offset_psi)) / middle_psi / (1 + c * k2));
      const blamed = (who: string): number =>
        (100 * found.filter((one) => one.tips[i]!.blame === who).length) / runs;
      return {
        size,
        trueTipPart: change,
        trueRigPart: rig,
        tipPartCoverage: percent(found, (one) => within(one.tips[i]!.tipPart, change)),
        rigPartCoverage: percent(found, (one) => within(one.tips[i]!.rigPart, rig)),
        blamed: Object.fromEntries(['tip', 'rig', 'neither', 'cannot-tell'].map((who) => [who, blamed(who)])),
      };
    }),
  };
}

/** Measurement 11.9: standard deviations of b (psi), g (%) and the pressure lost at the largest tip (%). */
export const tableOfSizes = [
  { sizes: [1, 0.8], offset_psi: 0.9, gain: 7.8, lost: 9.0 },
  { sizes: [1, 0.5], offset_psi: 0.9, gain: 3.8, lost: 4.3 },
  { sizes: [1, 0.75, 0.5], offset_psi: 0.73, gain: 3.4, lost: 4.3 },
  { sizes: [1, 0.5, 0.25], offset_psi: 0.73, gain: 2.6, lost: 3.3 },
  { sizes: [1.5, 1.2, 1, 0.5, 0.25], offset_psi: 0.57, gain: 2.0, lost: 2.9 },
] as const;
