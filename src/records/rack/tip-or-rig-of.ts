import type { NoTipOrRig, TipOrRig } from '../../analysis/tip-or-rig/tip-or-rig.ts';
import type { Book, BookRig } from './book.ts';
import type { TipWeeks } from './tip-weeks.ts';

export function tipOrRigOf(
  _rig: BookRig,
  _book: Book,
  _weeks: ReadonlyMap<string, TipWeeks> | undefined,
): TipOrRig | NoTipOrRig {
  return { because: 'not-yet-supported' };
}
