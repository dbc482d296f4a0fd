import { nameKey } from '../../src/base/name-key.ts';
import type {
  AnalysedFile,
  RigCheckKind,
  SimulatedBenchRequest,
  SimulatedFault,
  SimulatedScenario,
  SimulatedSpeed,
} from '../contract.ts';
import type { UnitSystem } from '../wording/units.ts';
import { CheckForm } from './check-form.svelte.ts';
import { HandTiming } from './hand-timing.svelte.ts';
import { KeptSetup } from './kept-setup.ts';
import { SetupForm } from './setup-form.svelte.ts';

export type BenchStep = 'choice' | 'instrument' | 'setup' | 'hand' | 'capture' | 'checks' | 'rig-check';

/** 40 psi, the pressure at which the simulated tip's flow is told. */
const DEMO_PRESSURE_PA = 275790;
/** The invented tip may be a little under its stamp or well worn: drawn, so that the answer is not known beforehand. */
const LEAST_WEAR = -0.03;
const MOST_WEAR = 0.15;
/** What the simulated bench has where nothing is asked for. */
const USUAL_RIG = { kind: 'held', standsOnScale: 'pail', strokePeriod_s: null } as const;

/** Where the person is on the Bench while no sweep runs, and what they have typed: kept while they look at the Log. */
export class BenchStage {
  step = $state<BenchStep>('choice');
  form = $state.raw<SetupForm | null>(null);
  scenario = $state<SimulatedScenario>('typical');
  speed = $state<SimulatedSpeed>(20);
  /** What is switched on at the simulated bench, to be found. */
  fault = $state<SimulatedFault>('none');
  /** The simulated board has a pressure sensor; without it the simulated bench is a scale. */
  sensor = $state(false);
  /** The simulated bench hears the water by a flow meter, and weighs nothing. */
  meterAlone = $state(false);
  file = $state.raw<{ readonly name: string; readonly result: AnalysedFile } | null>(null);
  hand = $state.raw(new HandTiming());
  readonly checkForm = new CheckForm();
  /** The simulated bench that checks were made on: Go measures with it. */
  checkedBench = $state.raw<SimulatedBenchRequest | null>(null);
  /** The check of the rig that was asked for; null: none in particular. */
  rigCheckKind = $state<RigCheckKind | null>(null);
  /** Where the checks were opened from. */
  #before: BenchStep = 'choice';
  /** What was drawn for the simulated tip of this name: measured again it is the same tip. */
  #drawn: { readonly tip: string; readonly wear: number } | null = null;
  readonly #random: () => number;
  readonly #kept: KeptSetup;

  /**
   * @param random a 32-bit unsigned integer, new each time.
   * @param kept the person's own set-up of an earlier time; the simulated bench has its invented one.
   */
  constructor(random: () => number, kept: KeptSetup = new KeptSetup(null)) {
    this.#random = random;
    this.#kept = kept;
  }

  /** The bench that was checked is the one asked for now. With another rig, sensor or surroundings it is another one. */
  get isCheckedBench(): boolean {
    const { checkedBench: made, form } = this;
    if (made === null || form === null) return false;
    const { kind, standsOnScale, strokePeriod_s } = made.rig ?? USUAL_RIG;
    const { fields, checked } = form;
    return (
      made.scenario === this.scenario &&
      (made.fault ?? 'none') === this.fault &&
      made.pressureSensor === this.sensor &&
      made.meterAlone === this.meterAlone &&
      kind === fields.rigKind &&
      standsOnScale === fields.standsOnScale &&
      (checked.setup === null || strokePeriod_s === checked.setup.rig.strokePeriod_s)
    );
  }

  /** The set-up was good enough to begin with: it is filled in the next time. */
  keepSetup(): void {
    if (this.form !== null && this.form.purpose !== 'simulated') this.#kept.keep(this.form.toKeep);
  }

  /** Without a sensor nothing can be recognised by its pressure. */
  setSensor(sensor: boolean): void {
    this.sensor = sensor;
    if (!sensor && this.form !== null) this.form.fields.settingsFrom = 'prompts';
  }

  /** Where nothing is weighed the pail stands where it likes. */
  setMeterAlone(alone: boolean): void {
    this.meterAlone = alone;
    if (alone && this.form !== null) this.form.setStandsOnScale('pail');
  }

  simulated(system: UnitSystem): void {
    this.form = new SetupForm('simulated', system, this.#random());
    this.#drawn = null;
    this.step = 'setup';
  }

  instrument(): void {
    this.step = 'instrument';
  }

  instrumentOpen(system: UnitSystem): void {
    if (this.form?.purpose !== 'instrument') this.form = this.#own('instrument', system);
    this.step = 'setup';
  }

  byHand(system: UnitSystem): void {
    if (this.form?.purpose !== 'by-hand') {
      this.form = this.#own('by-hand', system);
      this.hand = new HandTiming();
    }
    this.step = 'setup';
  }

  #own(purpose: 'instrument' | 'by-hand', system: UnitSystem): SetupForm {
    return new SetupForm(purpose, system, this.#random(), this.#kept.latest);
  }

  capture(): void {
    this.step = 'capture';
  }

  openChecks(): void {
    if (this.step !== 'checks') this.#before = this.step;
    if (this.form !== null) this.checkForm.fillFrom(this.form.fields);
    this.step = 'checks';
  }

  leaveChecks(): void {
    this.step = this.#before;
  }

  /** @param kind the one to begin with; null: the person chooses. */
  openRigCheck(kind: RigCheckKind | null = null): void {
    if (this.step !== 'rig-check') this.#before = this.step;
    this.rigCheckKind = kind;
    this.step = 'rig-check';
  }

  leaveRigCheck(): void {
    this.step = this.#before;
  }

  toChoice(): void {
    this.checkedBench = null;
    this.step = 'choice';
  }

  /**
   * Another sweep, with everything filled in as before ("look again" is the same tip on the same rig), but another random order. Back to
   * the first choice where nothing was typed here, or its instrument is not there any more.
   * @param tipName of the sweep that was just made: one that was gone on with from the Log was not typed here.
   * @param instrumentIsOpen a real one is still open.
   */
  again(tipName: string, instrumentIsOpen: boolean): void {
    const { form } = this;
    this.toChoice();
    if (form === null || nameKey(form.fields.tipName) !== nameKey(tipName)) return;
    if (form.purpose === 'instrument' && !instrumentIsOpen) return;
    form.drawOrderAnew(this.#random());
    if (form.purpose === 'by-hand') this.hand = new HandTiming();
    this.step = 'setup';
  }

  /** A bench for a kept simulated sweep to go on with; the worker knows the tip. */
  resumeRequest(): SimulatedBenchRequest {
    return {
      scenario: this.scenario,
      seed: this.#random(),
      speed: this.speed,
      instrument: 'scale',
      tipFlowAt275790Pa_m3_per_s: null,
    };
  }

  /** What "Go" asks of the simulated bench; the true flow hides within a few percent of the stamp. */
  simulationRequest(): SimulatedBenchRequest {
    const tip = this.form?.checked.setup?.tip;
    // Where a fault is to be found the tip itself is as stamped, but for what the fault makes of it; so is a new one, and one under check.
    const drawn = this.#wearOf(tip?.name ?? '');
    const isAsStamped = this.fault !== 'none' || this.form?.fields.occasion !== 'sweep';
    const wear = isAsStamped ? 0 : drawn;
    const rig = this.form?.checked.setup?.rig;
    const flow = tip?.ratedFlow_m3_per_s ?? null;
    const pressure = tip?.ratedPressure_Pa ?? null;
    return {
      scenario: this.scenario,
      seed: this.#random(),
      speed: this.speed,
      ...(this.fault !== 'none' && { fault: this.fault }),
      instrument: this.scenario === 'typical80' || this.sensor || this.meterAlone ? 'bench-board' : 'scale',
      pressureSensor: this.sensor,
      meterAlone: this.meterAlone,
      tipFlowAt275790Pa_m3_per_s:
        flow === null || pressure === null
          ? null
          : flow * Math.sqrt(DEMO_PRESSURE_PA / pressure) * (1 + wear),
      ...(rig && {
        rig: { kind: rig.kind, standsOnScale: rig.standsOnScale, strokePeriod_s: rig.strokePeriod_s },
      }),
    };
  }

  #wearOf(name: string): number {
    const tip = nameKey(name);
    if (this.#drawn?.tip !== tip)
      this.#drawn = { tip, wear: LEAST_WEAR + ((MOST_WEAR - LEAST_WEAR) * this.#random()) / 2 ** 32 };
    return this.#drawn.wear;
  }
}
