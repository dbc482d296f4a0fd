import { plain } from '../wording/number.ts';
import { typedNumber, typedNumbers } from '../wording/typed-number.ts';
import { shownUnits, type ShownUnit, type ShownUnits, type UnitSystem } from '../wording/units.ts';
import { checkSetup } from './setup-check.ts';
import { blankFields, demoFields, fieldsWithUnits, type SetupFields } from './setup-fields.ts';

export type SetupPurpose = 'simulated' | 'instrument' | 'by-hand';

const unitOfField: Readonly<
  Record<Exclude<(typeof fieldsWithUnits)[number], 'settings'>, (units: ShownUnits) => ShownUnit>
> = {
  ratedFlow: (units) => units.flow,
  ratedPressure: (units) => units.pressure,
  dialPlusMinus: (units) => units.pressure,
  scaleLimit: (units) => units.load,
  pail: (units) => units.pail,
  water: (units) => units.temperature,
  markSpacing: (units) => units.volume,
};

/** The set-up while it is being typed. Nothing is lost on the way: an unreadable text stays as typed, with a sentence by it. */
export class SetupForm {
  readonly purpose: SetupPurpose;
  readonly #orderSeed: number;
  #system = $state.raw<UnitSystem>('us');
  #started: SetupFields;
  #targetTouched = false;
  readonly fields = $state<SetupFields>(blankFields('us'));
  readonly checked = $derived.by(() =>
    checkSetup({ ...this.fields }, shownUnits[this.#system], this.#orderSeed, this.purpose === 'by-hand'),
  );

  /** @param orderSeed drawn by the caller (the page has the only randomness). */
  constructor(purpose: SetupPurpose, system: UnitSystem, orderSeed: number) {
    this.purpose = purpose;
    this.#orderSeed = orderSeed;
    this.#system = system;
    this.#started = this.#beginning(system);
    Object.assign(this.fields, this.#started);
  }

  get units(): ShownUnits {
    return shownUnits[this.#system];
  }

  /** Default target 0.5 % with a guided wand, 1 % hand-held (measurement rule), unless the person chose one. */
  setWand(wand: SetupFields['wand']): void {
    this.fields.wand = wand;
    if (!this.#targetTouched) this.fields.target = wand === 'guided' ? '0.5' : '1';
  }

  setTarget(text: string): void {
    this.#targetTouched = true;
    this.fields.target = text;
  }

  /** A control that clicks comes back to the same pressure; the order stays the person's to choose. */
  setControl(control: SetupFields['control']): void {
    this.fields.control = control;
  }

  /** Turns every typed figure over to the other units; a field still at its round starting figure gets the other's. */
  changeUnits(system: UnitSystem): void {
    if (system === this.#system) return;
    const from = shownUnits[this.#system];
    const to = shownUnits[system];
    const fresh = this.#beginning(system);
    for (const field of fieldsWithUnits) {
      const untouched = this.fields[field] === this.#started[field];
      if (untouched) this.fields[field] = fresh[field];
      else if (field === 'settings') this.fields.settings = turnList(this.fields.settings, from, to);
      else {
        const unit = unitOfField[field];
        this.fields[field] = turnOver(this.fields[field], unit(from), unit(to));
      }
    }
    this.#started = fresh;
    this.#system = system;
  }

  #beginning(system: UnitSystem): SetupFields {
    return this.purpose === 'simulated' ? demoFields(system) : blankFields(system);
  }
}

function turnOver(text: string, from: ShownUnit, to: ShownUnit): string {
  const typed = typedNumber(text);
  return typed === null ? text : plain(to.fromSI(from.toSI(typed)));
}

function turnList(text: string, from: ShownUnits, to: ShownUnits): string {
  const list = typedNumbers(text, from.system === 'metric');
  if ('notANumber' in list) return text;
  return list.numbers.map((number) => plain(to.pressure.fromSI(from.pressure.toSI(number)))).join(' ');
}
