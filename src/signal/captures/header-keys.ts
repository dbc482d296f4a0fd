import { rigKinds, type CaptureHeader } from './header.ts';
import { plainNumber } from './mark.ts';

type KnownKey = Exclude<keyof CaptureHeader, 'unknown'>;
type KeyRule =
  | { readonly kind: 'text' }
  | { readonly kind: 'yes-or-no' }
  | { readonly kind: 'one-of'; readonly values: readonly string[] }
  | {
      readonly kind: 'number';
      readonly min: number;
      readonly max: number;
      readonly not?: number;
      readonly whole?: boolean;
    };

/**
 * Every key of a capture's header, in the order they are written, with the values it may have. The bounds are wide: they
 * refuse what can't be meant (a negative factor of a meter, a temperature in kelvin), not what is merely odd.
 */
export const headerKeys: Readonly<Record<KnownKey, KeyRule>> = {
  instrument: { kind: 'one-of', values: ['scale', 'bench-board'] },
  startedAt: { kind: 'text' },
  unit: { kind: 'one-of', values: ['mg', 'g', 'kg', 't', 'lb', 'oz'] },
  waterTemperature_degC: { kind: 'number', min: 0, max: 100 },
  averagedReadings: { kind: 'number', min: 1, max: 1000, whole: true },
  scaleFactorFrom: { kind: 'one-of', values: ['mass-pieces', 'water-volume', 'maker'] },
  // Negative is a load cell mounted the other way round.
  gramsPerCount: { kind: 'number', min: -1000, max: 1000, not: 0 },
  pulsesPerLitre: { kind: 'number', min: 1e-3, max: 1e6 },
  meterOffset_Hz: { kind: 'number', min: -1000, max: 1000 },
  pressureFullScale_Pa: { kind: 'number', min: 1, max: 1e9 },
  settingStandardUncertainty_Pa: { kind: 'number', min: 0, max: 1e8 },
  settingProtocol: { kind: 'one-of', values: ['re-set', 'set-once'] },
  wand: { kind: 'one-of', values: ['hand-held', 'guided'] },
  tip: { kind: 'text' },
  ratedFlow_m3_per_s: { kind: 'number', min: 0, max: 1, not: 0 },
  ratedPressure_Pa: { kind: 'number', min: 0, max: 1e8, not: 0 },
  // A pinhole gives 1e-10, a fire hose 1e-5.
  referenceNozzleConstant_m3_per_s_per_sqrtPa: { kind: 'number', min: 1e-12, max: 1e-3 },
  referenceRelativeStandardUncertainty: { kind: 'number', min: 0, max: 1 },
  sweepId: { kind: 'text' },
  simulated: { kind: 'yes-or-no' },
  standsOnScale: { kind: 'one-of', values: ['pail', 'sprayer'] },
  rigKind: { kind: 'one-of', values: rigKinds },
  strokePeriod_s: { kind: 'number', min: 0.2, max: 10 },
  scaleFactor: { kind: 'number', min: 0.5, max: 2 },
  scaleFactorRelativeStandardUncertainty: { kind: 'number', min: 0, max: 1 },
  // Found with water it is less by the air.
  scaleFactorFound: { kind: 'number', min: 0.499, max: 2 },
  pulsesPerLitreStandardUncertainty: { kind: 'number', min: 0, max: 1e6 },
  meterOffsetStandardUncertainty_Hz: { kind: 'number', min: 0, max: 1000 },
  meterCorrelation: { kind: 'number', min: -1, max: 1 },
  meterReferenceRelativeStandardUncertainty: { kind: 'number', min: 0, max: 1 },
  meterLowestFlow_m3_per_s: { kind: 'number', min: 0, max: 1, not: 0 },
  meterHighestFlow_m3_per_s: { kind: 'number', min: 0, max: 1, not: 0 },
  clockRatio: { kind: 'number', min: 0.8, max: 1.25 },
  clockRatioStandardUncertainty: { kind: 'number', min: 0, max: 1 },
  pressureZero_Pa: { kind: 'number', min: -1e7, max: 1e7 },
  pressureGain: { kind: 'number', min: 0.1, max: 10 },
  pressureStandardUncertainty_Pa: { kind: 'number', min: 0, max: 1e8 },
  referenceFrom: { kind: 'one-of', values: ['baseline', 'rated', 'drawer-tip'] },
  rig: { kind: 'text' },
  gaugeAt: { kind: 'one-of', values: ['pump', 'wand'] },
  hoseLength_m: { kind: 'number', min: 0, max: 1e4 },
  hoseBore_m: { kind: 'number', min: 1e-3, max: 1 },
  tipAboveGauge_m: { kind: 'number', min: -100, max: 100 },
  earlierFinding: { kind: 'text' },
  routine: { kind: 'one-of', values: ['tip-against-tip', 'bag', 'boom'] },
  referenceRigChanged: { kind: 'yes-or-no' },
  referenceWandRatio: { kind: 'number', min: 0.01, max: 10 },
  referenceWandRatioStandardUncertainty: { kind: 'number', min: 0, max: 10 },
};

/** The value of a known key as it stands in the file, or undefined where it can't be meant. */
export function headerValue(key: KnownKey, text: string): string | number | boolean | undefined {
  const rule = headerKeys[key];
  switch (rule.kind) {
    case 'text':
      return text;
    case 'yes-or-no':
      return text === 'true' || text === 'false' ? text === 'true' : undefined;
    case 'one-of': {
      const value = key === 'unit' ? unitNamed(text) : text;
      return rule.values.includes(value) ? value : undefined;
    }
    case 'number': {
      const value = plainNumber(text);
      if (value === null || value < rule.min || value > rule.max || value === rule.not) return undefined;
      return rule.whole === true && !Number.isInteger(value) ? undefined : value;
    }
  }
}

export function isKnownKey(key: string): key is KnownKey {
  return Object.hasOwn(headerKeys, key);
}

/** Units are written in any case, and a pound also in the plural, as scales do. */
function unitNamed(text: string): string {
  const unit = text.toLowerCase();
  return unit === 'lbs' ? 'lb' : unit;
}
