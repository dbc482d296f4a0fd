/** So many numbers without a unit in a row are a way of speaking; fewer, between lines that name one, are half lines. */
const A_WAY_OF_SPEAKING = 5;

interface Run {
  readonly first: number;
  end: number;
}

/**
 * Readings of bare numbers whose unit nobody named, kept as if they were grams: enough to see a catch, never to give its flow.
 * Where the instrument names its unit elsewhere, a few bare ones among its lines are cut lines and no reading at all.
 */
export class BareReadings {
  readonly #runs: Run[] = [];
  #count = 0;

  /** The reading at this place of the columns came from a bare number. Places ascend. */
  note(index: number): void {
    this.#count += 1;
    const last = this.#runs.at(-1);
    if (last?.end === index) last.end += 1;
    else this.#runs.push({ first: index, end: index + 1 });
  }

  /** Whether none of the readings told its unit. */
  areAll(readings: number): boolean {
    return this.#count > 0 && this.#count === readings;
  }

  /** The masses with cut lines taken out; the same array where there are none. */
  withoutCutLines(mass_kg: Float64Array): Float64Array {
    const cut = this.#runs.filter((run) => !this.#isSpoken(run, mass_kg.length));
    if (cut.length === 0) return mass_kg;
    const masses = mass_kg.slice();
    for (const run of cut) masses.fill(NaN, run.first, run.end);
    return masses;
  }

  /** Where the instrument begins or ends to leave its unit away: what lies on both sides can't be joined. */
  borders(readings: number): number[] {
    if (this.areAll(readings)) return [];
    const spoken = this.#runs.filter((run) => this.#isSpoken(run, readings));
    return spoken.flatMap((run) => [run.first, run.end]).filter((index) => index > 0 && index < readings);
  }

  /** Whether a reading of `from`…`to` (exclusive) has no unit that anybody knows. */
  isUnitUnknown(from: number, to: number, readings: number): boolean {
    return this.#runs.some((run) => run.first < to && run.end > from && this.#isSpoken(run, readings));
  }

  #isSpoken(run: Run, readings: number): boolean {
    return this.areAll(readings) || run.end - run.first >= A_WAY_OF_SPEAKING;
  }
}
