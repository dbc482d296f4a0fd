import type { Random } from './random.ts';

/** What a real meter does beside counting: an offset in f = aQ − b, blades that are not alike, and jitter that adds up. */
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

/** Where each pulse falls against an even spacing, in pulses. The pattern repeats every turn; the jitter of each spacing adds up. */
export class Blades {
  private readonly pattern: readonly number[];
  /** Sum of the jitter up to each pulse. */
  private readonly walk: number[] = [0];
  private readonly draw: Random;

  constructor(
    readonly habit: MeterHabit,
    random: Random,
  ) {
    this.draw = random.stream('jitter');
    const draw = random.stream('blades');
    this.pattern = Array.from({ length: habit.blades }, () => habit.bladePattern * draw.normal());
  }

  late(pulse: number): number {
    const { blades, jitter } = this.habit;
    if (jitter > 0) {
      while (this.walk.length <= pulse) this.walk.push(this.walk.at(-1)! + jitter * this.draw.normal());
    }
    return this.pattern[pulse % blades]! + (this.walk[pulse] ?? 0);
  }
}
