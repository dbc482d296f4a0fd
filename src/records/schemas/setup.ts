import * as v from 'valibot';
import { gaugePlaces } from '../../analysis/diagnosis/evidence.ts';
import { occasions } from '../sweep-setup.ts';
import { rigKinds } from '../../signal/captures/header.ts';
import { filledText, LONGEST_LIST, notNegative, positive, quantity, text, wholeNumber } from './common.ts';

const tip = v.strictObject({
  name: text,
  ratedFlow_m3_per_s: v.nullable(positive),
  ratedPressure_Pa: v.nullable(positive),
});

const plumbing = v.strictObject({
  gaugeAt: v.nullable(v.picklist(gaugePlaces)),
  hoseLength_m: v.nullable(notNegative),
  hoseBore_m: v.nullable(positive),
  tipAboveGauge_m: v.nullable(quantity),
  weakestRating_Pa: v.nullable(positive),
});

const rig = v.strictObject({
  name: text,
  control: v.picklist(['turns-freely', 'clicks-or-shows']),
  settingStandardUncertainty_Pa: notNegative,
  scaleLimit_kg: positive,
  pailVolume_m3: positive,
  wand: v.picklist(['guided', 'hand-held']),
  kind: v.picklist(rigKinds),
  strokePeriod_s: v.nullable(positive),
  standsOnScale: v.picklist(['pail', 'sprayer']),
  plumbing: v.nullable(plumbing),
});

export const setupSchema = v.strictObject({
  tip,
  rig,
  settings_Pa: v.pipe(v.array(positive), v.maxLength(LONGEST_LIST)),
  catchesPerSetting: wholeNumber,
  order: v.picklist(['random', 'as-listed']),
  orderSeed: v.pipe(v.number(), v.safeInteger()),
  targetRelative: positive,
  waterTemperature_degC: v.nullable(quantity),
  protocol: v.picklist(['each-catch', 'one-pour']),
  settingsFrom: v.picklist(['prompts', 'sensor']),
  occasion: v.picklist(occasions),
  routine: v.nullable(
    v.variant('kind', [
      v.strictObject({ kind: v.literal('tip-against-tip'), otherTip: tip, wantedDifference: positive }),
      v.strictObject({ kind: v.literal('boom'), positions: wholeNumber }),
      v.strictObject({
        kind: v.literal('bag'),
        otherTips: v.pipe(v.array(tip), v.maxLength(LONGEST_LIST)),
      }),
    ]),
  ),
});

const averagedReadings = v.nullable(positive);

export const instrumentSchema = v.variant('kind', [
  v.strictObject({
    kind: v.literal('scale'),
    bareUnit: v.nullable(v.picklist(['mg', 'g', 'kg', 't', 'lb', 'oz'])),
    averagedReadings,
  }),
  v.strictObject({
    kind: v.literal('bench-board'),
    kilogramsPerCount: quantity,
    countsAtZero: quantity,
    averagedReadings,
    pulsesPerCubicMetre: v.nullable(positive),
    meterOffset_Hz: quantity,
    pressureFullScale_Pa: v.nullable(positive),
  }),
]);

export const captureHeaderSchema = v.pipe(filledText, v.startsWith('#catchbench-capture '), v.endsWith('\n'));
