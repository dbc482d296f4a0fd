/** The facts of a refusal beside its sentence: in the person's units, with few digits. */
import type { Refusal } from '../contract.ts';
import { significant } from './number.ts';
import type { ShownUnit, ShownUnits } from './units.ts';

const DIGITS = 3;

const seconds: ShownUnit = { label: 's', spoken: 'seconds', fromSI: (s) => s, toSI: (s) => s };

/** By the unit in the name, the longest first. */
const byUnit: readonly (readonly [string, (units: ShownUnits) => ShownUnit])[] = [
  ['_m3_per_s', (units) => units.flow],
  ['_degC', (units) => units.temperature],
  ['_m3', (units) => units.pail],
  ['_kg', (units) => units.load],
  ['_Pa', (units) => units.pressure],
  ['_s', () => seconds],
];

/** Names that are no plain words. */
const names: Readonly<Record<string, string>> = {
  standardUncertainty: 'give or take, as one standard deviation',
  fullScale: 'full scale',
  trickle: 'poured in',
  most: 'at most',
  least: 'at least',
};

/** "mass: 500 lb, limit: 40 lb"; empty where there are none. Text and bare numbers stay as they came. */
export function factsText(facts: Refusal['facts'], units: ShownUnits): string {
  return Object.entries(facts ?? {})
    .filter(([, value]) => value !== '')
    .map(([name, value]) => factText(name, value, units))
    .join(', ');
}

function factText(name: string, value: string | number, units: ShownUnits): string {
  const [suffix, unitOf] = byUnit.find(([end]) => name.endsWith(end)) ?? ['', null];
  const bare = name.slice(0, name.length - suffix.length);
  const called = names[bare] ?? bare.replaceAll('_', ' ');
  if (typeof value !== 'number') return `${called}: ${value}`;
  if (unitOf === null) return `${called}: ${Number.isInteger(value) ? value : significant(value, DIGITS)}`;
  const unit = unitOf(units);
  return `${called}: ${significant(unit.fromSI(value), DIGITS)} ${unit.label}`;
}
