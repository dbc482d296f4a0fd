export type AlternatedLabel = 'A' | 'B';

/**
 * What: in which order to catch two tips: A B B A, A B B A …, so that what changes evenly with time falls on both alike (measurement
 * 11.10). After an even number of catches of each a straight change cancels exactly.
 * Errors: RangeError for a number that is not a positive integer.
 * @example orderOfAlternation(2) // A B B A
 */
export function orderOfAlternation(catchesPerTip: number): readonly AlternatedLabel[] {
  if (!Number.isInteger(catchesPerTip) || catchesPerTip < 1) {
    throw new RangeError(`a positive number of catches is needed, not ${catchesPerTip}`);
  }
  return Array.from({ length: 2 * catchesPerTip }, (_, i): AlternatedLabel =>
    i % 4 === 0 || i % 4 === 3 ? 'A' : 'B',
  );
}

/**
 * What: by how much the plain ratio of the means, A over B, is wrong when the flow falls evenly by `sag` (relative) from the first catch
 * to the last.
 * Formula: the sag at catch i of n, −sag·i/(n − 1), averaged over A's catches less the same over B's.
 * Errors: RangeError unless both are there.
 * @example biasOfOrder(['A', 'B', 'A', 'B', 'A', 'B', 'A', 'B'], 0.03) // 0.0043
 */
export function biasOfOrder(order: readonly AlternatedLabel[], sag: number): number {
  const at = (label: AlternatedLabel): number => {
    const places = order.flatMap((one, i) => (one === label ? [i / (order.length - 1)] : []));
    if (places.length === 0) throw new RangeError('both tips must have been caught');
    return places.reduce((sum, place) => sum + place, 0) / places.length;
  };
  return -sag * (at('A') - at('B'));
}
