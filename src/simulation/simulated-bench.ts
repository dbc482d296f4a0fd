import type { Chunk, InstrumentDescription } from '../signal/reading.ts';
import { emptyLoad_kg } from './fills.ts';
import { headerFacts, type HeaderFacts } from './header-facts.ts';
import { Instrument, scenarioOf, type InstrumentOptions } from './instrument.ts';
import { Pail } from './pail.ts';
import { Random, type Range } from './random.ts';
import { withRig, type SimulatedRigKind } from './rig-scenarios.ts';
import { Rig, type SimulatedDial, type SimulatedTip } from './rig.ts';
import type { MeterHabit } from './meter-habit.ts';
import { nozzleShare, type NozzleOf } from './nozzles.ts';
import { bump } from './shocks.ts';
import type { ScaleDialect } from './scale-voice.ts';
import { scenarioNamed, type Scenario, type ScenarioName } from './scenario.ts';
import { shownFlow_kg_per_s, volumeFlow_m3_per_s } from './water.ts';

export interface SimulatedBenchOptions {
  readonly scenario: ScenarioName;
  readonly seed: number;
  readonly instrument: 'bench-board' | 'scale';
  /** Scale only; absent: right-justified. */
  readonly dialect?: ScaleDialect;
  readonly tip: SimulatedTip;
  readonly dial: SimulatedDial;
  /** Absent: 30 kg. */
  readonly scaleLimit_kg?: number;
  /** Absent: drawn, 0.4-1.2 kg. */
  readonly pailMass_kg?: number;
  /** What drives the water and what stands on the scale; absent: as the scenario has it. */
  readonly rig?: SimulatedRigKind;
  /** Board only; absent: no meter, no pressure sensor. */
  readonly meterPulsesPerCubicMetre?: number;
  readonly pressureFullScale_Pa?: number;
  /** What the scale shows for each kilogram on it; absent: 1. Its maker's label says nothing of it. */
  readonly scaleGain?: number;
  readonly meterHabit?: MeterHabit;
  /** Board only; false: the meter stands alone, nothing is weighed. */
  readonly loadCell?: boolean;
  /** Of the other nozzles that can be fitted; absent: that of the bench. */
  readonly nozzleSeed?: number;
  /** Flow of each nozzle over that of the bench's own tip, as they are; absent: drawn. */
  readonly nozzleShares?: readonly number[];
}

/** What really ran, while the trigger was open without a break. */
export interface TruePour {
  readonly start_s: number;
  /** Null while it runs. */
  readonly stop_s: number | null;
  /** Volume flow at the moment it opened (or the dial was last turned in it), before any sag. */
  readonly flow_m3_per_s: number;
  /** Mean from 1 s after opening to 0.3 s before closing, sag and turned dial in it; null while it runs or when too short. */
  readonly meanFlow_m3_per_s: number | null;
  readonly setting_Pa: number | null;
  readonly truePressure_Pa: number;
}

const TURNING_LAG_S = 0.4;
const ON_THE_WAY_LAG_S = 0.15;
/** A battery that sags over "the sweep" does it over so much water: the usual 15 catches of half a minute. It goes on fading after that. */
const SWEEP_OF_WATER_S = 450;
/** Under this nothing runs: a check valve is shut. */
const NO_FLOW_M3_PER_S = 1e-10;

/**
 * A whole bench without hardware: pump, dial, tip, trigger, pail, and the instrument under it, up to the bytes that reach the
 * host. Time moves only by `advanceTo`; a command acts at `now_s`. Same seed and same commands at the same times: same bytes,
 * however time is cut.
 */
export class SimulatedBench {
  private now = 0;
  private readonly scenario: Scenario;
  private readonly pail: Pail;
  private readonly rig: Rig;
  private readonly instrument: Instrument;
  private readonly pours: TruePour[] = [];
  private readonly disturbances: Random;
  private open = false;
  private nozzle: NozzleOf = { of: 'tips', index: 0 };
  private runs = false;
  private ran_s = 0;

  constructor(private readonly options: SimulatedBenchOptions) {
    const random = new Random(options.seed);
    const named = scenarioNamed(options.scenario);
    this.scenario = scenarioOf(options.instrument, options.rig ? withRig(named, options.rig) : named);
    this.disturbances = random.stream('disturbances');
    const pail_kg = options.pailMass_kg ?? emptyLoad_kg(this.scenario, random.stream('bench'));
    this.pail = new Pail(this.scenario, random.stream('pail'), pail_kg);
    this.rig = new Rig(options.tip, options.dial, random.stream('dial'));
    const instrument: InstrumentOptions = {
      kind: options.instrument,
      ...(options.dialect && { dialect: options.dialect }),
      ...(options.scaleLimit_kg !== undefined && { limit_kg: options.scaleLimit_kg }),
      ...(options.scaleGain !== undefined && { scaleGain: options.scaleGain }),
      ...(options.meterHabit !== undefined && { meterHabit: options.meterHabit }),
      ...(options.loadCell !== undefined && { loadCell: options.loadCell }),
      ...(options.meterPulsesPerCubicMetre !== undefined && {
        meterPulsesPerCubicMetre: options.meterPulsesPerCubicMetre,
      }),
      ...(options.pressureFullScale_Pa !== undefined && {
        pressureFullScale_Pa: options.pressureFullScale_Pa,
      }),
    };
    this.instrument = new Instrument(
      this.scenario,
      instrument,
      random,
      this.pail,
      (at_s) => this.pressure_Pa(at_s) * this.pail.flowShare(at_s) ** 2,
    );
  }

  get now_s(): number {
    return this.now;
  }

  /** Bytes that arrive up to and with `t_s`, cut as a USB bridge cuts them. Going back in time does nothing. */
  advanceTo(t_s: number): Chunk[] {
    if (t_s < this.now) return [];
    this.now = t_s;
    return this.instrument.advanceTo(t_s);
  }

  /** Turn the pressure control; while spraying the flow follows. */
  setDial(nominal_Pa: number): void {
    this.rig.set(nominal_Pa);
    this.flowFollows(TURNING_LAG_S);
  }

  /** The dial on its way, `share` 0..1 of it: a hand that turns it evenly while the water runs calls this several times. */
  turnDial(nominal_Pa: number, share: number): void {
    this.rig.turnTowards(nominal_Pa, share);
    this.flowFollows(ON_THE_WAY_LAG_S);
  }

  private flowFollows(lag_s: number): void {
    if (!this.open) return;
    const { flow_m3_per_s } = this.drive();
    if (this.runs) this.pail.changeFlow(this.now, shownFlow_kg_per_s(flow_m3_per_s), lag_s);
    else this.startsToRun(flow_m3_per_s);
    const running = this.pours.pop();
    if (running) this.pours.push({ ...running, ...this.drive() });
  }

  openTrigger(): void {
    if (this.open) return;
    this.open = true;
    this.rig.drain({ water_min: this.ran_s / 60, sweepShare: this.ran_s / SWEEP_OF_WATER_S });
    const drive = this.drive();
    this.startsToRun(drive.flow_m3_per_s);
    this.knock('bump in fill', this.scenario.bumpInFillChance, [1, 20]);
    this.pours.push({ start_s: this.now, stop_s: null, meanFlow_m3_per_s: null, ...drive });
  }

  closeTrigger(): void {
    if (!this.open) return;
    this.open = false;
    if (this.runs) this.pail.closeValve(this.now);
    this.runs = false;
    this.knock('bump idle', this.scenario.bumpIdleChance, [0.5, 5]);
    const running = this.pours.pop();
    if (!running) return;
    this.ran_s += this.now - running.start_s;
    const mean = this.meanFlow_m3_per_s(running.start_s + 1, this.now - 0.3);
    this.pours.push({ ...running, stop_s: this.now, meanFlow_m3_per_s: mean });
  }

  /** Another tip is put on, or the pail stands under another nozzle; while water runs the flow follows. */
  fitNozzle(nozzle: NozzleOf): void {
    this.nozzle = nozzle;
    this.flowFollows(TURNING_LAG_S);
  }

  /** Flow of such a nozzle over that of the bench's own tip. */
  nozzleShare(nozzle: NozzleOf): number {
    return (
      this.options.nozzleShares?.[nozzle.index] ??
      nozzleShare(nozzle, this.options.nozzleSeed ?? this.options.seed)
    );
  }

  /** A trigger may be open and nothing runs: behind a check valve that is shut. */
  private startsToRun(flow_m3_per_s: number): void {
    if (flow_m3_per_s < NO_FLOW_M3_PER_S) return;
    this.runs = true;
    this.pail.openValve(this.now, shownFlow_kg_per_s(flow_m3_per_s));
  }

  /** A blank in the tip's place, or the tip again. */
  fitBlank(isBlank: boolean): void {
    this.rig.fitBlank(isBlank);
    this.flowFollows(TURNING_LAG_S);
  }

  /** What the person reads: the dial, or a gauge held to the wand while the water runs. */
  get dialShows_Pa(): number {
    return this.rig.dialShows_Pa;
  }

  get wandPressure_Pa(): number {
    return this.rig.wandPressure_Pa;
  }

  liftPail(): void {
    this.pail.lift(this.now);
  }

  putBackPail(emptied: boolean): void {
    this.pail.putBack(this.now, emptied);
  }

  /** Known pieces beside the pail, so much in all; 0 takes them off. */
  putKnownMass(mass_kg: number): void {
    this.pail.putKnown(this.now, mass_kg);
  }

  /** So much into the pail by hand, slowly: over a minute. */
  trickle(mass_kg: number): void {
    this.pail.trickle(this.now, mass_kg, 60);
  }

  get truth(): readonly TruePour[] {
    return this.pours;
  }

  get trueNozzleConstant_m3_per_s_per_sqrtPa(): number {
    return this.rig.trueNozzleConstant_m3_per_s_per_sqrtPa;
  }

  description(): InstrumentDescription {
    return this.instrument.description();
  }

  /** What a capture of this bench says in its header. */
  headerFacts(): HeaderFacts {
    const facts = headerFacts(this.scenario, this.description(), this.options.dial, this.options.tip.name);
    // A scale with an error of its own was adjusted by nobody but its maker.
    return this.options.scaleGain === undefined ? facts : { ...facts, scaleFactorFrom: 'maker' };
  }

  /** Something touches the pail a while after now, as often as the scenario says. Nobody leans on it: hands are on the wand. */
  private knock(kind: string, chance: number, after_s: Range): void {
    const draw = this.disturbances.stream(`${kind} ${String(this.pours.length)}`);
    if (draw.chance(chance)) this.pail.push(bump(draw, this.now + draw.within(after_s)));
  }

  /** What really ran between two moments of the pour in hand or the one before, on average; null for no time. */
  meanFlow_m3_per_s(from_s: number, to_s: number): number | null {
    if (to_s <= from_s) return null;
    const mass_kg = this.pail.passed_kg(to_s) - this.pail.passed_kg(from_s);
    return volumeFlow_m3_per_s(mass_kg / (to_s - from_s));
  }

  /** What a sensor beside the gauge feels: the pressure of the setting, fallen with the flow where the pump fades while it runs. */
  private pressure_Pa(t_s: number): number {
    const running = this.pours.at(-1);
    if (!this.open || running === undefined) return this.rig.truePressure_Pa;
    return (
      this.rig.truePressure_Pa *
      (1 + (this.scenario.sagPerMinute / 60) * Math.max(0, t_s - running.start_s)) ** 2
    );
  }

  private drive(): Pick<TruePour, 'flow_m3_per_s' | 'setting_Pa' | 'truePressure_Pa'> {
    const { flow_m3_per_s, setting_Pa, truePressure_Pa } = this.rig;
    return { flow_m3_per_s: flow_m3_per_s * this.nozzleShare(this.nozzle), setting_Pa, truePressure_Pa };
  }
}
