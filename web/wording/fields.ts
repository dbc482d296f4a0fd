import { words } from './page.ts';

const { setup } = words;

/** By the names of src and of the page; a field that is not here is named by its own sentence. */
const fieldNames: Readonly<Record<string, string>> = {
  tipName: setup.tipName,
  ratedFlow: setup.ratedFlow,
  ratedPressure: 'Rated pressure',
  rigName: setup.rigName,
  settings: setup.settings,
  dialPlusMinus: 'Dial',
  scaleLimit: 'Scale',
  pail: 'Pail',
  water: setup.water,
  catches: 'Catches',
  target: setup.target,
  markSpacing: 'Marks',
  beat: 'Beat',
  otherTip: 'Other tips',
  difference: 'Difference',
  positions: 'Nozzles on the boom',
  hoseLength: 'Length of the hose',
  hoseBore: 'Inside of the hose',
  tipHeight: 'Height of the tip',
  weakestRating: 'Rating of the weakest part',
};

/** "Pressure settings: name at least one pressure." The sentence alone where the field has no name here. */
export function namedFault([field, sentence]: readonly [string, string]): string {
  const name = fieldNames[field];
  return name === undefined ? sentence : `${name}: ${sentence}`;
}

/** What stands by a field that is not right yet. Plain words; the limit is named where there is one. */
export const fieldErrors = {
  notANumber: 'That is not a number. Digits, with a point or a comma.',
  notANumberIn: (piece: string) => `“${piece}” is not a number.`,
  nameMissing: 'Give it a name you will know again.',
  noSettings: 'Name at least one pressure.',
  tooManySettings: (most: number) => `At most ${most} settings in one sweep.`,
  settingNotPositive: 'A pressure has to be above zero.',
  settingAbsurd: (limit: string) =>
    `Above ${limit}: no small sprayer goes there. Check the number and the unit.`,
  settingTwice: (setting: string) => `${setting} stands there twice. Catches per setting makes the repeats.`,
  settingsTooClose: (two: string) =>
    `${two} are too close to tell apart like this. Leave one out, or shut off between catches.`,
  flowNotPositive: 'A flow has to be above zero. No stamp? Leave it empty.',
  flowAbsurd: (limit: string) => `Above ${limit}: no small sprayer gives that.`,
  ratedHalf: 'Rated flow and rated pressure belong together: give both, or leave both empty.',
  between: (low: string, high: string) => `Has to be from ${low} to ${high}.`,
  wholeBetween: (low: number, high: number) => `A whole number from ${low} to ${high}.`,
  tooSmallForCatch: (at: string, seconds: number, least: string) =>
    `Too small: ${seconds} seconds at ${at} need ${least} or more, by the tip’s stamp.`,
  tooSmallForTank: (water: string) => `Too small: the water in the tank alone weighs ${water}.`,
  onePourHeld:
    'One pour needs a pressure that is held, and the pail on the scale. Shut off in between instead.',
  pumpedOnScale:
    'Hands on the pump press on the scale. Put the pail on the scale, or pump up before you spray.',
  oneSetting: 'Tips are compared at one setting: type one pressure.',
  routineHeld:
    'Tips can only be compared like this with a held pressure or a hose reel, the pail on the scale.',
  otherTips: 'Two to seven names, a comma between them.',
  sameTip: (one: string, other: string) =>
    `That is the same tip${one === other ? ' twice' : ''}: ${one === other ? `“${one}”` : `“${one}” and “${other}”`}. Mark the other one, and give it a name of its own.`,
  nameTooLong: (most: number) => `Too long: at most ${most} letters.`,
  aboveRating: (setting: string, rating: string) =>
    `${setting} is above what the weakest part is rated for (${rating}). Lower the setting; never go above the rating.`,
  aboveZero: 'Has to be above zero.',
  empty: 'Fill this in.',
} as const;
