/** What a person typed, as a number: comma or point, a space or apostrophe between thousands is not guessed at. */

/** @returns the number, or null when the text is not one number (empty, words, two points, infinite). */
export function typedNumber(text: string): number | null {
  const trimmed = text.trim().replace('−', '-').replace(',', '.');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)$/.test(trimmed)) return null;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : null;
}

/** The bore of a hose is told in fractions of an inch: "3/8", "1/2"; else as any number. */
export function typedBore(text: string): number | null {
  const parts = /^\s*(\d{1,2})\s*\/\s*(\d{1,2})\s*$/.exec(text);
  if (parts === null) return typedNumber(text);
  const below = Number(parts[2]);
  return below === 0 ? null : Number(parts[1]) / below;
}

/**
 * A list of numbers. Spaces and semicolons part them, and then a comma inside one is a decimal comma ("1,5 2 2,5").
 * Without spaces commas part them ("20,30,40"), but a single comma is a decimal comma where `loneCommaIsDecimal`.
 * @returns the numbers in the order typed, or the first piece that is none.
 */
export function typedNumbers(
  text: string,
  loneCommaIsDecimal: boolean,
): { readonly numbers: readonly number[] } | { readonly notANumber: string } {
  const trimmed = text.trim();
  if (trimmed === '') return { numbers: [] };
  const spaced = /[\s;]/.test(trimmed);
  const commas = trimmed.split(',').length - 1;
  const whole = !spaced && (commas === 0 || (commas === 1 && loneCommaIsDecimal));
  const pieces = whole ? [trimmed] : trimmed.split(spaced ? /,?[\s;]+/ : ',');
  const numbers: number[] = [];
  for (const piece of pieces) {
    const bare = piece.replace(/,$/, '');
    if (bare === '') continue;
    const value = typedNumber(bare);
    if (value === null) return { notANumber: bare };
    numbers.push(value);
  }
  return { numbers };
}
