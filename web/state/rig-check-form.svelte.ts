import type { RigCheckKind, RigCheckRequest, RigSetup } from '../contract.ts';
import { fieldErrors } from '../wording/fields.ts';
import { plain } from '../wording/number.ts';
import { typedNumber, typedNumbers } from '../wording/typed-number.ts';
import type { ShownUnit, ShownUnits } from '../wording/units.ts';

/** Round marks in each system; starting values, not conversions of each other. */
const MARKS = { us: '20 16 12 10 8 6 4 2', metric: '1.4 1.1 0.9 0.7 0.55 0.4 0.3 0.15' } as const;
const MOST_SETTINGS = 3;
/** The person tells about 95 %; of a normal error that is two standard uncertainties. */
const PER_STANDARD = 2;
/** What nobody told of the dial (measurement: 1.5 psi standard uncertainty). */
const USUAL_DIAL_PA = 2 * 1.5 * 6894.757293168;

export type RigCheckFieldName =
  'rigName' | 'division' | 'marks' | 'dial' | 'settings' | 'pressure' | 'rating' | 'bypass';
export type RigCheckErrors = Partial<Record<RigCheckFieldName, string>>;
export type TypedRigCheck = { readonly request: RigCheckRequest } | { readonly errors: RigCheckErrors };

/** What is typed before a check of the rig; the set-up fills in what it knows. What could hurt someone the worker refuses once more. */
export class RigCheckForm {
  kind = $state<RigCheckKind>('dial-at-zero');
  rigName = $state('');
  standsOnScale = $state<RigSetup['standsOnScale']>('pail');
  /** Of the set-up; where none is known the one whose ± is wider. */
  wand = $state<RigSetup['wand']>('hand-held');
  division = $state('');
  marks = $state('');
  dial = $state('');
  settings = $state('');
  pressure = $state('');
  rating = $state('');
  hasBypass = $state(false);

  /** What is empty is filled from the rig and its settings; what was typed here stands. */
  fill(rig: RigSetup | null, settings_Pa: readonly number[], units: ShownUnits): void {
    const { pressure } = units;
    const shown = (value_Pa: number): string => plain(Number(pressure.fromSI(value_Pa).toPrecision(3)));
    const keep = (typed: string, filled: string): string => (typed.trim() === '' ? filled : typed);
    const rising = [...settings_Pa].sort((a, b) => a - b);
    const middle = rising[Math.floor(rising.length / 2)];
    const some = rising.length < 2 ? rising : [rising[0]!, rising.at(-1)!];
    this.rigName = rig?.name ?? this.rigName;
    this.standsOnScale = rig?.standsOnScale ?? 'pail';
    this.wand = rig?.wand ?? 'hand-held';
    this.marks = keep(this.marks, MARKS[units.system]);
    this.dial = keep(
      this.dial,
      shown(rig === null ? USUAL_DIAL_PA : PER_STANDARD * rig.settingStandardUncertainty_Pa),
    );
    this.settings = keep(this.settings, some.map(shown).join(' '));
    this.pressure = keep(this.pressure, middle === undefined ? '' : shown(middle));
    const rated_Pa = rig?.plumbing?.weakestRating_Pa ?? null;
    this.rating = keep(this.rating, rated_Pa === null ? '' : shown(rated_Pa));
  }

  changeUnits(from: ShownUnits, to: ShownUnits): void {
    const turned = (shown: number): string => plain(to.pressure.fromSI(from.pressure.toSI(shown)));
    const list = (text: string): string => {
      const typed = typedNumbers(text, from.system === 'metric');
      return 'numbers' in typed ? typed.numbers.map(turned).join(' ') : text;
    };
    const one = (text: string): string => {
      const typed = typedNumber(text);
      return typed === null ? text : turned(typed);
    };
    if (from.system === to.system) return;
    this.marks = this.marks === MARKS[from.system] ? MARKS[to.system] : list(this.marks);
    this.settings = list(this.settings);
    this.division = one(this.division);
    this.dial = one(this.dial);
    this.pressure = one(this.pressure);
    this.rating = one(this.rating);
  }

  read(units: ShownUnits): TypedRigCheck {
    const errors: RigCheckErrors = {};
    const unit = units.pressure;
    const rigName = this.rigName.trim();
    if (rigName === '') errors.rigName = fieldErrors.nameMissing;
    const of = { rigName, standsOnScale: this.standsOnScale };
    const made = ((): RigCheckRequest | null => {
      switch (this.kind) {
        case 'dial-at-zero':
          return { ...of, kind: this.kind, division_Pa: this.#optional('division', unit, errors) };
        case 'wand-gauge': {
          const division_Pa = this.#optional('division', unit, errors);
          const settings_Pa = this.#list('settings', units, errors);
          const dial_Pa = this.#above('dial', unit, errors);
          if (settings_Pa !== null && settings_Pa.length > MOST_SETTINGS)
            errors.settings = fieldErrors.tooManySettings(MOST_SETTINGS);
          if (settings_Pa === null || dial_Pa === null) return null;
          const settingStandardUncertainty_Pa = dial_Pa / PER_STANDARD;
          return { ...of, kind: this.kind, settings_Pa, settingStandardUncertainty_Pa, division_Pa };
        }
        case 'sag-test': {
          const setting_Pa = this.#above('pressure', unit, errors);
          return setting_Pa === null ? null : { ...of, kind: this.kind, setting_Pa, wand: this.wand };
        }
        case 'flow-stops-at': {
          const marks_Pa = this.#list('marks', units, errors);
          const dial_Pa = this.#above('dial', unit, errors);
          if (marks_Pa === null || dial_Pa === null) return null;
          const settingStandardUncertainty_Pa = dial_Pa / PER_STANDARD;
          return { ...of, kind: this.kind, marks_Pa, settingStandardUncertainty_Pa };
        }
        case 'blank-tip': {
          const pressure_Pa = this.#above('pressure', unit, errors);
          const weakestRating_Pa = this.#above('rating', unit, errors);
          const dial_Pa = this.#above('dial', unit, errors);
          if (pressure_Pa === null || weakestRating_Pa === null || dial_Pa === null) return null;
          return {
            ...of,
            kind: this.kind,
            pressure_Pa,
            weakestRating_Pa,
            settingStandardUncertainty_Pa: dial_Pa / PER_STANDARD,
            pumpHasBypass: this.hasBypass,
          };
        }
      }
    })();
    return made === null || Object.keys(errors).length > 0 ? { errors } : { request: made };
  }

  #optional(field: 'division', unit: ShownUnit, errors: RigCheckErrors): number | null {
    return this[field].trim() === '' ? null : this.#above(field, unit, errors);
  }

  #above(
    field: 'division' | 'dial' | 'pressure' | 'rating',
    unit: ShownUnit,
    errors: RigCheckErrors,
  ): number | null {
    const text = this[field];
    const typed = typedNumber(text);
    if (typed !== null && typed > 0) return unit.toSI(typed);
    errors[field] =
      text.trim() === ''
        ? fieldErrors.empty
        : typed === null
          ? fieldErrors.notANumber
          : fieldErrors.aboveZero;
    return null;
  }

  #list(field: 'marks' | 'settings', units: ShownUnits, errors: RigCheckErrors): number[] | null {
    const typed = typedNumbers(this[field], units.system === 'metric');
    if ('notANumber' in typed) errors[field] = fieldErrors.notANumberIn(typed.notANumber);
    else if (typed.numbers.length === 0) errors[field] = fieldErrors.noSettings;
    else if (typed.numbers.some((number) => number <= 0)) errors[field] = fieldErrors.settingNotPositive;
    else return typed.numbers.map((number) => units.pressure.toSI(number));
    return null;
  }
}
