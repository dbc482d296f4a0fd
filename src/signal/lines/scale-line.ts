import type { LineReason } from '../../base/because.ts';
import type { MassUnit } from '../reading.ts';
import { stripParityBit } from './parity-bit.ts';
import { ambiguousAsUnit, scaleUnits, scaleWords } from './scale-words.ts';

/** What one line of an ordinary scale says, in its own unit. */
export interface ScaleLine {
  /** Null unless `state` is `ok`. */
  readonly value: number | null;
  /** Null: the line names none; what a bare number means has to be asked. */
  readonly unit: MassUnit | null;
  readonly stable: boolean | null;
  readonly net: boolean | null;
  readonly state: 'ok' | 'over' | 'under' | 'wait';
  /** The last digit's worth, in the line's unit; null without a number. */
  readonly step: number | null;
}

/**
 * Reads one line of an ordinary scale, tolerantly:
 *
 *     line = { status SEP } [sign] [ws] number [ws] [unit] { SEP word } [mark]
 *     number = digits [("."|",") digits]     unit = mg g kg t lb lbs oz     mark = "?" "*"
 *
 * Exactly one number, every other word known (see `scale-words.ts`), or the line is refused with the reason. Blanks,
 * dashes (wait), carets (over), low lines (under) and the words for them give a line without a value.
 * `line` holds one byte a character; the parity bit of a 7E1 or 7O1 line is taken off first.
 */
export function parseScaleLine(line: string): ScaleLine | LineReason {
  if (line.length === 0) return 'line-empty';
  const text = stripParityBit(line);
  if (text === null || !isPrintable(text)) return 'line-not-printable';
  if (text.startsWith('$') || text.startsWith('!')) return 'line-unknown-sentence';
  return new ScaleLineReader(text).read();
}

const WORD = /[A-Za-z]+/y;
const NUMBER = /(?:\d+(?:[.,]\d+|\.)?|\.\d+)/y;
// One such character alone is more likely noise.
const DASHES = /-(?:[-. ]*-)+/y;
const CARETS = /\^(?:[\^. ]*\^)+/y;
const LOW_LINES = /_(?:[_. ]*_)+/y;
const MARK_AT_END = /[?*]\s*$/y;
const SEPARATORS = ' \t,:;=';
const MAX_DIGITS = 12;
/** So many blanks before a unit are a number not shown. */
const BLANK_NUMBER = /(?:^|[\s,:;=])\s{3,}[A-Za-z]+\s*$/;

class ScaleLineReader {
  #at = 0;
  #number: string | null = null;
  #numbers = 0;
  #sign = '';
  #unit: MassUnit | null = null;
  #unitMayFollow = false;
  /** The unit of a number not shown; a G may also stand for gross before a number. */
  #blankUnit: MassUnit | null = null;
  #unitWord = false;
  #words = 0;
  #stable: boolean | null = null;
  #stableWeakly = false;
  #net: boolean | null = null;
  #state: 'ok' | 'over' | 'under' | 'wait' = 'ok';
  #firstDoubt: LineReason | null = null;

  constructor(private readonly text: string) {}

  read(): ScaleLine | LineReason {
    const { text } = this;
    while (this.#at < text.length) {
      const character = text[this.#at]!;
      if (SEPARATORS.includes(character)) this.#at += 1;
      else if (!this.#readToken()) {
        this.#doubt(this.#unitMayFollow ? 'line-unknown-unit' : 'line-unknown-word');
        this.#unitMayFollow = false;
        this.#at += 1;
      }
      // A line that begins with the word for overload may go on with any filler ("+9999999E+19").
      if (this.#words === 1 && this.#state !== 'ok' && this.#numbers === 0) return this.#result(null);
    }
    return this.#conclude();
  }

  #readToken(): boolean {
    const word = this.#take(WORD);
    if (word !== null) return this.#readWord(word);
    const number = this.#take(NUMBER);
    if (number !== null) return this.#readNumber(number);
    if (this.#take(DASHES) !== null) return this.#setState('wait');
    if (this.#take(CARETS) !== null) return this.#setState('over');
    if (this.#take(LOW_LINES) !== null) return this.#setState('under');
    if (this.#take(MARK_AT_END) !== null) {
      this.#stable = false;
      return true;
    }
    const character = this.text[this.#at]!;
    if ((character === '+' || character === '-') && this.#sign === '') {
      if (this.#numbers > 0) this.#doubt('line-unknown-word');
      this.#sign = character;
      this.#at += 1;
      return true;
    }
    return false;
  }

  #readNumber(number: string): boolean {
    this.#numbers += 1;
    if (this.#unitWord) this.#doubt('line-unknown-word');
    this.#number ??= number;
    this.#unitMayFollow = true;
    return true;
  }

  #readWord(word: string): boolean {
    const upper = word.toUpperCase();
    const unit = scaleUnits.get(word.toLowerCase());
    const inUnitPlace = this.#unitMayFollow;
    this.#unitMayFollow = false;
    if (inUnitPlace) {
      if (unit !== undefined) {
        this.#unit = unit;
        return true;
      }
      if (!scaleWords.has(upper) || ambiguousAsUnit.has(upper)) {
        this.#doubt('line-unknown-unit');
        return true;
      }
    }
    // A lone I is noise; after an S it says that the scale can't weigh just now.
    const meaning = upper === 'I' && !this.#stableWeakly ? undefined : scaleWords.get(upper);
    if (meaning === undefined) {
      // A unit without a number belongs to dashes or blanks; where a number follows it is no unit but a word we don't know.
      if (unit !== undefined && this.#numbers === 0) {
        this.#blankUnit = unit;
        this.#unitWord = true;
      } else this.#doubt('line-unknown-word');
      return true;
    }
    this.#words += 1;
    switch (meaning) {
      case 'stable':
        this.#stable ??= true;
        return true;
      case 'stable-weakly':
        this.#stableWeakly = true;
        return true;
      case 'moving':
        this.#stable = false;
        return true;
      case 'net':
      case 'gross':
        this.#net = meaning === 'net';
        // Where no number was shown a last G is the gram.
        if (this.#numbers === 0 && unit !== undefined) this.#blankUnit = unit;
        return true;
      case 'over':
      case 'under':
      case 'wait':
        return this.#setState(meaning);
      case 'label':
        return true;
    }
  }

  #setState(state: 'over' | 'under' | 'wait'): boolean {
    this.#state = state;
    return true;
  }

  #conclude(): ScaleLine | LineReason {
    if (this.#numbers > 1) return 'line-two-numbers';
    if (this.#firstDoubt !== null) return this.#firstDoubt;
    if (this.#number === null) return this.#withoutNumber();
    if (this.#state !== 'ok') return 'line-unknown-word';
    if (this.#number.length > MAX_DIGITS) return 'line-field-wrong';
    return this.#result(this.#number);
  }

  #withoutNumber(): ScaleLine | LineReason {
    if (this.#state !== 'ok') return this.#result(null);
    const blank = /^\s{3,}$/.test(this.text) || (this.#blankUnit !== null && BLANK_NUMBER.test(this.text));
    if (this.#sign !== '' && this.#words > 0) this.#state = this.#sign === '+' ? 'over' : 'under';
    else if (this.#sign === '' && blank) this.#state = 'wait';
    else return 'line-no-number';
    return this.#result(null);
  }

  #result(number: string | null): ScaleLine {
    const stable = this.#stable ?? (this.#stableWeakly ? true : null);
    const unit = number === null ? this.#blankUnit : this.#unit;
    const rest = { unit, stable, net: this.#net, state: this.#state };
    if (number === null) return { value: null, step: null, ...rest };
    const plain = number.replace(',', '.');
    const magnitude = Number(plain);
    const decimals = plain.includes('.') ? plain.length - plain.indexOf('.') - 1 : 0;
    // 0 - 0 is 0: a scale's "-0.0" is no other place than "0.0".
    return { value: this.#sign === '-' ? 0 - magnitude : magnitude, step: Number(`1e-${decimals}`), ...rest };
  }

  #doubt(because: LineReason): void {
    this.#firstDoubt ??= because;
  }

  #take(pattern: RegExp): string | null {
    pattern.lastIndex = this.#at;
    const found = pattern.exec(this.text);
    if (found === null) return null;
    this.#at = pattern.lastIndex;
    return found[0];
  }
}

function isPrintable(text: string): boolean {
  return !/[^\t\x20-\x7e]/.test(text);
}
