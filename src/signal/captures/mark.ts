import { gapReasons, type GapReason } from '../../base/because.ts';
import { escapeNote, unescapeNote } from './escape.ts';

/** Something that happened beside the instrument's lines, as a capture keeps it. */
export type CaptureMark =
  /** Holds for catches that start from half a second before it, until the next. */
  | { readonly kind: 'setting'; readonly pressure_Pa: number }
  /** The settings of the plateaus of one pour, in order. */
  | { readonly kind: 'plan-one-pour'; readonly pressures_Pa: readonly number[] }
  | { readonly kind: 'struck'; readonly start_s: number }
  | { readonly kind: 'undo-struck'; readonly start_s: number }
  | { readonly kind: 'gap'; readonly reason: GapReason }
  | { readonly kind: 'note'; readonly text: string }
  /**
   * A check of the scale during or after the sweep: true over shown mass as found (in terms of mass pieces: a factor from a volume of
   * water, less the air's buoyancy), and what that is worth. `corrects`: the person wants it applied; it is where none was made before.
   */
  | {
      readonly kind: 'scale-check';
      readonly factor: number;
      readonly relativeStandardUncertainty: number;
      readonly corrects?: true;
    }
  /** Kept as it stands (without the `!`) and reported; also a known word with values that can't be meant. */
  | { readonly kind: 'unknown'; readonly text: string };

/** More than any sprayer holds: 1000 bar. */
const ABSURD_PRESSURE_PA = 1e8;

/** True over shown mass of a scale that is one, as the check of it believes; found with water, less the air (0.1 %). */
const LEAST_SCALE_FACTOR = 0.499;
const MOST_SCALE_FACTOR = 2;

/** The mark as it stands after the tab, with its `!`. */
export function markText(mark: CaptureMark): string {
  switch (mark.kind) {
    case 'setting':
      return `!setting ${mark.pressure_Pa}`;
    case 'plan-one-pour':
      return `!plan one-pour ${mark.pressures_Pa.join(' ')}`;
    case 'struck':
      return `!struck ${mark.start_s}`;
    case 'undo-struck':
      return `!undo-struck ${mark.start_s}`;
    case 'gap':
      return `!gap ${mark.reason}`;
    case 'note':
      return `!note ${escapeNote(mark.text)}`;
    case 'scale-check':
      return `!scale-check ${mark.factor} ${mark.relativeStandardUncertainty}${mark.corrects === true ? ' corrects' : ''}`;
    case 'unknown':
      return `!${mark.text.replaceAll(/[\r\n]/g, ' ')}`;
  }
}

/** Reads a mark, `text` being what follows the tab, with its `!`. What it can't be sure of is `unknown`, never guessed. */
export function parseMark(text: string): CaptureMark {
  const body = text.slice(1);
  const unknown: CaptureMark = { kind: 'unknown', text: body };
  const space = body.indexOf(' ');
  const word = space < 0 ? body : body.slice(0, space);
  const rest = space < 0 ? '' : body.slice(space + 1);
  switch (word) {
    case 'setting': {
      const pressure_Pa = pressure(rest);
      return pressure_Pa === null ? unknown : { kind: 'setting', pressure_Pa };
    }
    case 'plan': {
      const [how, ...fields] = rest.trim().split(/ +/);
      const pressures_Pa = fields.map(pressure).filter((value) => value !== null);
      const isPlan = how === 'one-pour' && fields.length > 0 && pressures_Pa.length === fields.length;
      return isPlan ? { kind: 'plan-one-pour', pressures_Pa } : unknown;
    }
    case 'struck':
    case 'undo-struck': {
      const start_s = plainNumber(rest);
      return start_s === null ? unknown : { kind: word, start_s };
    }
    case 'gap': {
      // A gap whose reason a later version named is still a gap: readings must not be joined across it.
      const reason = gapReasons.find((known) => known === rest.trim()) ?? 'lines-lost';
      return { kind: 'gap', reason };
    }
    case 'note':
      return { kind: 'note', text: unescapeNote(rest) };
    case 'scale-check': {
      const fields = rest.trim().split(/ +/);
      const corrects = fields.at(-1) === 'corrects';
      const [factor = null, relativeStandardUncertainty = null, ...more] = (
        corrects ? fields.slice(0, -1) : fields
      ).map(plainNumber);
      const isMeant =
        factor !== null &&
        factor >= LEAST_SCALE_FACTOR &&
        factor <= MOST_SCALE_FACTOR &&
        relativeStandardUncertainty !== null &&
        relativeStandardUncertainty >= 0 &&
        relativeStandardUncertainty <= 1;
      return isMeant && more.length === 0
        ? { kind: 'scale-check', factor, relativeStandardUncertainty, ...(corrects ? { corrects } : {}) }
        : unknown;
    }
    default:
      return unknown;
  }
}

function pressure(text: string): number | null {
  const value = plainNumber(text);
  return value !== null && value > 0 && value <= ABSURD_PRESSURE_PA ? value : null;
}

/** A finite decimal number, exponent allowed, nothing else; null otherwise. */
export function plainNumber(text: string): number | null {
  const trimmed = text.trim();
  if (!/^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(trimmed)) return null;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : null;
}
