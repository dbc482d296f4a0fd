import { plain } from '../wording/number.ts';
import { typedBore, typedNumber, typedNumbers } from '../wording/typed-number.ts';
import { shownUnits, type ShownUnit, type ShownUnits, type UnitSystem } from '../wording/units.ts';
import { checkSetup } from './setup-check.ts';
import {
  blankFields,
  demoFields,
  fieldsWithUnits,
  figuresOf,
  inventedOthers,
  usualCatches,
  settingsOfCheck,
  usualSettings,
  type SetupFields,
} from './setup-fields.ts';

/** A set-up as it was typed, and in which units. */
export interface TypedSetup {
  readonly system: UnitSystem;
  readonly fields: SetupFields;
}

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
  hoseLength: (units) => units.length,
  hoseBore: (units) => units.bore,
  tipHeight: (units) => units.length,
  weakestRating: (units) => units.pressure,
};

/** The set-up while it is being typed. Nothing is lost on the way: an unreadable text stays as typed, with a sentence by it. */
export class SetupForm {
  readonly purpose: SetupPurpose;
  #orderSeed = $state(0);
  #system = $state.raw<UnitSystem>('us');
  /** Texts before and after the last change of units: turned back untouched, a field shows what was typed, not a rounding of it. */
  #turned: { readonly before: TypedSetup; readonly after: TypedSetup } | null = null;
  #targetTouched = false;
  /** The list of settings before it was cut down to a check's. */
  #wholeList: { readonly system: UnitSystem; readonly settings: string } | null = null;
  /** A number of catches that the person typed is not replaced by one that was worked out. */
  catchesTouched = false;
  readonly fields = $state<SetupFields>(blankFields('us'));
  readonly checked = $derived.by(() =>
    checkSetup({ ...this.fields }, shownUnits[this.#system], this.#orderSeed, this.purpose === 'by-hand'),
  );

  /**
   * @param orderSeed drawn by the caller (the page has the only randomness).
   * @param kept what was typed an earlier time; null: the round starting figures.
   */
  constructor(purpose: SetupPurpose, system: UnitSystem, orderSeed: number, kept: TypedSetup | null = null) {
    this.purpose = purpose;
    this.#orderSeed = orderSeed;
    this.#system = kept?.system ?? system;
    const begin = purpose === 'simulated' ? demoFields(system) : blankFields(system);
    Object.assign(this.fields, kept?.fields ?? begin);
    this.#targetTouched = kept !== null && kept.fields.target !== usualTarget(kept.fields.wand);
    this.changeUnits(system);
  }

  get typed(): TypedSetup {
    return { system: this.#system, fields: { ...this.fields } };
  }

  get units(): ShownUnits {
    return shownUnits[this.#system];
  }

  /** The same plan once more, its settings in another order. @param seed drawn by the caller. */
  drawOrderAnew(seed: number): void {
    this.#orderSeed = seed;
  }

  /** The target follows the wand, unless the person chose one. */
  setWand(wand: SetupFields['wand']): void {
    this.fields.wand = wand;
    if (!this.#targetTouched) this.fields.target = usualTarget(wand);
  }

  setTarget(text: string): void {
    this.#targetTouched = true;
    this.fields.target = text;
  }

  /** One pour gives each setting once; catches one at a time are repeated, unless the person chose a number. */
  setProtocol(protocol: SetupFields['protocol']): void {
    const { routine } = this.fields;
    if (this.fields.catches === usualCatches(this.fields))
      this.fields.catches = usualCatches({ routine, protocol });
    this.fields.protocol = protocol;
  }

  /** Settings and catches that nobody touched become those that go with it. */
  setRoutine(routine: SetupFields['routine']): void {
    const { fields } = this;
    const systems = ['us', 'metric'] as const;
    if (systems.some((system) => fields.settings === usualSettings(fields.routine, system)))
      fields.settings = usualSettings(routine, this.#system);
    if (!this.catchesTouched || fields.catches === usualCatches(fields))
      fields.catches = usualCatches({ routine, protocol: fields.protocol });
    this.catchesTouched = false;
    // The invented tips of the simulated bench; a name that was typed stays.
    if (Object.values(inventedOthers).includes(fields.otherTip))
      fields.otherTip = inventedOthers[routine === 'bag' ? 'bag' : 'one'];
    fields.routine = routine;
  }

  /** For a check the list becomes two of its settings; whole again for anything else, unless more were typed meanwhile. */
  setOccasion(occasion: SetupFields['occasion']): void {
    const { fields } = this;
    const isCheck = fields.occasion === 'weekly-check';
    if (occasion === 'weekly-check' && !isCheck) {
      this.#wholeList = { system: this.#system, settings: fields.settings };
      fields.settings = settingsOfCheck(fields.settings);
    } else if (occasion !== 'weekly-check' && isCheck) fields.settings = this.#wholeSettings;
    fields.occasion = occasion;
  }

  get #wholeSettings(): string {
    const whole = this.#wholeList;
    if (settingsOfCheck(this.fields.settings) !== this.fields.settings) return this.fields.settings;
    return whole?.system === this.#system ? whole.settings : usualSettings('one-tip', this.#system);
  }

  /** As it is remembered for another day: then the tip is not new any more, and a check is chosen anew. */
  get toKeep(): TypedSetup {
    const settings = this.fields.occasion === 'weekly-check' ? this.#wholeSettings : this.fields.settings;
    return { system: this.#system, fields: { ...this.fields, settings, occasion: 'sweep' } };
  }

  /** A control that clicks comes back to the same pressure; the order stays the person's to choose. */
  setControl(control: SetupFields['control']): void {
    this.fields.control = control;
  }

  /** The whole sprayer is heavier than a pail: figures that nobody touched become those of the other. */
  setStandsOnScale(stands: SetupFields['standsOnScale']): void {
    const from = figuresOf(this.fields.standsOnScale, this.#system);
    const to = figuresOf(stands, this.#system);
    for (const field of ['pail', 'scaleLimit'] as const)
      if (this.#isUntouched(field, from[field])) this.fields[field] = to[field];
    this.fields.standsOnScale = stands;
  }

  /** As it was filled in, or as that reads after a change of units. */
  #isUntouched(field: 'pail' | 'scaleLimit', filledIn: string): boolean {
    const text = this.fields[field];
    if (text === filledIn) return true;
    const other = this.#system === 'us' ? 'metric' : 'us';
    const turned = figuresOf(this.fields.standsOnScale, other)[field];
    return text === turnOver(turned, unitOfField[field](shownUnits[other]), unitOfField[field](this.units));
  }

  /** Turns every figure over to the other units, typed or filled in: it stays the same pressure, flow or pail. */
  changeUnits(system: UnitSystem): void {
    if (system === this.#system) return;
    const before = this.typed;
    const back = this.#turned?.before.system === system ? this.#turned : null;
    const from = shownUnits[this.#system];
    const to = shownUnits[system];
    for (const field of fieldsWithUnits) {
      const text = this.fields[field];
      if (back !== null && text === back.after.fields[field]) this.fields[field] = back.before.fields[field];
      else if (field === 'settings') this.fields.settings = turnList(text, from, to);
      else this.fields[field] = turnOver(text, unitOfField[field](from), unitOfField[field](to), field);
    }
    this.#system = system;
    this.#turned = { before, after: this.typed };
  }
}

/** Three timed repeats are common practice, no source; a pour through all settings is one go. */
/** Default target, %: 0.5 with a guided wand, 1 hand-held (measurement rule). */
function usualTarget(wand: SetupFields['wand']): string {
  return wand === 'guided' ? '0.5' : '1';
}

/** A typed figure in other units; what can't be read stays as typed. */
export function turnOver(text: string, from: ShownUnit, to: ShownUnit, field = ''): string {
  const typed = field === 'hoseBore' ? typedBore(text) : typedNumber(text);
  return typed === null ? text : plain(to.fromSI(from.toSI(typed)));
}

function turnList(text: string, from: ShownUnits, to: ShownUnits): string {
  const list = typedNumbers(text, from.system === 'metric');
  if ('notANumber' in list) return text;
  return list.numbers.map((number) => plain(to.pressure.fromSI(from.pressure.toSI(number)))).join(' ');
}
