/** Tips against each other, in sentences: different or not, by how much, and what was not alike when they were measured. */
import type { Ratio, TipAgainstTip } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { fixed, withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

export const comparedWords = {
  title: 'Side by side',
  against: 'Held against',
  curves: 'Their curves',
  ratios: 'Each over the one it is held against',
  table: 'Settings in common, against',
  tip: 'Tip',
  pressure: 'Pressure',
  ratio: 'Ratio',
  difference: 'Difference',
  plusMinus: '±',
  notAlike: 'Not measured alike:',
  none: 'These tips have no curve to lay over each other.',
  same: 'the same',
} as const;

/** "No difference larger than 1.2 %": rounded up, so that it stays true. */
function boundText(largest: number): string {
  const percent = largest * 100;
  const decimals = percent < 10 ? 1 : 0;
  const step = 10 ** -decimals;
  return `${fixed(Math.ceil(percent / step - 1e-9) * step, decimals)} %`;
}

/** "Old brass gives 9.0 % more than Tip 7, give or take 1.0." or "Old brass and Tip 7: no difference larger than 1.2 %." */
export function ratioSentence(ratio: Ratio, tip: string, against: string): string {
  if (ratio.verdict === 'none-seen')
    return `${tip} and ${against}: no difference larger than ${boundText(ratio.largestDifference)}.`;
  const cut = withUncertainty(Math.abs(ratio.ratio - 1) * 100, ratio.expandedUncertainty95 * 100);
  const direction = ratio.ratio > 1 ? 'more' : 'less';
  return cut === null
    ? `${tip} gives ${fixed(Math.abs(ratio.ratio - 1) * 100, 1)} % ${direction} than ${against}.`
    : `${tip} gives ${cut.value} % ${direction} than ${against}, give or take ${cut.plusMinus}.`;
}

/** "3.0 % more at 20 psi, 9 % more at 60 psi"; empty where the difference is the same at both ends, within their ±. */
function endsText({ at }: TipAgainstTip, units: ShownUnits): string {
  const sorted = [...at].sort((a, b) => a.pressure_Pa - b.pressure_Pa);
  const [low, high] = [sorted[0], sorted.at(-1)];
  if (low === undefined || high === undefined || low === high) return '';
  const both = Math.hypot(low.expandedUncertainty95, high.expandedUncertainty95);
  if (Math.abs(high.ratio - low.ratio) <= both) return '';
  return [low, high]
    .map(({ ratio, expandedUncertainty95, pressure_Pa }) => {
      const off = Math.abs(ratio - 1) * 100;
      const value = withUncertainty(off, expandedUncertainty95 * 100)?.value ?? fixed(off, 1);
      return `${value} % ${ratio > 1 ? 'more' : 'less'} at ${pressureText(pressure_Pa, units)}`;
    })
    .join(', ');
}

/** How the two differ, or why that can't be told. One figure only where it is the same from the lowest setting to the highest. */
export function pairSentence(pair: TipAgainstTip, name: (key: string) => string, units: ShownUnits): string {
  const tip = name(pair.tip);
  const ends = pair.compared === null ? '' : endsText(pair, units);
  if (ends !== '')
    return `Against ${name(pair.against)}, ${tip} gives ${ends}: it changes with the pressure.`;
  if (pair.compared === null)
    return `${tip} and ${name(pair.against)} can’t be compared. ${wholeSentence(pair.comparedBecause ?? 'no-curve')}`;
  return ratioSentence(pair.compared, tip, name(pair.against));
}

const notAlikeWords: Readonly<Record<TipAgainstTip['notAlike'][number], string>> = {
  'another-rig': 'on another rig: both dials’ doubts are in the ±',
  'another-instrument': 'with another scale or meter: the doubts of both are in the ±',
  'another-water': 'in other water: its temperature is in the ±',
  'another-day': 'on another day: what the rig may have done between is not seen',
  'another-pressure-source': 'one by the dial, one by a sensor: the dial’s doubt is in the ±',
};

/** Empty when they were measured alike. */
export function notAlikeSentence(pair: TipAgainstTip): string {
  if (pair.notAlike.length === 0) return '';
  return `Not measured alike: ${pair.notAlike.map((what) => notAlikeWords[what]).join('; ')}.`;
}

/** A ratio for the table, as the sentence tells it: "+3.1 %", cut to its ±. */
export function ratioCells(
  ratio: number,
  expanded: number,
): { readonly value: string; readonly plusMinus: string } {
  const cut = withUncertainty((ratio - 1) * 100, expanded * 100);
  const value = cut?.value ?? fixed((ratio - 1) * 100, 1);
  const sign = ratio > 1 && /[1-9]/.test(value) ? '+' : '';
  return { value: `${sign}${value} %`, plusMinus: cut?.plusMinus ?? '' };
}
