import type { Wand } from '../../analysis/flow/jet-allowance.ts';
import type { RigCheckFound } from '../../analysis/diagnosis/evidence.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { PSI_PA } from '../../base/units/constants.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { Reading } from '../../signal/reading.ts';
import { HeardWater } from '../heard-water.ts';
import { BlankTipSession } from './blank-tip-session.ts';
import { DialZeroSession } from './dial-zero-session.ts';
import { FlowStopsSession } from './flow-stops-session.ts';
import { SagSession } from './sag-session.ts';
import type { RigCheckMachine } from './rig-check-view.ts';
import { SlopeHeard } from './slope-heard.ts';
import { WandGaugeSession } from './wand-gauge-session.ts';

/** What is to be checked. SI; `division_Pa`: between two marks of the dial or gauge, null: not told. */
export type RigCheckPlan =
  | { readonly kind: 'dial-at-zero'; readonly division_Pa: number | null }
  | {
      readonly kind: 'flow-stops-at';
      /** From high to low, the first one where water surely runs. */
      readonly marks_Pa: readonly number[];
      readonly settingStandardUncertainty_Pa: number;
    }
  | {
      readonly kind: 'blank-tip';
      readonly pressure_Pa: number;
      /** How well the dial gives that pressure. */
      readonly settingStandardUncertainty_Pa: number;
      readonly weakestRating_Pa: number | null;
      /** A bypass or a pressure switch: a pump without is never blocked. */
      readonly pumpHasBypass: boolean;
    }
  | {
      readonly kind: 'wand-gauge';
      /** One to three. */
      readonly settings_Pa: readonly number[];
      /** How well the dial gives such a setting: the gauge is held against it. */
      readonly settingStandardUncertainty_Pa: number;
      readonly division_Pa: number | null;
    }
  | {
      readonly kind: 'sag-test';
      /** Where the dial is set, and left. */
      readonly setting_Pa: number;
      readonly wand: Wand;
    };

/** What listens meanwhile; null: nothing does, and only what is read by eye can be checked. */
export interface RigCheckEars {
  readonly header: CaptureHeader;
  readonly standsOnScale: 'pail' | 'sprayer';
  /** Was the scale found to show a slow trickle? Null: nobody tested it. */
  readonly showsSlowChange: boolean | null;
}

/** A dial read by eye where nobody told its marks (measurement 5.3); else half of what lies between two of them. */
const DIAL_U_PA = 0.7 * PSI_PA;
/** A sensor that was not checked: half a percent of full scale, rectangular, as in a sweep. */
const SENSOR_SHARE = 0.005 / Math.sqrt(3);
/**
 * A blank is tested up to this part of the rating: where no water is taken a regulator or a pump lets the pressure rise above what was
 * set. Judgement, no source.
 */
const OF_RATING = 0.9;
/** What a dial is off, standard uncertainties: 95 % of a normal error. */
const PER_STANDARD = 2;
const MOST_MARKS = 12;
const MOST_SETTINGS = 3;
/** No small sprayer goes there (about 500 psi). */
const ABSURD_PA = 35e5;

/**
 * The check's machine. Refused: `instrument-not-open` (nothing listens, and it would have to be heard), `rig-rating-missing`,
 * `blank-above-rating`, `pump-without-bypass`, `rig-check-needs-pail`, `rig-check-marks-wrong`, `setting-not-positive`, `setting-absurd`.
 * @param before what was found of this rig today: a dial that shows less than nothing without pressure shows too little under it too.
 */
export function createRigCheck(
  plan: RigCheckPlan,
  ears: RigCheckEars | null,
  before: readonly RigCheckFound[] = [],
): Outcome<RigCheckMachine> {
  const heard =
    ears === null ? null : new SlopeHeard(new HeardWater(ears.header), ears.standsOnScale === 'sprayer');
  switch (plan.kind) {
    case 'dial-at-zero':
      return ok(new DialZeroSession({ standardUncertainty_Pa: readingOf(plan.division_Pa), heard }));
    case 'wand-gauge': {
      const { settings_Pa, division_Pa } = plan;
      const count = settings_Pa.length;
      if (count === 0 || count > MOST_SETTINGS || !settings_Pa.every((one) => one > 0))
        return refused('setting-not-positive');
      if (settings_Pa.some((one) => one > ABSURD_PA)) return refused('setting-absurd');
      const standardUncertainty_Pa = Math.hypot(readingOf(division_Pa), plan.settingStandardUncertainty_Pa);
      return ok(new WandGaugeSession({ settings_Pa, standardUncertainty_Pa, heard }));
    }
    case 'flow-stops-at': {
      const { marks_Pa } = plan;
      const falls = marks_Pa.every((mark, i) => mark > 0 && (i === 0 || mark < marks_Pa[i - 1]!));
      if (!falls || marks_Pa.length < 2 || marks_Pa.length > MOST_MARKS)
        return refused('rig-check-marks-wrong');
      if (marks_Pa[0]! > ABSURD_PA) return refused('setting-absurd');
      if (heard === null || ears === null) return refused('instrument-not-open');
      return ok(new FlowStopsSession({ ...plan, heard, sensor: sensorOf(ears.header) }));
    }
    case 'blank-tip':
      return blankTip(plan, heard, ears, before);
    case 'sag-test': {
      const { setting_Pa, wand } = plan;
      if (!(setting_Pa > 0)) return refused('setting-not-positive');
      if (setting_Pa > ABSURD_PA) return refused('setting-absurd');
      if (heard === null || ears === null) return refused('instrument-not-open');
      const { averagedReadings, isMetered: metered } = new HeardWater(ears.header);
      return ok(
        new SagSession({
          setting_Pa,
          heard,
          look: { wand, averagedReadings, metered },
          sensor_Pa: sensorOf(ears.header)?.pressure_Pa ?? null,
        }),
      );
    }
  }
}

function blankTip(
  plan: Extract<RigCheckPlan, { kind: 'blank-tip' }>,
  heard: SlopeHeard | null,
  ears: RigCheckEars | null,
  before: readonly RigCheckFound[],
): Outcome<RigCheckMachine> {
  const { pressure_Pa, weakestRating_Pa } = plan;
  if (!plan.pumpHasBypass) return refused('pump-without-bypass');
  if (weakestRating_Pa === null) return refused('rig-rating-missing');
  if (!(pressure_Pa > 0)) return refused('setting-not-positive');
  const limit_Pa = OF_RATING * weakestRating_Pa;
  const atMost_Pa = pressure_Pa + mostBeyondDial_Pa(plan.settingStandardUncertainty_Pa, before);
  if (!(atMost_Pa <= limit_Pa))
    return refused('blank-above-rating', {
      pressure_Pa,
      with_what_the_dial_may_be_off_Pa: atMost_Pa,
      rating_Pa: weakestRating_Pa,
      most_Pa: limit_Pa,
    });
  if (heard === null || ears === null) return refused('instrument-not-open');
  // A meter tells no drip, and a sprayer on the scale is held by a hand that presses on it.
  const weighs = ears.header.instrument === 'scale' || ears.header.gramsPerCount !== undefined;
  if (!weighs || ears.standsOnScale === 'sprayer') return refused('rig-check-needs-pail');
  const sensor = sensorOf(ears.header);
  const { showsSlowChange } = ears;
  if (showsSlowChange === false) return refused('scale-swallows-slow-change');
  return ok(
    new BlankTipSession({
      pressure_Pa,
      pressureStandardUncertainty_Pa: plan.settingStandardUncertainty_Pa,
      limit_Pa,
      heard,
      sensor_Pa: sensor?.pressure_Pa ?? null,
      showsSlowChange,
    }),
  );
}

/** How much more than the dial shows there may be: its own ±, and what it fell short by without pressure. */
function mostBeyondDial_Pa(standardUncertainty_Pa: number, before: readonly RigCheckFound[]): number {
  const zero = before.findLast((found) => found.kind === 'dial-at-zero');
  return PER_STANDARD * standardUncertainty_Pa + Math.max(0, -(zero?.shown_Pa ?? 0));
}

function readingOf(division_Pa: number | null): number {
  return division_Pa === null ? DIAL_U_PA : division_Pa / 2;
}

function sensorOf(header: CaptureHeader): {
  readonly standardUncertainty_Pa: number;
  readonly pressure_Pa: (reading: Reading) => number | null;
} | null {
  const { pressureFullScale_Pa: fullScale_Pa, pressureZero_Pa = 0, pressureGain = 1 } = header;
  if (header.instrument !== 'bench-board' || fullScale_Pa === undefined) return null;
  return {
    standardUncertainty_Pa: header.pressureStandardUncertainty_Pa ?? SENSOR_SHARE * fullScale_Pa,
    pressure_Pa: ({ supplyFraction }) =>
      supplyFraction === null
        ? null
        : pressureGain * (((supplyFraction - 0.1) / 0.8) * fullScale_Pa - pressureZero_Pa),
  };
}
