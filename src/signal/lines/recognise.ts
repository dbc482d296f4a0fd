import type { Refusal } from '../../base/outcome.ts';
import { refused } from '../../base/outcome.ts';
import type { MassUnit } from '../reading.ts';
import { parseBenchLine } from './bench-sentence.ts';
import type { RawLine } from './line-splitter.ts';
import { stripParityBit } from './parity-bit.ts';
import { parseScaleLine, type ScaleLine } from './scale-line.ts';

export type Recognition =
  | { readonly kind: 'undecided' }
  | { readonly kind: 'bench-board' }
  /** `unit` null: it prints bare numbers, and what they mean has to be asked. */
  | { readonly kind: 'scale'; readonly unit: MassUnit | null }
  /** `wrong-baud-likely` or `not-an-instrument-we-read`; the lines are there to be shown (`lines`). */
  | { readonly kind: 'refused'; readonly refusal: Refusal };

/** A checksum can't be right by chance twice in a row; a short line of noise can look like a number now and then. */
const BOARD_LINES = 2;
const SCALE_LINES = 5;
const GIVE_UP_LINES = 40;
const PRINTABLE_SHARE = 0.8;

/**
 * Tells by listening what speaks: a bench board after two good sentences, a scale after five numbers in a row of one
 * shape (unit, decimals, words). Gives up after forty lines and says whether they look like noise or like another device.
 */
export class InstrumentRecogniser {
  readonly #lines: string[] = [];
  #boardLines = 0;
  #scaleLines = 0;
  #shape = '';
  #printable = 0;
  #characters = 0;
  #recognition: Recognition = { kind: 'undecided' };

  /** The lines heard so far, as they came, for a person to look at. */
  get lines(): readonly string[] {
    return this.#lines;
  }

  /** Once decided it stays so. */
  take(raw: RawLine): Recognition {
    if (this.#recognition.kind !== 'undecided') return this.#recognition;
    this.#lines.push(raw.line);
    this.#countPrintable(raw.line);
    const sentence = parseBenchLine(raw.line);
    if (typeof sentence !== 'string' && sentence.kind !== 'identity') this.#boardLines += 1;
    const line = parseScaleLine(raw.line);
    if (typeof line === 'string') this.#scaleLines = 0;
    else if (line.value !== null) this.#countScaleLine(line);
    this.#recognition = this.#decide(line);
    return this.#recognition;
  }

  #countScaleLine(line: ScaleLine): void {
    const shape = `${line.unit} ${line.step} ${line.net}`;
    this.#scaleLines = shape === this.#shape ? this.#scaleLines + 1 : 1;
    this.#shape = shape;
  }

  #decide(line: ScaleLine | string): Recognition {
    if (this.#boardLines >= BOARD_LINES) return { kind: 'bench-board' };
    if (this.#scaleLines >= SCALE_LINES && typeof line !== 'string')
      return { kind: 'scale', unit: line.unit };
    if (this.#lines.length < GIVE_UP_LINES) return { kind: 'undecided' };
    const share = this.#characters === 0 ? 1 : this.#printable / this.#characters;
    const because = share < PRINTABLE_SHARE ? 'wrong-baud-likely' : 'not-an-instrument-we-read';
    return {
      kind: 'refused',
      refusal: refused(because, { linesHeard: this.#lines.length, printableShare: share }),
    };
  }

  #countPrintable(line: string): void {
    const text = stripParityBit(line) ?? line;
    this.#characters += text.length;
    this.#printable += text.replaceAll(/[^\t\x20-\x7e]/g, '').length;
  }
}
