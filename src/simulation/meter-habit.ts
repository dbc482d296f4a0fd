import type { Random } from './random.ts';

/** What a real meter does beside counting: an offset in f = aQ − b, blades that are not alike, and jitter of each pulse. */
export interface MeterHabit {
  readonly offset_Hz: number;
  /** Pulses of one turn, and how unlike their spacings are (standard deviation relative to a pulse). */
  readonly blades: number;
  readonly bladePattern: number;
  readonly jitter: number;
}

export const idealMeter: MeterHabit = { offset_Hz: 0, blades: 4, bladePattern: 0, jitter: 0 };

/** As in the measurement study, section 8: 3 % pattern over 4 pulses, 1 % jitter a pulse; 1 Hz of offset goes with 450 pulses a litre. */
export const usualMeter: MeterHabit = { offset_Hz: 1, blades: 4, bladePattern: 0.03, jitter: 0.01 };

/** Where each pulse falls against an even spacing, in pulses. The pattern repeats every turn; jitter is drawn for each pulse. */
export class Blades {
  private readonly pattern: readonly number[];

  constructor(
    readonly habit: MeterHabit,
    private readonly random: Random,
  ) {
    const draw = random.stream('blades');
    this.pattern = Array.from({ length: habit.blades }, () => habit.bladePattern * draw.normal());
  }

  late(pulse: number): number {
    const { blades, jitter } = this.habit;
    const own = jitter === 0 ? 0 : jitter * this.random.stream(`pulse ${String(pulse)}`).normal();
    return this.pattern[pulse % blades]! + own;
  }
}
