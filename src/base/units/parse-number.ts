import { ok, refused } from '../outcome.ts';
import type { Outcome } from '../outcome.ts';

const ONE_NUMBER = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)$/;

/**
 * A number as a person types it. Point and comma are both the DECIMAL mark; there are no thousands separators, because
 * "1,234" can't be told from "1.234" and guessing by the number of digits would be wrong for half of the world.
 * So "1,234" is 1.234 and the field shows what was understood. "1,234.5", "1.2.3", "1 234", "1e3", "" and words are refused
 * (`number-not-understood`, with the text).
 * @example parseNumber('2,5') // { ok: true, value: 2.5 }
 */
export function parseNumber(text: string): Outcome<number> {
  const trimmed = text.trim().replace(/^\u2212/, '-');
  if (!ONE_NUMBER.test(trimmed)) return refused('number-not-understood', { text: text.slice(0, 40) });
  const value = Number(trimmed.replace(',', '.'));
  if (!Number.isFinite(value)) return refused('number-not-understood', { text: text.slice(0, 40) });
  return ok(value === 0 ? 0 : value); // no minus zero
}
