/** A mark's line in a capture: time, tab, exclamation mark (no line of a device can look so: its own is escaped). */
const MARK = /^\d[\d.]*\t!/u;

/**
 * The marks of a capture, which stay with the sweep's end when its lines are let go of: settings, plans of pours, checks of the scale.
 * Fed the text as it is kept, whole lines with LF.
 */
export class KeptMarks {
  readonly #lines: string[] = [];

  constructor(earlier: readonly string[] = []) {
    for (const text of earlier) this.add(text);
  }

  add(text: string): void {
    // Nearly every piece is one line of the instrument: not worth cutting.
    if (!text.includes('\t!')) return;
    for (const line of text.split('\n')) if (MARK.test(line)) this.#lines.push(line);
  }

  get text(): string {
    return this.#lines.map((line) => `${line}\n`).join('');
  }
}
