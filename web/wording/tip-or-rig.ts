/** Which share of what the tips of a rig give too much or too little is the rig's: one sentence, then each tip. */
import type { LeftOutTip, NoTipOrRig, TipOrRig, WithInterval } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { deviationText } from './drift.ts';
import { fixed, withUncertainty } from './number.ts';
import { dayText } from './rack.ts';
import type { ShownUnits } from './units.ts';

export const tipOrRigWords = {
  caption: 'What each gives against its reference, and whose doing it is',
  tip: 'Tip',
  together: 'In all',
  rigPart: 'The rig’s part',
  tipPart: 'The tip’s part',
  blame: 'Whose doing',
  settles: 'What would settle it',
  heldBy: 'What holds it down',
  anchor: 'drawer tip',
  figures: 'The figures behind it',
  offset: 'The tip gets more than the dial says by',
  gain: 'The dial’s pressure times',
  lost: 'Lost on the way at the largest tip, of the pressure',
  factor: 'All flows of this rig times',
  fit: 'Does one rig for all tips fit?',
} as const;

export function isTipOrRig(found: TipOrRig | NoTipOrRig): found is TipOrRig {
  return 'tips' in found;
}

const fractions: readonly (readonly [number, string])[] = [
  [0, 'next to nothing'],
  [0.25, 'about a quarter'],
  [1 / 3, 'about a third'],
  [0.5, 'about half'],
  [2 / 3, 'about two thirds'],
  [0.75, 'about three quarters'],
  [1, 'nearly all'],
];

function fractionText(share: number): string {
  const clamped = Math.min(1, Math.max(0, share));
  return fractions.reduce((best, one) =>
    Math.abs(one[0] - clamped) < Math.abs(best[0] - clamped) ? one : best,
  )[1];
}

const off = ({ value }: WithInterval): number => value - 1;
const isSeen = (part: WithInterval): boolean => Math.abs(off(part)) > part.expandedUncertainty95;

/** One worn tip among four does not decide what the four have in common. */
function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)]! + sorted[Math.ceil(middle)]!) / 2;
}

/** "About two thirds of what these 4 tips give too little is the rig's doing, since 20 Aug 2026." */
export function shareSentence(found: TipOrRig): string {
  const { tips } = found;
  const since = sinceText(found);
  if (!tips.some(({ deviation }) => isSeen(deviation)))
    return `These ${tips.length} tips give what their references say, ${since}: nothing to blame on tip or rig.`;
  const rig = median(tips.map(({ rigPart }) => off(rigPart)));
  const all = median(tips.map(({ deviation }) => off(deviation)));
  const seen = tips.some(({ rigPart }) => isSeen(rigPart));
  if (!seen)
    return `What these ${tips.length} tips give differently is the tips’ own, as far as the ± lets it be seen, ${since}: no part of it shows as the rig’s.`;
  const much = all < 0 ? 'too little' : 'too much';
  // A rig that takes while the tips give: no share of one in the other can be told.
  if (rig * all <= 0 || Math.abs(rig) > Math.abs(all) * 1.1)
    return `Rig and tips work against each other, ${since}: the rig changes the flow by ${deviationText(rig, median(tips.map(({ rigPart }) => rigPart.expandedUncertainty95)))}, and the tips make up for part of it.`;
  return `${fractionText(rig / all).replace(/^./, (letter) => letter.toUpperCase())} of what these ${tips.length} tips give ${much} is the rig’s doing, ${since}.`;
}

/** "Old brass is off by itself: +8.8 %, give or take 1.6." One for each tip that is to blame. */
export function ownSentences(found: TipOrRig, nameOf: (key: string) => string): readonly string[] {
  return found.tips
    .filter(({ blame }) => blame === 'tip')
    .map(
      ({ key, tipPart }) =>
        `${nameOf(key)} is off by itself: ${deviationText(off(tipPart), tipPart.expandedUncertainty95)}.`,
    );
}

function sinceText({ since, sinceFrom_ms }: TipOrRig): string {
  if (since === 'absolute') return 'against the stamps on the tips';
  const day = sinceFrom_ms === null ? 'their baselines' : dayText(sinceFrom_ms);
  return since === 'baseline' ? `since ${day}` : `some since ${day}, some against the stamp`;
}

const blames: Readonly<Record<TipOrRig['tips'][number]['blame'], string>> = {
  tip: 'the tip',
  rig: 'the rig',
  neither: 'neither',
  'cannot-tell': 'can’t tell yet',
};

export interface ShareRow {
  readonly key: string;
  readonly deviation: string;
  readonly rigPart: string;
  readonly tipPart: string;
  readonly blame: string;
}

export function shareRow(tip: TipOrRig['tips'][number]): ShareRow {
  const text = (part: WithInterval): string => deviationText(off(part), part.expandedUncertainty95);
  return {
    key: tip.key,
    deviation: text(tip.deviation),
    rigPart: text(tip.rigPart),
    tipPart: text(tip.tipPart),
    blame: blames[tip.blame],
  };
}

/** What holds it down, or what would. */
export function anchorSentence({ anchored }: TipOrRig): string {
  if (anchored === 'drawer-tip')
    return 'A tip from the drawer holds it down: it was never sprayed with, so what it shows is the rig’s.';
  if (anchored === 'wand-gauge')
    return 'A gauge at the wand holds it down: what is lost on the way was read, not guessed.';
  return 'A gauge at the wand, water running, or a tip from the drawer (never sprayed with, measured once a year) would settle it: a rig fault and references that are all wrong together look the same.';
}

const shown: Readonly<Record<LeftOutTip['shows'], string>> = {
  leaking: 'leaks',
  'pump-limited': 'shows a pump that follows no further',
  unexplained: 'gives a curve that none of the causes we know explains',
};

/** "Reel D leaks, by its own curve: left out, for it says nothing of the rig." One for each that was left out. */
export function leftOutSentences(
  { leftOut = [] }: Pick<TipOrRig, 'leftOut'>,
  nameOf: (key: string) => string,
): readonly string[] {
  return leftOut.map(
    ({ key, shows }) =>
      `${nameOf(key)} ${shown[shows]}, by its own finding: left out, for it says nothing of the rig.`,
  );
}

export function noTipOrRigSentence({ because }: NoTipOrRig): string {
  return `Tip or rig can’t be told here. ${wholeSentence(because)}`;
}

/** Name and value, for the step below. */
export function rigFigures(
  found: TipOrRig,
  units: ShownUnits,
): readonly { readonly name: string; readonly value: string }[] {
  const words = tipOrRigWords;
  const text = ({ value, expandedUncertainty95 }: WithInterval, scale: number, unit: string): string => {
    const cut = withUncertainty(value * scale, expandedUncertainty95 * scale);
    return cut === null ? '–' : `${cut.value}${unit}, give or take ${cut.plusMinus}`;
  };
  const { pressure } = units;
  const rows: { name: string; value: string }[] = [
    {
      name: words.offset,
      value: text(found.offset_Pa, pressure.fromSI(1), ` ${pressure.label}`),
    },
  ];
  if (found.gain !== null) rows.push({ name: words.gain, value: text(found.gain, 1, '') });
  if (found.lostAtLargest !== null)
    rows.push({ name: words.lost, value: text(found.lostAtLargest, 100, ' %') });
  if (found.rigFactor !== null) rows.push({ name: words.factor, value: text(found.rigFactor, 1, '') });
  const { pValue } = found.fit;
  rows.push({
    name: words.fit,
    value: `${pValue < 0.01 ? 'no' : 'yes'}, by the chi-square test at 1 % (p = ${fixed(pValue, 3)})`,
  });
  return rows;
}
