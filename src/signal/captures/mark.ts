import { gapReasons, type GapReason } from '../../base/because.ts';
import { PSI_PA } from '../../base/units/constants.ts';
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
  /**
   * One of the checks of the rig (`analysis/diagnosis/evidence.ts`), before, in or after the sweep: pressures in Pa, a leak in m3/s, each
   * with its standard uncertainty; of a sag the part of the flow that was lost. `at_Pa`: the pressure of the blank tip, or what the dial said
   * while a gauge at the wand was read or a sag looked for; `after_s` (sag alone): sprayed so long.
   */
  | {
      readonly kind: 'rig-check';
      readonly check: 'dial-at-zero' | 'flow-stops-at' | 'blank-tip' | 'wand-gauge' | 'sag-test';
      readonly value: number;
      readonly standardUncertainty: number;
      readonly at_Pa: number | null;
      readonly after_s?: number;
    }
  /** From here on water comes out of this tip (or position of a boom), until the next: holds for catches as a setting does. */
  | { readonly kind: 'tip'; readonly label: string }
  /** Kept as it stands (without the `!`) and reported; also a known word with values that can't be meant. */
  | { readonly kind: 'unknown'; readonly text: string };

/** More than any sprayer holds: 1000 bar. */
const ABSURD_PRESSURE_PA = 1e8;

/** A dial farther off than this at no pressure is broken or in another unit; the limit of the check itself (`session/rig-check`). */
const ABSURD_AT_ZERO_PA = 25 * PSI_PA;
/** More than any valve of a small sprayer holds back. */
const ABSURD_THRESHOLD_PA = 100 * PSI_PA;
/** A gauge at the wand may read above a dial that reads low; beyond this it is another unit. The check's own limit too. */
const mostAtWand_Pa = (setting_Pa: number): number => Math.max(1.5 * setting_Pa, setting_Pa + 15 * PSI_PA);

/** More than any small sprayer gives at all. */
const ABSURD_LEAK_M3_PER_S = 0.01;
/** Nobody sprays for longer to see a battery fade. */
const ABSURD_SPRAYING_S = 86_400;
const rigChecks = ['dial-at-zero', 'flow-stops-at', 'blank-tip', 'wand-gauge', 'sag-test'] as const;

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
    case 'rig-check':
      return `!rig-check ${mark.check} ${mark.value} ${mark.standardUncertainty}${mark.at_Pa === null ? '' : ` at ${mark.at_Pa}`}${mark.after_s === undefined ? '' : ` after ${mark.after_s}`}`;
    case 'tip':
      return `!tip ${escapeNote(mark.label)}`;
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
    case 'rig-check':
      return rigCheck(rest) ?? unknown;
    case 'tip':
      return { kind: 'tip', label: unescapeNote(rest) };
    default:
      return unknown;
  }
}

/** What a check can't have found, nor be as unsure of. */
const mostOf = {
  'dial-at-zero': ABSURD_AT_ZERO_PA,
  'flow-stops-at': ABSURD_THRESHOLD_PA,
  'blank-tip': ABSURD_LEAK_M3_PER_S,
  'wand-gauge': ABSURD_PRESSURE_PA,
  'sag-test': 1,
} as const;

/** `KIND VALUE U [at PRESSURE [after SECONDS]]`; the first two have no pressure beside them, the last one alone has a time. */
function rigCheck(rest: string): CaptureMark | null {
  const [kind = '', ...fields] = rest.trim().split(/ +/);
  const check = rigChecks.find((known) => known === kind);
  const [value, standardUncertainty] = fields.slice(0, 2).map(plainNumber);
  if (check === undefined || value == null || standardUncertainty == null || standardUncertainty < 0)
    return null;
  const hasTime = check === 'sag-test';
  const hasPlace = hasTime || check === 'blank-tip' || check === 'wand-gauge';
  if (fields.length !== (hasTime ? 6 : hasPlace ? 4 : 2)) return null;
  const most = mostOf[check];
  if (Math.abs(value) > most || standardUncertainty > most) return null;
  if (!hasPlace) return { kind: 'rig-check', check, value, standardUncertainty, at_Pa: null };
  const at_Pa = pressure(fields[3]!);
  if (fields[2] !== 'at' || at_Pa === null) return null;
  if (check === 'wand-gauge' && !(value >= 0 && value <= mostAtWand_Pa(at_Pa))) return null;
  const mark = { kind: 'rig-check', check, value, standardUncertainty, at_Pa } as const;
  if (!hasTime) return mark;
  const after_s = plainNumber(fields[5]!);
  const isMeant = fields[4] === 'after' && after_s !== null && after_s > 0 && after_s <= ABSURD_SPRAYING_S;
  return isMeant ? { ...mark, after_s } : null;
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
