/** The units shown: SI inside, one of two systems at the rim. Each unit says how to come from and go to SI. */
import {
  BAR_PA,
  FOOT_M,
  LITRE_M3,
  MINUTE_S,
  POUND_KG,
  PSI_PA,
  US_FLUID_OUNCE_M3,
  US_GALLON_M3,
} from '../../src/base/units/constants.ts';

export type UnitSystem = 'us' | 'metric';

export interface ShownUnit {
  readonly label: string;
  /** As a voice says it. */
  readonly spoken: string;
  fromSI(value: number): number;
  toSI(shown: number): number;
}

export interface ShownUnits {
  readonly system: UnitSystem;
  /** Pa */
  readonly pressure: ShownUnit;
  /** m³/s */
  readonly flow: ShownUnit;
  /** m³/s, for the little that drips */
  readonly drip: ShownUnit;
  /** m³, a pail */
  readonly pail: ShownUnit;
  /** m³, what is read off a mark */
  readonly volume: ShownUnit;
  /** kg, what stands in the pail */
  readonly mass: ShownUnit;
  /** kg, what a scale can bear */
  readonly load: ShownUnit;
  /** °C */
  readonly temperature: ShownUnit;
  /** m, a hose, a height */
  readonly length: ShownUnit;
  /** m, the inside of a hose */
  readonly bore: ShownUnit;
  /** m³/s per √Pa: flow at one shown unit of pressure */
  readonly nozzleConstant: ShownUnit;
}

function scaled(label: string, spoken: string, siPerUnit: number): ShownUnit {
  return { label, spoken, fromSI: (value) => value / siPerUnit, toSI: (shown) => shown * siPerUnit };
}

const celsius: ShownUnit = {
  label: '°C',
  spoken: 'degrees Celsius',
  fromSI: (value) => value,
  toSI: (shown) => shown,
};
const fahrenheit: ShownUnit = {
  label: '°F',
  spoken: 'degrees Fahrenheit',
  fromSI: (value) => (value * 9) / 5 + 32,
  toSI: (shown) => ((shown - 32) * 5) / 9,
};

const us: ShownUnits = {
  system: 'us',
  pressure: scaled('psi', 'p s i', PSI_PA),
  flow: scaled('gal/min', 'gallons a minute', US_GALLON_M3 / MINUTE_S),
  drip: scaled('fl oz/min', 'fluid ounces a minute', US_FLUID_OUNCE_M3 / MINUTE_S),
  pail: scaled('gal', 'gallons', US_GALLON_M3),
  volume: scaled('fl oz', 'fluid ounces', US_FLUID_OUNCE_M3),
  mass: scaled('lb', 'pounds', POUND_KG),
  load: scaled('lb', 'pounds', POUND_KG),
  temperature: fahrenheit,
  length: scaled('ft', 'feet', FOOT_M),
  bore: scaled('in', 'inches', FOOT_M / 12),
  nozzleConstant: scaled('gal/min per √psi', '', US_GALLON_M3 / MINUTE_S / Math.sqrt(PSI_PA)),
};

const metric: ShownUnits = {
  system: 'metric',
  pressure: scaled('bar', 'bar', BAR_PA),
  flow: scaled('L/min', 'litres a minute', LITRE_M3 / MINUTE_S),
  drip: scaled('mL/min', 'millilitres a minute', LITRE_M3 / 1000 / MINUTE_S),
  pail: scaled('L', 'litres', LITRE_M3),
  volume: scaled('mL', 'millilitres', LITRE_M3 / 1000),
  mass: scaled('g', 'grams', 1e-3),
  load: scaled('kg', 'kilograms', 1),
  temperature: celsius,
  length: scaled('m', 'metres', 1),
  bore: scaled('mm', 'millimetres', 1e-3),
  nozzleConstant: scaled('L/min per √bar', '', LITRE_M3 / MINUTE_S / Math.sqrt(BAR_PA)),
};

export const shownUnits: Readonly<Record<UnitSystem, ShownUnits>> = { us, metric };

const NO_BREAK_SPACE = '\u00a0';

/** The same text with a figure and its unit kept on one line. */
export function unbroken(text: string, units: ShownUnits): string {
  return [units.pressure.label, units.flow.label, '%'].reduce(
    (kept, label) => kept.replaceAll(` ${label}`, `${NO_BREAK_SPACE}${label}`),
    text,
  );
}
