/** What follows from a comparison of several tips: whether it reaches what was asked for, and what to do at the positions outside. */
import type { SetCompared, SeveralTips } from '../contract.ts';
import { fixed } from './number.ts';

type Two = Extract<SeveralTips, { kind: 'two' }>;

function percent(share: number): string {
  return `${fixed(share * 100, share < 0.0995 && Math.abs(share * 100 - Math.round(share * 100)) > 1e-9 ? 1 : 0)} %`;
}

/** Does the difference reach the one that was asked for? Empty where none was asked for, or nothing could be compared. */
export function askedSentence({ compared }: Pick<Two, 'compared'>, wanted: number | undefined): string {
  if (compared === null || wanted === undefined) return '';
  const asked = `You asked for ${percent(wanted)}`;
  const off = Math.abs(compared.ratio - 1);
  const half = compared.expandedUncertainty95;
  if (off - half >= wanted) return `${asked}: it is more than that.`;
  if (off + half < wanted) return `${asked}: it is less than that.`;
  return `${asked}: it may be more or less than that, the ± decides; more catches make it smaller.`;
}

/** Positions outside: what to do, the pressure first. Empty where none is. */
export function outsideSentence({ members }: SetCompared): string {
  return members.some(({ habit }) => habit === 'outside')
    ? 'Pump off, trigger open, pressure at zero before a tip is touched. Then look at strainer and tip there, clean them with water and a soft brush, and catch again: a tip that stays outside is worn, or of another size.'
    : '';
}
