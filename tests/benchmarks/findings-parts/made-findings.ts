import type { CurveInput, CurvePoint, SettingProtocol } from '../../../src/analysis/curve/curve-point.ts';
import { fitNozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { NozzleCurve } from '../../../src/analysis/curve/nozzle-curve.ts';
import type { RigCheckFound } from '../../../src/analysis/diagnosis/evidence.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import type { Random } from '../../../src/simulation/random.ts';

/** An invented tip: 0.4 gal/min at 40 psi, near enough. */
export const TRUE_K = 4.8e-8;

/** What is really the matter: flow at the true pressure that the setting gave, and what the dial shows at none. */
export interface Truth {
  readonly name: string;
  /** k over the reference. */
  readonly factor?: readonly [number, number];
  /** Share of the sound flow at 60 psi, growing as pressure to the exponent (1.25). */
  readonly leakShare?: readonly [number, number];
  readonly leakExponent?: number;
  /** A leak that opens only above this. */
  readonly leakAbove_psi?: number;
  readonly cap_psi?: number;
  readonly threshold_psi?: readonly [number, number];
  readonly dialOffset_psi?: number;
  readonly dialGain?: number;
  /** Relative loss of pressure on the way to the tip. */
  readonly lost?: number;
  /** Relative change of flow from the first catch to the last. */
  readonly sag?: number;
}

export interface Design {
  readonly name: string;
  readonly protocol: SettingProtocol;
  readonly catchRelative: number;
  readonly dial_psi: number;
  readonly statedDial_psi?: number;
  readonly reference: number;
  readonly settings_psi?: readonly number[];
  readonly catchesPerSetting?: number;
  /** Of each catch's own figure, drawn as χ²/ν; absent: it is told. */
  readonly ownDegreesOfFreedom?: number;
  readonly order?: 'random' | 'as-listed';
  readonly checks?: readonly RigCheckFound['kind'][];
  /** A sensor reads every pressure: noise of a mean, and the zero error that all share. */
  readonly sensor?: { readonly noise_psi: number; readonly zero_psi: number };
}

export interface MadeSweep {
  readonly curve: NozzleCurve;
  readonly referenceConstant: number;
  readonly checks: readonly RigCheckFound[];
  readonly input: CurveInput;
}

/** One sweep of made flows: no scale, no detector; the doubts are the design's. */
export function madeSweep(design: Design, truth: Truth, random: Random): MadeSweep {
  const draw = (range: readonly [number, number] | undefined, none: number): number =>
    range === undefined ? none : random.within([range[0], range[1]]);
  const factor = draw(truth.factor, 1);
  const leakShare = draw(truth.leakShare, 0);
  const threshold_psi = draw(truth.threshold_psi, 0);
  const exponent = truth.leakExponent ?? 1.25;
  const at60 = TRUE_K * Math.sqrt(60 * PSI_PA);
  const leakAt = (psi: number): number => {
    const over = psi - (truth.leakAbove_psi ?? 0);
    return over <= 0 ? 0 : leakShare * at60 * (over / (60 - (truth.leakAbove_psi ?? 0))) ** exponent;
  };
  const truePressure = (dial_psi: number): number =>
    Math.min(truth.cap_psi ?? Infinity, dial_psi / (truth.dialGain ?? 1) - (truth.dialOffset_psi ?? 0));
  const flowOf = (true_psi: number): number => {
    // A valve hardly open still lets a little through: no flow at all would be no catch.
    const there = Math.max(0.3, true_psi * (1 - (truth.lost ?? 0)) - threshold_psi);
    return factor * TRUE_K * Math.sqrt(there * PSI_PA) + leakAt(Math.max(0, true_psi));
  };

  const settings = design.settings_psi ?? [20, 30, 40, 50, 60];
  const each = design.catchesPerSetting ?? 3;
  const visits = Array.from({ length: settings.length * each }, (_, i) => settings[i % settings.length]!);
  if (design.order !== 'as-listed') shuffle(visits, random);
  else visits.sort((a, b) => a - b);
  const clicks = new Map(settings.map((psi) => [psi, design.dial_psi * random.normal()]));
  const zero_psi = (design.sensor?.zero_psi ?? 0) * random.normal();
  const points = visits.map((setting, i): CurvePoint => {
    const error = design.protocol === 'set-once' ? clicks.get(setting)! : design.dial_psi * random.normal();
    const true_psi = Math.min(truth.cap_psi ?? Infinity, truePressure(setting) + error);
    const sag = 1 + ((truth.sag ?? 0) * i) / Math.max(1, visits.length - 1);
    const flow = flowOf(true_psi) * sag;
    const seen = Math.sqrt(chiSquareOver(design.ownDegreesOfFreedom ?? Infinity, random));
    const read_psi =
      design.sensor === undefined ? setting : true_psi + zero_psi + design.sensor.noise_psi * random.normal();
    return {
      pressure_Pa: read_psi * PSI_PA,
      setting_Pa: setting * PSI_PA,
      flow_m3_per_s: flow * (1 + design.catchRelative * random.normal()),
      ownStandardUncertainty_m3_per_s: flow * design.catchRelative * seen,
      ...(design.ownDegreesOfFreedom === undefined
        ? {}
        : { ownDegreesOfFreedom: design.ownDegreesOfFreedom }),
      ...(design.sensor && { pressureStandardUncertainty_Pa: design.sensor.noise_psi * PSI_PA }),
      sharedRelativeStandardUncertainty: 0,
    };
  });
  const input: CurveInput = {
    points,
    protocol: design.protocol,
    settingStandardUncertainty_Pa:
      (design.sensor?.zero_psi ?? design.statedDial_psi ?? design.dial_psi) * PSI_PA,
    ...(design.sensor && { pressureSharedStandardUncertainty_Pa: design.sensor.zero_psi * PSI_PA }),
    pressureMeasured: design.sensor !== undefined,
  };
  const curve = fitNozzleCurve(input);
  if (!curve.ok) throw new Error(curve.because);
  const offset = truth.dialOffset_psi ?? 0;
  const found = (kind: RigCheckFound['kind']): RigCheckFound => {
    switch (kind) {
      case 'dial-at-zero':
        return {
          kind,
          shown_Pa: (offset + 0.7 * random.normal()) * PSI_PA,
          standardUncertainty_Pa: 0.7 * PSI_PA,
        };
      case 'flow-stops-at':
        return {
          kind,
          shown_Pa: (offset + threshold_psi + random.normal()) * PSI_PA,
          standardUncertainty_Pa: PSI_PA,
        };
      case 'blank-tip':
        return {
          kind,
          leak_m3_per_s: leakAt(60) + 5e-8 * random.normal(),
          standardUncertainty_m3_per_s: 5e-8,
          pressure_Pa: 60 * PSI_PA,
        };
      case 'wand-gauge': {
        const reaches = truePressure(40) * (1 - (truth.lost ?? 0));
        return {
          kind,
          setting_Pa: 40 * PSI_PA,
          wand_Pa: (reaches + 0.7 * random.normal()) * PSI_PA,
          standardUncertainty_Pa: 0.7 * PSI_PA,
        };
      }
      case 'sag-test':
        // No part of a fit: told beside the finding.
        return {
          kind,
          setting_Pa: 40 * PSI_PA,
          flowLostRelative: -(truth.sag ?? 0) / 2 + 0.0025 * random.normal(),
          relativeStandardUncertainty: 0.0025,
          sprayed_s: 150,
        };
    }
  };
  return {
    input,
    curve: curve.value,
    referenceConstant: TRUE_K * (1 + design.reference * random.normal()),
    checks: (design.checks ?? []).map(found),
  };
}

function shuffle(values: number[], random: Random): void {
  for (let i = values.length - 1; i > 0; i--) {
    const j = Math.floor(random.fraction() * (i + 1));
    [values[i], values[j]] = [values[j]!, values[i]!];
  }
}

function chiSquareOver(degreesOfFreedom: number, random: Random): number {
  if (degreesOfFreedom === Infinity) return 1;
  let sum = 0;
  for (let i = 0; i < degreesOfFreedom; i++) sum += random.normal() ** 2;
  return sum / degreesOfFreedom;
}
