/** What the Rack says: its tips, what they are held against, when they were last checked. */
import type { RackBaseline, RackSweep, RackTip } from '../contract.ts';
import { isoSizeOf } from './iso-sizes.ts';
import { significant } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';
import { wholeSentence } from './because.ts';
import { findingInBrief } from './finding.ts';

export const rackWords = {
  title: 'Rack',
  lead: 'Your tips, side by side: what each gives, what it is held against, and what its curve says.',
  seasonTitle: 'A simulated season',
  seasonLead:
    'Invented tips on invented rigs over some weeks. Nothing of it was measured, and nothing of it is kept.',
  toBook: 'Back to my own tips',
  toSeason: 'Look at a simulated season',
  none: 'No tip here yet.',
  noneHow:
    'A tip comes here with its first sweep: on the Bench, give it a name of its own. Two tips that are alike are two tips. Measured when it is new, it gets a baseline, and later checks show how it wears.',
  toBench: 'Go to the Bench',
  onlyRetired: 'All tips are retired.',
  retired: 'Retired tips',
  retiredMark: 'retired',
  drawerMark: 'drawer tip',
  unreadable: (count: number) =>
    `${count} ${count === 1 ? 'record' : 'records'} could not be read and ${count === 1 ? 'is' : 'are'} left as ${count === 1 ? 'it is' : 'they are'}. All others are here.`,
  find: 'Find a tip',
  sort: 'Order',
  newest: 'newest first',
  byName: 'by name',
  noMatch: 'No tip is called that.',
  compareThese: 'Compare these',
  pickMore: 'Pick two to six tips to compare.',
  tooMany: 'Six at most: take one out.',
  pick: 'compare',
  back: 'Back to the rack',
  gone: 'No tip of this name is in the rack. It may have been renamed; the sweeps are in the Log.',
  noCurve: 'no curve yet',
  sweepsTitle: 'Its sweeps',
  sweepsCaption: 'Newest first. Each opens in the Log.',
  all: (count: number) => `All ${count}`,
  fewer: 'Only the newest',
  againstTitle: 'Caught against others',
  when: 'When',
  occasion: 'Why',
  anotherTip: 'another tip',
  plusMinus: '±',
  rigsTitle: 'Tip or rig?',
  yourWords: 'What you know of it',
} as const;

export const occasionWords: Readonly<Record<RackSweep['occasion'], string>> = {
  sweep: 'sweep',
  'new-tip': 'as new',
  'weekly-check': 'check',
};

/** "26 Nov 2026", where it was measured, in the reader's way of writing. */
export function dayText(at_ms: number, timeZone: string | null = null, locale?: string): string {
  const options: Intl.DateTimeFormatOptions = { dateStyle: 'medium' };
  try {
    return new Intl.DateTimeFormat(locale, timeZone === null ? options : { ...options, timeZone }).format(
      at_ms,
    );
  } catch {
    // A zone this browser does not know: its own, rather than none.
    return new Intl.DateTimeFormat(locale, options).format(at_ms);
  }
}

/** "03, blue": never the colour alone. Empty without a size. */
export function sizeName(isoSize: string | null): string {
  if (isoSize === null || isoSize === '') return '';
  const known = isoSizeOf(isoSize);
  return known === undefined ? `size ${isoSize}` : `size ${known.size}, ${known.colour}`;
}

/** "rated 0.32 gal/min at 40 psi"; empty without a stamp. */
export function ratedText(
  tip: Pick<RackTip, 'ratedFlow_m3_per_s' | 'ratedPressure_Pa'>,
  units: ShownUnits,
): string {
  const { ratedFlow_m3_per_s: flow, ratedPressure_Pa: pressure } = tip;
  if (flow === null || pressure === null) return '';
  return `rated ${significant(units.flow.fromSI(flow), 3)} ${units.flow.label} at ${pressureText(pressure, units)}`;
}

/** "baseline of 3 sweeps, 20 Aug 2026" */
export function baselineText(baseline: RackBaseline, locale?: string): string {
  const { length } = baseline.sweepIds;
  return `baseline of ${length} ${length === 1 ? 'sweep' : 'sweeps'}, ${dayText(baseline.at_ms, null, locale)}`;
}

/** What it is held against, in one line: its baseline and its stamp, as far as there are any. */
export function referenceText(tip: RackTip, units: ShownUnits, locale?: string): string {
  const parts = [
    tip.baseline === null ? '' : baselineText(tip.baseline, locale),
    ratedText(tip, units),
  ].filter((part) => part !== '');
  return parts.length === 0 ? 'nothing to hold it against yet' : parts.join(' · ');
}

/** "last check 26 Nov 2026" */
export function lastCheckText(tip: RackTip, locale?: string): string {
  const newest = tip.sweeps[0];
  if (newest === undefined && tip.caughtAgainst !== undefined) return 'only caught against others';
  return newest === undefined
    ? 'never measured'
    : `last ${occasionWords[newest.occasion] === 'check' ? 'check' : 'sweep'} ${dayText(newest.at_ms, newest.timeZone, locale)}`;
}

/** The finding in one line, or why there is none. */
export function tipFinding(tip: RackTip): string {
  if (tip.diagnosis !== null) return findingInBrief(tip.diagnosis);
  if (tip.diagnosisBecause === null) return '';
  if (tip.diagnosisBecause === 'no-reference') return 'No finding yet';
  return wholeSentence(tip.diagnosisBecause);
}

export type TipOrder = 'newest' | 'name';

/** Those whose name holds what was typed, in the order chosen. */
export function tipsInOrder(tips: readonly RackTip[], typed: string, order: TipOrder): readonly RackTip[] {
  const wanted = typed.trim().toLowerCase();
  const newest = (tip: RackTip): number =>
    Math.max(tip.sweeps[0]?.at_ms ?? -Infinity, tip.caughtAgainst?.[0]?.at_ms ?? -Infinity);
  return tips
    .filter(({ name }) => name.toLowerCase().includes(wanted))
    .sort((a, b) =>
      order === 'name'
        ? a.name.localeCompare(b.name, undefined, { numeric: true })
        : newest(b) - newest(a) || a.name.localeCompare(b.name, undefined, { numeric: true }),
    );
}
