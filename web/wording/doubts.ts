/** How far a result can be trusted, in few words: doubts about single catches, and what stands over the whole recording. */
import type { Because, CatchView } from '../contract.ts';
import { sentenceOf, wholeSentence } from './because.ts';

type Doubt = CatchView['warnings'][number];

/** Said once for the sweep, not at every catch. */
const ofTheWholeSweep = new Set<Doubt>(['simulated', 'timed-by-hand']);

/** @returns the warnings that make this one catch doubtful. */
export function doubtsOf(thisCatch: Pick<CatchView, 'warnings'>): readonly Doubt[] {
  return thisCatch.warnings.filter((warning) => !ofTheWholeSweep.has(warning));
}

/** "the scale shows coarse steps": a sentence as the tail of another, without what was done about it. */
function asClause(because: Because): string {
  const { what } = sentenceOf(because);
  return `${what.charAt(0).toLowerCase()}${what.slice(1)}`.replace(/[;.].*$/, '');
}

/**
 * "Doubtful: the scale shows coarse steps. Longer catches help." for the caption of a catch just kept: what to do about the first of its
 * doubts is said at once, not after the last catch. Empty when it is good.
 */
export function doubtCaption(warnings: readonly Doubt[]): string {
  const doubts = doubtsOf({ warnings });
  if (doubts.length === 0) return '';
  const todo = doubts.map((doubt) => sentenceOf(doubt).todo).find((text) => text !== '');
  return `Doubtful: ${doubts.map(asClause).join('; ')}. ${firstSentence(todo ?? '')}`.trimEnd();
}

/** A notice is read in passing. */
function firstSentence(text: string): string {
  return text.replace(/(?<=[.?]) .*$/, '');
}

const MOST_NAMED = 2;

/**
 * "15 of 15 catches doubtful: the scale shows coarse steps. Longer catches help." Of many reasons the two commonest are named.
 * @returns null when no catch that counts is in doubt.
 */
export function doubtSentence(catches: readonly CatchView[]): string | null {
  const counted = catches.filter((one) => one.voidBecause === null && !one.struck);
  const doubtful = counted.filter((one) => doubtsOf(one).length > 0);
  if (doubtful.length === 0) return null;
  const times = new Map<Doubt, number>();
  for (const doubt of doubtful.flatMap(doubtsOf)) times.set(doubt, (times.get(doubt) ?? 0) + 1);
  const named = [...times].sort((a, b) => b[1] - a[1]).slice(0, MOST_NAMED);
  const todo = [...new Set(named.map(([doubt]) => sentenceOf(doubt).todo).filter((text) => text !== ''))];
  const noun = counted.length === 1 ? 'catch' : 'catches';
  const why = named.map(([doubt]) => asClause(doubt)).join('; ');
  return [`${doubtful.length} of ${counted.length} ${noun} doubtful: ${why}.`, ...todo].join(' ');
}

/** What changes how far the whole result can be trusted; the rest is in the ± already, or changes nothing. */
const changesTrust = new Set<Because>([
  'lines-refused',
  'lines-cut',
  'capture-cut-short',
  'unit-changed',
  'plateaus-do-not-match-plan',
  'dial-repeats-worse-than-stated',
  'setting-uncertainty-assumed',
  'scale-not-checked',
  'scale-drifted',
  'meter-not-checked',
]);

export interface Trust {
  /** One sentence each, for a line in sight. */
  readonly inSight: readonly string[];
  /** Whole sentences for the fold. */
  readonly folded: readonly string[];
}

/** @param linesRefused how many lines could not be read; 0 where it is not known. */
export function trustOf(warnings: readonly Because[], linesRefused: number): Trust {
  const told = warnings.filter((warning) => warning !== 'simulated');
  const sight = (warning: Because): string => {
    if (warning === 'lines-refused' && linesRefused > 0)
      return `${linesRefused} ${linesRefused === 1 ? 'line' : 'lines'} could not be read. The others were used.`;
    const { what, kept, todo } = sentenceOf(warning);
    // That the figure stands goes without saying beside the figure.
    return [what, kept === sentenceOf('scale-not-checked').kept ? '' : kept, todo]
      .filter((part) => part !== '')
      .join(' ');
  };
  return {
    inSight: told.filter((warning) => changesTrust.has(warning)).map(sight),
    folded: told.filter((warning) => !changesTrust.has(warning)).map(wholeSentence),
  };
}
