/**
 * Numbers as people read them. The digits come from the uncertainty: its own two leading digits when it begins with 1 or 2,
 * one otherwise (two digits at most, as JCGM 100:2008, 7.2.6 advises), and the value is cut at the same place.
 */

const MOST_DECIMALS = 8;

/**
 * Decimal places at which a value with this uncertainty is cut (may be negative: tens, hundreds).
 * @param uncertainty half-width in the shown unit, > 0; anything else gives null.
 */
export function decimalsFor(uncertainty: number): number | null {
  if (!Number.isFinite(uncertainty) || uncertainty <= 0) return null;
  const exponent = Math.floor(Math.log10(uncertainty));
  const leading = uncertainty / 10 ** exponent;
  // 2.95 and up would round to 3.0: one digit says it.
  if (leading < 2.95) return Math.min(1 - exponent, MOST_DECIMALS);
  // 9.5 and up rounds to 10: that is one place coarser, with two digits.
  return Math.min(-exponent, MOST_DECIMALS);
}

/** Rounds and writes with exactly `decimals` places, with a real minus sign; never "-0". */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return '–';
  const step = 10 ** -decimals;
  const rounded = decimals < 0 ? Math.round(value / step) * step : value;
  const text = rounded.toFixed(Math.max(0, decimals));
  const unsigned = text.startsWith('-') ? text.slice(1) : text;
  const isZero = !/[1-9]/.test(unsigned);
  return text.startsWith('-') && !isZero ? `−${unsigned}` : unsigned;
}

export interface CutNumber {
  readonly value: string;
  readonly plusMinus: string;
}

/** A value with its half-width, both cut at the same place. Null where the half-width can't be used. */
export function withUncertainty(value: number, uncertainty: number): CutNumber | null {
  const decimals = decimalsFor(uncertainty);
  if (decimals === null || !Number.isFinite(value)) return null;
  return { value: fixed(value, decimals), plusMinus: fixed(uncertainty, decimals) };
}

/** "0.412 gal/min, give or take 0.003" */
export function giveOrTake(value: number, uncertainty: number, unit: string): string {
  const cut = withUncertainty(value, uncertainty);
  if (cut === null) return `${significant(value, 2)} ${unit}`;
  return `${cut.value} ${unit}, give or take ${cut.plusMinus}`;
}

/** A number nobody stated an uncertainty for: `digits` significant digits, no trailing zeros after the point. */
export function significant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return '–';
  if (value === 0) return '0';
  const decimals = digits - 1 - Math.floor(Math.log10(Math.abs(value)));
  const text = fixed(value, Math.min(Math.max(decimals, -MOST_DECIMALS), MOST_DECIMALS));
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** A pressure setting as the person wrote it: up to three significant digits beyond what is needed. */
export function plain(value: number): string {
  return significant(value, 4);
}

/** Minutes and seconds for a clock time on the trace. */
export function clockTime(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}
