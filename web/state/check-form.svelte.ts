import type { CheckRequest, ScaleReference } from '../contract.ts';
import { checkWords } from '../wording/checks.ts';
import { fieldErrors } from '../wording/fields.ts';
import { significant } from '../wording/number.ts';
import { typedNumber, typedNumbers } from '../wording/typed-number.ts';
import type { ShownUnit, ShownUnits } from '../wording/units.ts';
import type { SetupFields } from './setup-fields.ts';

const MOST_LOADS = 3;
/** What a person calls ± holds nearly always: two standard uncertainties. */
const PER_STANDARD = 2;

export type CheckFieldName =
  'amounts' | 'plusMinus' | 'temperature' | 'limit' | 'trickle' | 'known' | 'knownPlusMinus';
export type CheckErrors = Partial<Record<CheckFieldName, string>>;
export type Typed = { readonly request: CheckRequest } | { readonly errors: CheckErrors };

/** What is typed before a check. What only the instrument can judge (too heavy, too light for its steps) the worker refuses in words. */
export class CheckForm {
  kind = $state<ScaleReference['kind']>('mass-pieces');
  amounts = $state('');
  plusMinus = $state('0.1');
  temperature = $state('');
  limit = $state('');
  trickle = $state('');
  known = $state('');
  knownPlusMinus = $state('');
  /** What the set-up filled in; the person may have changed it since. */
  #filled = { limit: '', temperature: '' };

  /** Starting figures differ: a weight is known better than a mark on a jug. */
  choose(kind: ScaleReference['kind']): void {
    if (this.plusMinus === (this.kind === 'mass-pieces' ? '0.1' : '0.5'))
      this.plusMinus = kind === 'mass-pieces' ? '0.1' : '0.5';
    this.kind = kind;
  }

  /** From the set-up, what it knows already; what the person typed here stands. */
  fillFrom(setup: Pick<SetupFields, 'scaleLimit' | 'water'>): void {
    if (this.limit === this.#filled.limit) this.limit = setup.scaleLimit;
    if (this.temperature === this.#filled.temperature) this.temperature = setup.water;
    this.#filled = { limit: setup.scaleLimit, temperature: setup.water };
  }

  /** Turns what was typed over to other units: it stays the same weight, volume or pressure. */
  changeUnits(from: ShownUnits, to: ShownUnits): void {
    const unitOf = (units: ShownUnits): ShownUnit => (this.kind === 'water-volume' ? units.pail : units.load);
    const list = typedNumbers(this.amounts, from.system === 'metric');
    if ('numbers' in list)
      this.amounts = list.numbers.map((amount) => turned(amount, unitOf(from), unitOf(to))).join(' ');
    this.limit = turnOver(this.limit, from.load, to.load);
    this.temperature = turnOver(this.temperature, from.temperature, to.temperature);
    this.trickle = turnOver(this.trickle, from.mass, to.mass);
    this.known = turnOver(this.known, from.pressure, to.pressure);
    this.knownPlusMinus = turnOver(this.knownPlusMinus, from.pressure, to.pressure);
    this.#filled = {
      limit: turnOver(this.#filled.limit, from.load, to.load),
      temperature: turnOver(this.#filled.temperature, from.temperature, to.temperature),
    };
  }

  scale(units: ShownUnits): Typed {
    const errors: CheckErrors = {};
    const list = typedNumbers(this.amounts, units.system === 'metric');
    const amounts = 'numbers' in list ? list.numbers : [];
    if ('notANumber' in list) errors.amounts = fieldErrors.notANumberIn(list.notANumber);
    else if (amounts.length === 0) errors.amounts = fieldErrors.empty;
    else if (amounts.length > MOST_LOADS) errors.amounts = checkWords.tooMany;
    else if (amounts.some((amount, i) => i > 0 && amount <= amounts[i - 1]!))
      errors.amounts = checkWords.ascending;
    const percent = number(this.plusMinus, errors, 'plusMinus');
    const limit = this.limit.trim() === '' ? null : number(this.limit, errors, 'limit');
    const trickle = this.trickle.trim() === '' ? null : number(this.trickle, errors, 'trickle');
    const isWater = this.kind === 'water-volume';
    const temperature = !isWater || this.temperature.trim() === '' ? null : typedNumber(this.temperature);
    if (isWater && this.temperature.trim() !== '' && temperature === null)
      errors.temperature = fieldErrors.notANumber;
    if (Object.keys(errors).length > 0 || percent === null) return { errors };
    const relative = percent / 100 / PER_STANDARD;
    return {
      request: {
        kind: 'scale',
        limit_kg: limit === null ? null : units.load.toSI(limit),
        ...(trickle !== null && !isWater && { trickle_kg: units.mass.toSI(trickle) }),
        references: amounts.map((amount): ScaleReference => {
          if (!isWater) {
            const mass_kg = units.load.toSI(amount);
            return { kind: 'mass-pieces', mass_kg, standardUncertainty_kg: Math.abs(relative * mass_kg) };
          }
          const volume_m3 = units.pail.toSI(amount);
          return {
            kind: 'water-volume',
            volume_m3,
            standardUncertainty_m3: Math.abs(relative * volume_m3),
            temperature_degC: temperature === null ? null : units.temperature.toSI(temperature),
          };
        }),
      },
    };
  }

  pressure(units: ShownUnits): Typed {
    const errors: CheckErrors = {};
    const known = number(this.known, errors, 'known');
    const half = number(this.knownPlusMinus, errors, 'knownPlusMinus');
    if (known === null || half === null) return { errors };
    return {
      request: {
        kind: 'pressure',
        known_Pa: units.pressure.toSI(known),
        knownStandardUncertainty_Pa: units.pressure.toSI(half) / PER_STANDARD,
      },
    };
  }
}

/** Above zero, or a sentence by the field. */
function number(text: string, errors: CheckErrors, field: CheckFieldName): number | null {
  const typed = typedNumber(text);
  if (typed !== null && typed > 0) return typed;
  errors[field] =
    text.trim() === '' ? fieldErrors.empty : typed === null ? fieldErrors.notANumber : fieldErrors.aboveZero;
  return null;
}

/** A known weight is known to many digits: none that counts may be lost by a change of units. */
const DIGITS = 6;

function turned(value: number, from: ShownUnit, to: ShownUnit): string {
  return significant(to.fromSI(from.toSI(value)), DIGITS);
}

function turnOver(text: string, from: ShownUnit, to: ShownUnit): string {
  const typed = typedNumber(text);
  return typed === null ? text : turned(typed, from, to);
}
