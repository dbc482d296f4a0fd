import type { Chunk, InstrumentDescription } from '../signal/reading.ts';
import { BOARD_KG_PER_COUNT, BoardVoice } from './board-voice.ts';
import type { Pail } from './pail.ts';
import type { Random } from './random.ts';
import { Scale, type Sample } from './scale.ts';
import { ScaleVoice, type ScaleDialect } from './scale-voice.ts';
import type { Scenario } from './scenario.ts';
import { Blades, idealMeter, type MeterHabit } from './meter-habit.ts';
import { UsbLine } from './usb-line.ts';
import { WATER_DENSITY_kg_per_m3, SHOWN_PER_TRUE } from './water.ts';

export interface InstrumentOptions {
  readonly kind: 'bench-board' | 'scale';
  /** Scale only; absent: right-justified. */
  readonly dialect?: ScaleDialect;
  /** Scale: shows no number above it. Absent: 30 kg. */
  readonly limit_kg?: number;
  /** Board only; absent: no meter on its pin. */
  readonly meterPulsesPerCubicMetre?: number;
  /** Board only; absent: no pressure sensor. */
  readonly pressureFullScale_Pa?: number;
  /** Board only; false: no load cell answers, the meter stands alone. */
  readonly loadCell?: boolean;
  /** What is shown for each kilogram; absent: 1. */
  readonly scaleGain?: number;
  /** Absent: an ideal meter. */
  readonly meterHabit?: MeterHabit;
}

/** Under this flow no meter turns. */
const TRICKLE_KG_PER_S = 0.003;
const BOARD_BYTES_PER_S = 11520;
const SCALE_BYTES_PER_S = 960;

/** The scenario as a bench board sees it: no averaging, its own fine step, and one of its two rates. */
export function scenarioOfBoard(scenario: Scenario): Scenario {
  return {
    ...scenario,
    rate_Hz: scenario.rate_Hz >= 80 ? 80 : 10,
    averagedReadings: 1,
    step_kg: BOARD_KG_PER_COUNT,
  };
}

export function scenarioOf(kind: InstrumentOptions['kind'], scenario: Scenario): Scenario {
  return kind === 'bench-board' ? scenarioOfBoard(scenario) : scenario;
}

/** Scale or board under a pail, up to the bytes that reach the host. `scenario` is the one of `scenarioOf(kind, ...)`. */
export class Instrument {
  readonly scale: Scale;
  private readonly usb: UsbLine;
  private readonly board: BoardVoice;
  private readonly printer: ScaleVoice;
  private pulses = 0;
  private edge_s: number | null = null;
  private before_s = 0;
  private readonly blades: Blades;
  private ran_s = 0;

  constructor(
    private readonly scenario: Scenario,
    private readonly options: InstrumentOptions,
    random: Random,
    private readonly pail: Pail,
    private readonly pressure_Pa: (at_s: number) => number = () => 0,
  ) {
    this.scale = new Scale(scenario, random.stream('scale'), pail, options.scaleGain);
    this.blades = new Blades(options.meterHabit ?? idealMeter, random.stream('meter'));
    this.usb = new UsbLine(scenario, random);
    this.board = new BoardVoice(random, scenario.rateError === 0, scenario.boardClockError);
    this.printer = new ScaleVoice(options.dialect ?? 'right-justified', scenario, options.limit_kg ?? 30);
    if (options.kind === 'bench-board') this.usb.send(this.board.hello(), 0);
  }

  /** Chunks that arrive up to and with `t_s`, each once. */
  advanceTo(t_s: number): Chunk[] {
    for (const sample of this.scale.advanceTo(t_s)) {
      const text = this.options.kind === 'scale' ? this.printer.line(sample.mass_kg) : this.boardLine(sample);
      const bytesPerSecond = this.options.kind === 'scale' ? SCALE_BYTES_PER_S : BOARD_BYTES_PER_S;
      if (!sample.dropped) this.usb.send(text, sample.time_s + text.length / bytesPerSecond);
    }
    return this.usb.take(t_s);
  }

  description(): InstrumentDescription {
    const { averagedReadings } = this.scenario;
    if (this.options.kind === 'scale')
      return {
        kind: 'scale',
        bareUnit: this.options.dialect === 'bare-number' ? 'g' : null,
        averagedReadings,
      };
    return {
      kind: 'bench-board',
      kilogramsPerCount: this.options.loadCell === false ? 0 : BOARD_KG_PER_COUNT,
      countsAtZero: 0,
      averagedReadings,
      pulsesPerCubicMetre: this.options.meterPulsesPerCubicMetre ?? null,
      meterOffset_Hz: 0,
      pressureFullScale_Pa: this.options.pressureFullScale_Pa ?? null,
    };
  }

  /** The board's clock against the true one; 1 for a scale, which has none. */
  get clockRatio(): number {
    return this.options.kind === 'bench-board' ? this.board.clockRatio : 1;
  }

  private boardLine(sample: Sample): string {
    this.countPulses(sample.time_s);
    const fullScale_Pa = this.options.pressureFullScale_Pa;
    return this.board.line({
      number: sample.number,
      time_s: sample.time_s,
      mass_kg: this.options.loadCell === false ? null : sample.mass_kg,
      pulses: this.pulses,
      edge_s: this.edge_s,
      supplyFraction:
        fullScale_Pa === undefined ? null : 0.1 + (0.8 * this.pressure_Pa(sample.time_s)) / fullScale_Pa,
    });
  }

  /** Pulses of the meter and the moment of the newest, found by halving. */
  private countPulses(t_s: number): void {
    const perCubicMetre = this.options.meterPulsesPerCubicMetre;
    if (perCubicMetre === undefined) return;
    const perShownKilogram = perCubicMetre / (WATER_DENSITY_kg_per_m3 * SHOWN_PER_TRUE);
    const { offset_Hz } = this.blades.habit;
    // What the bearing's friction costs is lost only while water runs.
    const ran_s = offset_Hz === 0 ? 0 : this.runningTime_s(t_s);
    const turns = (at_s: number): number =>
      this.pail.passed_kg(at_s) * perShownKilogram - offset_Hz * (ran_s - Math.max(0, t_s - at_s));
    const due = (n: number): number => n + this.blades.late(n);
    let pulses = this.pulses;
    while (turns(t_s) + 1e-9 >= due(pulses + 1)) pulses += 1;
    if (pulses > this.pulses) {
      let low_s = this.before_s;
      let high_s = t_s;
      for (let i = 0; i < 30; i += 1) {
        const middle_s = (low_s + high_s) / 2;
        if (turns(middle_s) < due(pulses)) low_s = middle_s;
        else high_s = middle_s;
      }
      this.pulses = pulses;
      this.edge_s = high_s;
    }
    this.before_s = t_s;
  }

  /** How long water has run up to now, to one sample: what an offset has cost. */
  private runningTime_s(t_s: number): number {
    if (
      this.pail.passed_kg(t_s) - this.pail.passed_kg(this.before_s) >
      TRICKLE_KG_PER_S * (t_s - this.before_s)
    )
      this.ran_s += t_s - this.before_s;
    return this.ran_s;
  }
}
