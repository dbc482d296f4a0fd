import { compareTips } from '../../analysis/comparison/compare-tips.ts';
import type { TipAgainstTip } from '../../analysis/comparison/tips-compared.ts';
import { ok, refused, type Outcome } from '../../base/outcome.ts';
import type { BenchRecord } from '../bench-record.ts';
import { keyOf, readBook, type Book, type BookMemo, type BookTip } from './book.ts';
import type { KeptSweep } from './kept-sweep.ts';
import { curveOf } from './rack.ts';
import type { RackCurve } from './rack-view.ts';
import { tipSweepOf } from './tip-sweep-of.ts';

const FEWEST_TIPS = 2;
/** More curves than that nobody tells apart. */
const MOST_TIPS = 6;

export interface RackTipsCompared {
  readonly against: string;
  /** In the order of the keys asked for, the one they are held against left out. */
  readonly pairs: readonly TipAgainstTip[];
  /** In the order of the keys asked for. */
  readonly curves: readonly {
    readonly key: string;
    readonly name: string;
    readonly simulated: boolean;
    readonly curve: RackCurve | null;
  }[];
}

/**
 * Tips of the book against one of them, each by its newest sweep of two settings or more (else its newest with a flow).
 * Refused: `tips-two-to-six` (one named twice counts once); `tip-not-found` with the key. A pair that can't be compared says why itself.
 */
export function compareRackTips(
  records: readonly BenchRecord[],
  keys: readonly string[],
  against: string,
  memo?: BookMemo,
): Outcome<RackTipsCompared> {
  const asked = [...new Set(keys)];
  if (asked.length < FEWEST_TIPS || asked.length > MOST_TIPS)
    return refused('tips-two-to-six', { tips: asked.length });
  if (!asked.includes(against)) return refused('tip-not-found', { key: against });
  const book = readBook(records, memo);
  const missing = asked.find((key) => !book.tips.has(key));
  if (missing !== undefined) return refused('tip-not-found', { key: missing });
  const tips = asked.map((key) => book.tips.get(key)!);
  const base = book.tips.get(against)!;
  return ok({
    against,
    pairs: tips.filter(({ key }) => key !== against).map((tip) => pairOf(tip, base, book)),
    curves: tips.map(({ key, name, simulated, sweeps }) => ({
      key,
      name,
      simulated,
      curve: curveOf(sweeps),
    })),
  });
}

function pairOf(tip: BookTip, against: BookTip, book: Book): TipAgainstTip {
  const [a, b] = [sweepOf(tip, book), sweepOf(against, book)];
  if (a !== null && b !== null) return compareTips(a, b);
  return {
    tip: tip.key,
    against: against.key,
    compared: null,
    comparedBecause: 'no-curve',
    notAlike: [],
    at: [],
    warnings: [],
  };
}

function sweepOf({ key, sweeps }: BookTip, book: Book) {
  const settings = ({ answer }: KeptSweep): number => answer.picture?.settings.length ?? 0;
  const sweep = sweeps.find((one) => settings(one) > 1) ?? sweeps.find((one) => settings(one) > 0);
  if (sweep === undefined) return null;
  return tipSweepOf(key, sweep, book.rigs.get(keyOf(sweep.setup.rig.name, sweep.simulated)) ?? null);
}
