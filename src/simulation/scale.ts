import type { Pail } from './pail.ts';
import type { Random } from './random.ts';
import { displayOf, type Display } from './scale-habits.ts';
import type { Scenario } from './scenario.ts';

/** One conversion of the scale, before anything is printed. */
export interface Sample {
  readonly number: number;
  /** True time of the conversion. */
  readonly time_s: number;
  /** Averaged and rounded, as the scale would show it. */
  readonly mass_kg: number;
  /** Never reaches the host. */
  readonly dropped: boolean;
}

/**
 * The weighing part: load plus white noise, moving average over `averagedReadings`, rounding to the step, readings lost.
 * Conversions stand on a grid of the converter's own true rate, so the result doesn't depend on how time is cut into steps.
 */
export class Scale {
  /** True interval of the conversions: the nominal one times the rate's error of this session. */
  readonly interval_s: number;
  private readonly recent: number[] = [];
  private readonly first_s: number;
  private readonly noise: Random;
  private readonly loss: Random;
  private readonly display: Display;
  private next = 0;

  constructor(
    private readonly scenario: Scenario,
    random: Random,
    private readonly pail: Pail,
    private readonly gain = 1,
  ) {
    const session = random.stream('converter');
    const error = session.uniform(-scenario.rateError, scenario.rateError);
    this.interval_s = 1 / (scenario.rate_Hz * (1 + error));
    this.first_s = session.uniform(0, this.interval_s);
    this.noise = random.stream('white');
    this.loss = random.stream('loss');
    this.display = displayOf(scenario.habit, scenario.step_kg, random.stream('habit'));
  }

  /** Every conversion up to and with `t_s` that was not given before. */
  advanceTo(t_s: number): Sample[] {
    const samples: Sample[] = [];
    for (;;) {
      const time_s = this.first_s + this.next * this.interval_s;
      if (time_s > t_s) return samples;
      samples.push(this.convert(time_s));
    }
  }

  private convert(time_s: number): Sample {
    const { whiteNoise_kg, averagedReadings, step_kg, dropChance } = this.scenario;
    const sd_kg = Math.hypot(whiteNoise_kg, this.pail.sprayNoise_kg(time_s));
    this.recent.push(this.gain * this.pail.load_kg(time_s) + sd_kg * this.noise.normal());
    if (this.recent.length > averagedReadings) this.recent.shift();
    let sum = 0;
    for (const value of this.recent) sum += value;
    const steps = Math.round(this.display(time_s, sum / this.recent.length) / step_kg);
    const sample = {
      number: this.next,
      time_s,
      mass_kg: steps * step_kg,
      dropped: this.loss.chance(dropChance),
    };
    this.next += 1;
    return sample;
  }
}
