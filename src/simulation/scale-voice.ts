import type { Scenario } from './scenario.ts';

/** Three ways of printing that cover what ordinary scales do, in general terms; the wording is our own. */
export const scaleDialects = ['right-justified', 'status-first', 'bare-number'] as const;
export type ScaleDialect = (typeof scaleDialects)[number];

/**
 * Writes the lines of an ordinary scale, grams: number and unit right-justified with a mark while moving; status words first, the
 * sign apart and seven characters; or the number alone. Over its limit it shows no number.
 */
export class ScaleVoice {
  private readonly decimals: number;
  /** Half a second's readings within this count as still: a maker sets it above the noise. */
  private readonly stillWithin_kg: number;
  private readonly recent: number[] = [];

  constructor(
    private readonly dialect: ScaleDialect,
    private readonly scenario: Scenario,
    private readonly limit_kg: number,
  ) {
    const { step_kg, whiteNoise_kg, averagedReadings } = scenario;
    this.decimals = Math.max(0, -Math.floor(Math.log10(step_kg * 1000) + 1e-9));
    this.stillWithin_kg = Math.max(2.5 * step_kg, (6 * whiteNoise_kg) / Math.sqrt(averagedReadings));
  }

  line(mass_kg: number): string {
    this.recent.push(mass_kg);
    if (this.recent.length > Math.max(2, Math.round(this.scenario.rate_Hz / 2))) this.recent.shift();
    const moving = Math.max(...this.recent) - Math.min(...this.recent) > this.stillWithin_kg;
    const over = mass_kg > this.limit_kg + 9 * this.scenario.step_kg;
    return `${this.text(mass_kg, moving, over)}\r\n`;
  }

  private text(mass_kg: number, moving: boolean, over: boolean): string {
    const grams = (mass_kg * 1000).toFixed(this.decimals);
    const shown = Number(grams) === 0 ? (0).toFixed(this.decimals) : grams;
    switch (this.dialect) {
      case 'right-justified':
        return over ? '      OL' : `${shown.padStart(8)} g${moving ? ' ?' : ''}`;
      case 'status-first': {
        if (over) return 'OL';
        const sign = shown.startsWith('-') ? '-' : '+';
        return `${moving ? 'moving' : 'stable'},gross,${sign}${shown.replace('-', '').padStart(7)} g`;
      }
      case 'bare-number':
        return over ? '^^^^^^^' : shown;
    }
  }
}
