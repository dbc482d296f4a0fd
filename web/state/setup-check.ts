/** From what was typed to a sweep's set-up, or to one plain sentence by each field that is not right yet. */
import type { RigSetup, SweepSetup, TipSetup } from '../contract.ts';
import { fieldErrors } from '../wording/fields.ts';
import { plain } from '../wording/number.ts';
import { JET_KG_PER_KG_PER_S, USABLE_SHARE } from '../../src/planning/room-in-pail.ts';
import { tooClose } from '../../src/planning/settings-apart.ts';
import { typedBore, typedNumber, typedNumbers } from '../wording/typed-number.ts';
import type { ShownUnit, ShownUnits } from '../wording/units.ts';
import { checkRoutine, MOST_CATCHES_OF_A_TIP } from './routine-check.ts';
import { checkPlumbing, checkRating } from './plumbing-check.ts';
import { LONGEST_NAME, type SetupFieldName, type SetupFields } from './setup-fields.ts';

export type SetupErrors = Partial<Record<SetupFieldName, string>>;

export interface CheckedSetup {
  readonly errors: SetupErrors;
  /** Null while any field that matters is not right. */
  readonly setup: SweepSetup | null;
  /** For timing by hand only; null when not right. */
  readonly markSpacing_m3: number | null;
}

/** Judgement, no source: well beyond small sprayers (about 500 psi), so a slipped digit or unit is caught. */
const HIGHEST_SETTING_PA = 35e5;
/** Judgement, no source: 20 gal/min or so. */
const HIGHEST_FLOW_M3_PER_S = 1.25e-3;
/** A shorter catch does not count; the sweep itself asks the same of pail and scale (room-in-pail.ts). */
const SHORTEST_CATCH_S = 8;
const WATER_KG_PER_M3 = 1000;
const MOST_SETTINGS = 12;
const MOST_CATCHES = 12;

interface Range {
  readonly low: number;
  readonly high: number;
}

export class Checker {
  readonly errors: SetupErrors = {};
  readonly #fields: SetupFields;

  constructor(fields: SetupFields) {
    this.#fields = fields;
  }

  fail(field: SetupFieldName, message: string): null {
    this.errors[field] ??= message;
    return null;
  }

  name(field: 'tipName' | 'rigName' | 'otherTip'): string | null {
    const text = this.#fields[field].trim();
    if (text === '') return this.fail(field, fieldErrors.nameMissing);
    return text.length > LONGEST_NAME ? this.fail(field, fieldErrors.nameTooLong(LONGEST_NAME)) : text;
  }

  /** A number in SI within a range, both ends included. */
  ranged(field: SetupFieldName, unit: ShownUnit, range: Range): number | null {
    const text = this.#fields[field];
    if (text.trim() === '') return this.fail(field, fieldErrors.empty);
    const typed = field === 'hoseBore' ? typedBore(text) : typedNumber(text);
    if (typed === null) return this.fail(field, fieldErrors.notANumber);
    const value = unit.toSI(typed);
    if (value >= range.low && value <= range.high) return value;
    const say = (si: number): string => `${plain(Number(unit.fromSI(si).toPrecision(2)))} ${unit.label}`;
    return this.fail(field, fieldErrors.between(say(range.low), say(range.high)));
  }

  percent(field: SetupFieldName, low: number, high: number): number | null {
    return this.ranged(field, percent, { low, high });
  }

  whole(field: SetupFieldName, low: number, high: number): number | null {
    const typed = typedNumber(this.#fields[field]);
    if (typed === null) return this.fail(field, fieldErrors.notANumber);
    if (Number.isInteger(typed) && typed >= low && typed <= high) return typed;
    return this.fail(field, fieldErrors.wholeBetween(low, high));
  }
}

const percent: ShownUnit = {
  label: '%',
  spoken: 'percent',
  fromSI: (value) => value * 100,
  toSI: (shown) => shown / 100,
};

function checkSettings(
  fields: SetupFields,
  units: ShownUnits,
  checker: Checker,
  byHand: boolean,
): number[] | null {
  const list = typedNumbers(fields.settings, units.system === 'metric');
  if ('notANumber' in list) return checker.fail('settings', fieldErrors.notANumberIn(list.notANumber));
  const { numbers } = list;
  if (numbers.length === 0) return checker.fail('settings', fieldErrors.noSettings);
  if (numbers.length > MOST_SETTINGS)
    return checker.fail('settings', fieldErrors.tooManySettings(MOST_SETTINGS));
  const { pressure } = units;
  for (const [index, number] of numbers.entries()) {
    if (number <= 0) return checker.fail('settings', fieldErrors.settingNotPositive);
    if (pressure.toSI(number) > HIGHEST_SETTING_PA) {
      const limit = `${Math.floor(pressure.fromSI(HIGHEST_SETTING_PA))} ${pressure.label}`;
      return checker.fail('settings', fieldErrors.settingAbsurd(limit));
    }
    if (numbers.indexOf(number) !== index)
      return checker.fail('settings', fieldErrors.settingTwice(plain(number)));
  }
  const settings_Pa = numbers.map((number) => pressure.toSI(number));
  if (!byHand && fields.routine !== 'one-tip' && numbers.length > 1)
    return checker.fail('settings', fieldErrors.oneSetting);
  const mustBeTold = fields.protocol === 'one-pour' || fields.settingsFrom === 'sensor';
  const close = mustBeTold ? tooClose([...settings_Pa].sort((a, b) => a - b)) : null;
  if (close !== null) {
    const [low, high] = close.map((setting) => plain(pressure.fromSI(setting)));
    return checker.fail('settings', fieldErrors.settingsTooClose(`${low!} and ${high!} ${pressure.label}`));
  }
  return settings_Pa;
}

function checkTip(fields: SetupFields, units: ShownUnits, checker: Checker): TipSetup | null {
  const name = checker.name('tipName');
  const flowText = fields.ratedFlow.trim();
  const pressureText = fields.ratedPressure.trim();
  if (flowText === '' && pressureText === '')
    return name === null ? null : { name, ratedFlow_m3_per_s: null, ratedPressure_Pa: null };
  if (flowText === '') return checker.fail('ratedFlow', fieldErrors.ratedHalf);
  if (pressureText === '') return checker.fail('ratedPressure', fieldErrors.ratedHalf);
  const flow = typedNumber(flowText);
  if (flow === null) return checker.fail('ratedFlow', fieldErrors.notANumber);
  if (flow <= 0) return checker.fail('ratedFlow', fieldErrors.flowNotPositive);
  const ratedFlow_m3_per_s = units.flow.toSI(flow);
  if (ratedFlow_m3_per_s > HIGHEST_FLOW_M3_PER_S) {
    const limit = `${Math.round(units.flow.fromSI(HIGHEST_FLOW_M3_PER_S))} ${units.flow.label}`;
    return checker.fail('ratedFlow', fieldErrors.flowAbsurd(limit));
  }
  const ratedPressure_Pa = checker.ranged('ratedPressure', units.pressure, {
    low: 1e4,
    high: HIGHEST_SETTING_PA,
  });
  if (name === null || ratedPressure_Pa === null) return null;
  return { name, ratedFlow_m3_per_s, ratedPressure_Pa };
}

/** Judgement, no source: faster or slower than this nobody pumps for a minute. The session asks the same (plan.ts). */
const BEAT_S: Range = { low: 0.5, high: 5 };
const second: ShownUnit = { label: 's', spoken: 'seconds', fromSI: (value) => value, toSI: (shown) => shown };

/** What drives the water and what stands on the scale; by hand neither matters to the clock. */
function checkDrive(
  fields: SetupFields,
  checker: Checker,
  byHand: boolean,
): Pick<RigSetup, 'kind' | 'strokePeriod_s' | 'standsOnScale'> | null {
  if (byHand) return { kind: 'held', strokePeriod_s: null, standsOnScale: 'pail' };
  const { rigKind: kind, standsOnScale } = fields;
  if (kind !== 'pumped-while-spraying') return { kind, strokePeriod_s: null, standsOnScale };
  if (standsOnScale === 'sprayer') return checker.fail('standsOnScale', fieldErrors.pumpedOnScale);
  const strokePeriod_s = checker.ranged('beat', second, BEAT_S);
  return strokePeriod_s === null ? null : { kind, strokePeriod_s, standsOnScale };
}

function checkRig(
  fields: SetupFields,
  units: ShownUnits,
  checker: Checker,
  byHand: boolean,
): RigSetup | null {
  const name = checker.name('rigName');
  const dial_Pa = checker.ranged('dialPlusMinus', units.pressure, { low: 500, high: 5e5 });
  // By hand there is no scale; the pail's own volume bounds the catch, and the limit is only carried along.
  const scaleLimit_kg = byHand ? 1000 : checker.ranged('scaleLimit', units.load, { low: 0.5, high: 500 });
  const pailVolume_m3 = checker.ranged('pail', units.pail, { low: 5e-4, high: 0.2 });
  const drive = checkDrive(fields, checker, byHand);
  if (name === null || dial_Pa === null || scaleLimit_kg === null || pailVolume_m3 === null) return null;
  const plumbing = checkPlumbing(fields, units, checker);
  if (drive === null) return null;
  return {
    name,
    control: fields.control,
    // The person tells about 95 % (19 in 20); of a normal error that is two standard uncertainties.
    settingStandardUncertainty_Pa: dial_Pa / 2,
    scaleLimit_kg,
    pailVolume_m3,
    wand: fields.wand,
    plumbing,
    ...drive,
  };
}

/**
 * Pail and scale have to take the shortest catch that counts at the highest setting, by the flow stamped on the tip and the square
 * root of the pressure, with nothing but water on the scale: what fails here fails in every pail.
 */
function checkRoom(
  tip: TipSetup,
  rig: RigSetup,
  settings_Pa: readonly number[],
  units: ShownUnits,
  checker: Checker,
  byHand: boolean,
): void {
  if (tip.ratedFlow_m3_per_s === null || tip.ratedPressure_Pa === null) return;
  const highest_Pa = Math.max(...settings_Pa);
  const flow_m3_per_s = tip.ratedFlow_m3_per_s * Math.sqrt(highest_Pa / tip.ratedPressure_Pa);
  const at = `${plain(units.pressure.fromSI(highest_Pa))} ${units.pressure.label}`;
  const say = (unit: ShownUnit, si: number): string => {
    const step = 10 ** (Math.floor(Math.log10(unit.fromSI(si))) - 1);
    return `${plain(Math.ceil(unit.fromSI(si) / step) * step)} ${unit.label}`;
  };
  const water_m3 = (flow_m3_per_s * SHORTEST_CATCH_S) / USABLE_SHARE;
  const onScale = rig.standsOnScale === 'sprayer';
  if (rig.pailVolume_m3 < water_m3)
    checker.fail('pail', fieldErrors.tooSmallForCatch(at, SHORTEST_CATCH_S, say(units.pail, water_m3)));
  // A sprayer on the scale is heaviest with its tank full, before anything has run.
  const load_kg = onScale
    ? rig.pailVolume_m3 * WATER_KG_PER_M3
    : (flow_m3_per_s * WATER_KG_PER_M3 * (SHORTEST_CATCH_S + JET_KG_PER_KG_PER_S)) / USABLE_SHARE;
  if (!byHand && rig.scaleLimit_kg < load_kg)
    checker.fail(
      'scaleLimit',
      onScale
        ? fieldErrors.tooSmallForTank(say(units.load, load_kg))
        : fieldErrors.tooSmallForCatch(at, SHORTEST_CATCH_S, say(units.load, load_kg)),
    );
}

/**
 * Checks everything at once, so that each wrong field can say so.
 * @param orderSeed seed of the random order, drawn once by the caller.
 */
export function checkSetup(
  fields: SetupFields,
  units: ShownUnits,
  orderSeed: number,
  byHand = false,
): CheckedSetup {
  const checker = new Checker(fields);
  const tip = checkTip(fields, units, checker);
  const settings_Pa = checkSettings(fields, units, checker, byHand);
  const rig = checkRig(fields, units, checker, byHand);
  if (settings_Pa !== null) checkRating(settings_Pa, rig?.plumbing ?? null, units, checker);
  if (tip !== null && settings_Pa !== null && rig !== null)
    checkRoom(tip, rig, settings_Pa, units, checker, byHand);
  const water =
    fields.water.trim() === '' ? null : checker.ranged('water', units.temperature, { low: 0, high: 60 });
  const routine = byHand ? null : checkRoutine(fields, checker);
  const isRoutine = !byHand && fields.routine !== 'one-tip';
  const isTurnable = fields.rigKind === 'held' && fields.standsOnScale === 'pail';
  if (!byHand && !isRoutine && fields.protocol === 'one-pour' && !isTurnable)
    checker.fail('protocol', fieldErrors.onePourHeld);
  const isTwo = isRoutine && fields.routine !== 'boom';
  const catches = byHand
    ? 1
    : checker.whole('catches', isTwo ? 2 : 1, isTwo ? MOST_CATCHES_OF_A_TIP : MOST_CATCHES);
  const target = byHand ? 0.01 : checker.ranged('target', percent, { low: 0.001, high: 0.1 });
  const markSpacing_m3 = byHand
    ? checker.ranged('markSpacing', units.volume, { low: 1e-6, high: 5e-3 })
    : null;
  const wrong = Object.keys(checker.errors).length > 0;
  const setup =
    wrong || tip === null || settings_Pa === null || rig === null || catches === null || target === null
      ? null
      : {
          tip,
          rig,
          settings_Pa,
          catchesPerSetting: catches,
          order: fields.order,
          orderSeed,
          targetRelative: target,
          waterTemperature_degC: water,
          protocol: byHand || isRoutine ? ('each-catch' as const) : fields.protocol,
          settingsFrom: byHand || isRoutine ? ('prompts' as const) : fields.settingsFrom,
          occasion: isRoutine ? ('sweep' as const) : fields.occasion,
          routine,
        };
  return { errors: checker.errors, setup, markSpacing_m3: wrong ? null : markSpacing_m3 };
}
