/** What a comparison of several tips says, in sentences and table rows. Loaded with the result, when there is one. */
import type { Ratio, SetCompared, SeveralTips } from '../contract.ts';
import { habitSources } from './habit-source.ts';
import { wholeSentence } from './because.ts';
import { fixed, significant, withUncertainty } from './number.ts';
import type { ShownUnits } from './units.ts';

/** "3.1 %, give or take 0.6" of a ratio about one; the sign is left to the words round it. */
function percentOff(ratio: Ratio): string {
  const cut = withUncertainty(Math.abs(ratio.ratio - 1) * 100, ratio.expandedUncertainty95 * 100);
  if (cut === null) return `${significant(Math.abs(ratio.ratio - 1) * 100, 2)} %`;
  return `${cut.value} %, give or take ${cut.plusMinus}`;
}

/** Rounded up: what is promised is never less than what was found. */
function atMost(share: number): string {
  const percent = share * 100;
  const step = 10 ** (Math.floor(Math.log10(percent)) - 1);
  return `${significant(Math.ceil(percent / step - 1e-9) * step, 2)} %`;
}

type Two = Extract<SeveralTips, { kind: 'two' }>;

/** "grey 8 gives 3.1 % more than grey 7, give or take 0.6." / "No difference larger than 1.2 % between grey 7 and grey 8." */
export function twoSentence({ tip, against, compared, comparedBecause }: Two): string {
  if (compared === null) return wholeSentence(comparedBecause ?? 'no-catches');
  if (compared.verdict === 'none-seen')
    return `No difference larger than ${atMost(compared.largestDifference)} between ${against} and ${tip}.`;
  const cut = withUncertainty(Math.abs(compared.ratio - 1) * 100, compared.expandedUncertainty95 * 100);
  const way = compared.ratio > 1 ? 'more' : 'less';
  return `${tip} gives ${cut?.value ?? '–'} % ${way} than ${against}, give or take ${cut?.plusMinus ?? '–'}.`;
}

/** What stands under it: how the catches behaved meanwhile. */
export function twoNotes({ compared, drift, catchStandardDeviation }: Two): string[] {
  const notes: string[] = [];
  if (compared?.verdict === 'none-seen')
    notes.push(
      'They may still differ by less than that. What both share, the scale and the dial, is in neither.',
    );
  if (drift !== null && Math.abs(drift.relative) > drift.expandedUncertainty95)
    notes.push(
      `Meanwhile the flow of both ${drift.relative < 0 ? 'fell' : 'rose'} by ${significant(Math.abs(drift.relative) * 100, 2)} %: taking turns takes that out.`,
    );
  if (catchStandardDeviation !== null)
    notes.push(`One catch repeats to about ± ${significant(200 * catchStandardDeviation, 2)} %.`);
  return notes;
}

export const dialNote =
  'This holds if the dial was not touched between the first catch and the last: nobody can see that from here.';

/** Said where groups are told: neighbours may hold hands while the ends differ. */
export const chainNote =
  'Each is held against the next one in the order of flow, with its ±: the two ends of a long group may well differ. More catches make the groups smaller.';

export function habitSentence(limit: number): string {
  const nearest = habitSources.find((one) => Math.abs(one.limit - limit) < 1e-9);
  const percent = `${fixed(limit * 100, 0)} %`;
  return nearest === undefined
    ? `The limit of ${percent} is your own.`
    : `The limit of ${percent} of the mean is a habit (${nearest.source}); others say 5, 7, 10 or 15 %.`;
}

/** The comparison against another limit: outside or inside only with the whole ±, whose interval is symmetric as a factor. */
export function withHabit(set: SetCompared, limit: number): SetCompared {
  if (limit === set.habitLimit) return set;
  return {
    ...set,
    habitLimit: limit,
    members: set.members.map((member) => {
      const { ratio, expandedUncertainty95 } = member.againstMean;
      const high = ratio + expandedUncertainty95;
      const low = (ratio * ratio) / high;
      const habit =
        low >= 1 - limit && high <= 1 + limit
          ? 'within'
          : low > 1 + limit || high < 1 - limit
            ? 'outside'
            : 'cannot-tell';
      return { ...member, habit };
    }),
  };
}

function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names.at(-1)!}`;
}

/** "Outside 10 % of the mean: position 2 (12 % more) and position 3 (17 % less)." */
export function setSentence(set: SetCompared, nameOf: (label: string) => string): string {
  const limit = `${fixed(set.habitLimit * 100, 0)} % of the mean`;
  const named = (habit: SetCompared['members'][number]['habit']): string[] =>
    set.members
      .filter((one) => one.habit === habit)
      .map(({ label, againstMean: { ratio, expandedUncertainty95 } }) => {
        // Cut as in the table under it.
        const cut = withUncertainty(Math.abs(ratio - 1) * 100, expandedUncertainty95 * 100);
        const off = `${cut?.value ?? '–'} % ${ratio > 1 ? 'more' : 'less'}`;
        return `${nameOf(label)} (${off})`;
      });
  const [outside, unsure] = [named('outside'), named('cannot-tell')];
  const told = outside.length > 0 ? `Outside ${limit}: ${listed(outside)}.` : '';
  const open = unsure.length > 0 ? `Too near the limit of ${limit} to tell: ${listed(unsure)}.` : '';
  const rest = outside.length + unsure.length === 0 ? `All ${set.members.length} are within ${limit}.` : '';
  return [told, open, rest].filter((part) => part !== '').join(' ');
}

/** A bag: which can't be told from each other, and which are different from all others. */
export function bagSentence(set: SetCompared, nameOf: (label: string) => string): string {
  const tied = new Set(set.ties.flat());
  const alone = set.members.filter(({ label }) => !tied.has(label)).map(({ label }) => nameOf(label));
  const groups = set.ties.map((tie) => `Can’t be told apart: ${listed(tie.map(nameOf))}.`);
  const others = tied.size === 0 ? 'All are different from each other' : 'Different from all others';
  const rest = alone.length === 0 ? '' : `${others}: ${listed(alone)}.`;
  return [...groups, rest].filter((part) => part !== '').join(' ');
}

export function setNotes(set: SetCompared, nameOf: (label: string) => string, isBoom = true): string[] {
  const notes: string[] = [];
  const { repeat, members, ties } = set;
  const first = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
  if (repeat !== null && members[0] !== undefined) {
    const name = first(nameOf(members[0].label));
    notes.push(
      repeat.verdict === 'none-seen'
        ? `${name} again at the end: no change larger than ${atMost(repeat.largestDifference)}. The rig held still within that.`
        : `${name} again at the end: ${percentOff(repeat)}, ${repeat.ratio > 1 ? 'more' : 'less'} than at first. The rig has moved meanwhile, so every position is less sure by that.`,
    );
  }
  if (isBoom) for (const tie of ties) notes.push(`Can’t be told apart: ${listed(tie.map(nameOf))}.`);
  return notes;
}

/** One step deeper: the figure that handbooks give for how even a set is. */
export function evennessNote({ coefficientOfVariation, coefficientOfVariationOfTips }: SetCompared): string {
  return `How even the set is: coefficient of variation ${significant(coefficientOfVariation * 100, 2)} %; without what catches scatter by themselves ${significant(coefficientOfVariationOfTips * 100, 2)} %.`;
}

export const evennessSummary = 'How even they are';

export function setHeads(isBoom: boolean): readonly string[] {
  const heads = ['Catches', 'Flow', '±', 'Against the mean'];
  return isBoom ? ['Position', ...heads, 'Limit'] : ['Tip', ...heads];
}

/** Why the table of the catches has another ± than the one above it. */
export const twoTablesNote =
  'The ± in this table is of the mean: what all catches scatter among each other, and the scale. Each catch by itself has its own, below.';

const habitWords = { within: 'within', outside: 'outside', 'cannot-tell': 'can’t tell' } as const;

const plusOf = (text: string): string => (/[1-9]/.test(text) ? '+' : '');

/** The first of a set that was caught once more at the end: that catch tells of the rig, and is not in its mean. */
function isFirst(label: string, { members, repeat }: SetCompared): boolean {
  return repeat !== null && members[0]?.label === label;
}

export function setRows(
  set: SetCompared,
  nameOf: (label: string) => string,
  units: ShownUnits,
  isBoom = true,
): (readonly string[])[] {
  return set.members.map(
    ({ label, catches, flow_m3_per_s, expandedUncertainty95_m3_per_s, againstMean, habit }) => {
      const cut = withUncertainty(
        units.flow.fromSI(flow_m3_per_s),
        units.flow.fromSI(expandedUncertainty95_m3_per_s),
      );
      const off = withUncertainty((againstMean.ratio - 1) * 100, againstMean.expandedUncertainty95 * 100);
      return [
        nameOf(label),
        isFirst(label, set) ? `${catches}, and again at the end` : String(catches),
        cut === null ? '–' : `${cut.value} ${units.flow.label}`,
        cut?.plusMinus ?? '–',
        off === null
          ? '–'
          : `${againstMean.ratio > 1 ? plusOf(off.value) : ''}${off.value} % ± ${off.plusMinus}`,
        ...(isBoom ? [habitWords[habit]] : []),
      ];
    },
  );
}

/** The simulated truth, told when the sweep is done. @param shareOf true flow over that of the first, by label. */
export function truthOfTwo(
  { tip, against, compared }: Two,
  shareOf: (label: string) => number | undefined,
): string | null {
  const trueRatio = (shareOf(tip) ?? NaN) / (shareOf(against) ?? NaN);
  if (compared === null || !Number.isFinite(trueRatio)) return null;
  const inside = Math.abs(compared.ratio - trueRatio) <= compared.expandedUncertainty95;
  const percent = `${withUncertainty(Math.abs(trueRatio - 1) * 100, compared.expandedUncertainty95 * 100)?.value ?? '–'} %`;
  const truth = `in truth ${tip} gives ${percent} ${trueRatio < 1 ? 'less' : 'more'} than ${against}`;
  return `${truth}, ${inside ? 'inside the ±.' : 'outside the ±; that happens about once in twenty.'}`;
}

export function truthOfSet(
  set: SetCompared,
  shareOf: (label: string) => number | undefined,
  nameOf: (label: string) => string,
): string | null {
  const shares = set.members.map(({ label }) => shareOf(label) ?? NaN);
  const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
  if (!Number.isFinite(mean)) return null;
  const told = set.members.map(({ label }, i) => {
    const off = (shares[i]! / mean - 1) * 100;
    return `${nameOf(label)} ${off < 0 ? '−' : '+'}${fixed(Math.abs(off), 1)} %`;
  });
  return `in truth, against the mean: ${told.join(', ')}.`;
}

export function pictureCaption(isSet: boolean): string {
  return isSet ? '% against the mean of all' : '% against the mean of both, over time';
}

/** One sentence for who can't see the picture. */
export function pictureSentence(several: SeveralTips | null, nameOf: (label: string) => string): string {
  if (several === null) return 'Catches in the order they came; there is nothing to compare yet.';
  if (several.kind === 'two') return `Catches of two tips in turn. ${twoSentence(several)}`;
  if (several.compared === null) return wholeSentence(several.comparedBecause ?? 'no-catches');
  return `Each nozzle against the mean. ${setSentence(several.compared, nameOf)}`;
}
