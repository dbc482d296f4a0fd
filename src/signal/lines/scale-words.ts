import type { MassUnit } from '../reading.ts';

/** What a word on a scale line says. `stable-weakly`: an S that only stands before a more telling letter. */
export type WordMeaning =
  'stable' | 'stable-weakly' | 'moving' | 'net' | 'gross' | 'label' | 'over' | 'under' | 'wait';

/** Units as printed, lower case. `lbs` is `lb`. */
export const scaleUnits: ReadonlyMap<string, MassUnit> = new Map<string, MassUnit>([
  ['mg', 'mg'],
  ['g', 'g'],
  ['kg', 'kg'],
  ['t', 't'],
  ['lb', 'lb'],
  ['lbs', 'lb'],
  ['oz', 'oz'],
]);

const lists: readonly (readonly [WordMeaning, string])[] = [
  ['stable', 'ST STABLE STAB'],
  ['stable-weakly', 'S'],
  ['moving', 'US U UNSTABLE UNST MOVING MOTION MOT M D DYN DYNAMIC'],
  ['net', 'NET NT N NETTO NETT NW'],
  ['gross', 'GROSS GS GR G BRUTTO B GW'],
  ['label', 'WEIGHT WT W MASS ZERO ZR Z'],
  ['over', 'OL OVER OVERLOAD OVERRANGE'],
  ['under', 'UL UNDER UNDERLOAD UNDERRANGE'],
  ['wait', 'WAIT BUSY I'],
];

/**
 * The words we know, upper case. A word that is not here refuses its line: a tare, a total, a price or a piece count is
 * printed with a word too, and none of them is what lies on the scale.
 */
export const scaleWords: ReadonlyMap<string, WordMeaning> = new Map(
  lists.flatMap(([meaning, words]) => words.split(' ').map((word) => [word, meaning] as const)),
);

/** Known words that right after a number could as well be a unit we don't read: stone, newton, grain, metre, second. */
export const ambiguousAsUnit: ReadonlySet<string> = new Set('ST N GR M S D U B W Z I'.split(' '));
