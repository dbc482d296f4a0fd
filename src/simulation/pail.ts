import type { JugPour } from './jug.ts';
import { courseOf } from './flow-course.ts';
import { Pour } from './pour.ts';
import type { Random } from './random.ts';
import type { Scenario } from './scenario.ts';
import { handing, kick, setDown, type Shock } from './shocks.ts';
import { Wander } from './wander.ts';

/** What was drawn for one opening of the valve, for scoring. Kilograms are apparent mass on the scale. */
export interface Spray {
  readonly pour: Pour;
  readonly flow_kg_per_s: number;
  /** Mean push of the jet at that flow; its wander (relative sd) and memory are the scenario's. */
  readonly jet_kg: number;
  /** Relative change of the push over `driftOver_s`, signed, centred on the middle of that time. */
  readonly jetDrift: number;
  readonly driftOver_s: number;
  readonly sprayNoise_kg: number;
  readonly pulsation_Hz: number;
  readonly pulsationPhase: number;
  /** Amplitude as it reaches the readings: the converter averages over one interval, a sinc. */
  readonly pulsation_kg: number;
  /** Share that misses the pail all the time, and the share that goes over the rim with foam from a moment on. */
  readonly missedShare: number;
  readonly foamShare: number;
  readonly foamFrom_s: number;
}

/** A jet at 24 m/s (about 40 psi) can't push harder than its momentum: q v / g (arithmetic). */
export const largestPush_kg_per_kg_per_s = 2.4;
const KICK_MEMORY_S = 0.8;

/**
 * Pail, water and everything that presses on the scale, as a process in time: valve and hands act by command at any moment,
 * `load_kg` is asked for ascending times. Commands at a time must come before loads are asked for at or after it.
 */
export class Pail {
  private sprays: Spray[] = [];
  private changes: { readonly spray: Spray; readonly pour: Pour }[] = [];
  private shocks: Shock[] = [];
  /** Water in the pail less all that has run out. */
  private offset_kg = 0;
  /** Run out in pours that are over and forgotten; and what of that never came into the pail, or left it. */
  private retired_kg = 0;
  private retiredLost_kg = 0;
  private readonly jugs: JugPour[] = [];
  private frozen_kg: number | null = null;
  private resting: (t_s: number) => number = () => 1;
  private known_kg: (t_s: number) => number = () => 0;
  private count = 0;
  private readonly jetWander: Wander;
  private readonly slosh: Wander;
  private readonly wind: Wander;
  private readonly wind_kg: number;
  private readonly interval_s: number;
  readonly sloshMemory_s = 0.8;
  /** Drawn once a session. */
  readonly slosh_Hz: number;
  /** Beat of a hand pump, s; 0 without one. */
  readonly beat_s: number;

  constructor(
    private readonly scenario: Scenario,
    private readonly random: Random,
    readonly pail_kg: number,
  ) {
    const session = random.stream('session');
    this.slosh_Hz = session.uniform(2, 4);
    this.jetWander = new Wander(random.stream('jet'), scenario.jetMemory_s);
    this.slosh = new Wander(random.stream('slosh'), this.sloshMemory_s, this.slosh_Hz);
    this.wind_kg = session.within(scenario.wind_kg);
    this.wind = new Wander(random.stream('wind'), session.within(scenario.windMemory_s));
    this.interval_s = 1 / scenario.rate_Hz;
    const { drive } = scenario;
    this.beat_s =
      drive?.kind === 'strokes' ? Math.round(100 * session.stream('beat').within(drive.period_s)) / 100 : 0;
  }

  /** `planned_s`: how long it will be open if that is known; the jet's drift is scaled to it (else to 30 s). */
  openValve(at_s: number, flow_kg_per_s: number, planned_s = 30): Spray {
    const s = this.scenario;
    const draw = this.random.stream(`spray ${String(this.count)}`);
    this.count += 1;
    for (const earlier of this.sprays) earlier.pour.endDribble(at_s);
    const openLag_s = draw.within(s.openLag_s);
    const pour = new Pour({
      start_s: at_s,
      flow_kg_per_s,
      sag_per_s: s.sagPerMinute / 60,
      openLag_s,
      closeLag_s: draw.within(s.closeLag_s),
      afterDrip_kg: draw.within(s.afterDrip_kg),
      afterDripMemory_s: draw.uniform(0.4, 1),
      dribble_kg_per_s: draw.within(s.dribble_kg_per_s),
      course: courseOf(s.drive, draw.stream('drive'), { flow_kg_per_s, openLag_s, beat_s: this.beat_s }),
    });
    const drawn_kg = draw.within(s.jet_kg);
    const jet_kg = this.turned ? drawn_kg : Math.min(drawn_kg, largestPush_kg_per_kg_per_s * flow_kg_per_s);
    const pulsation_Hz = draw.uniform(10, 40);
    const turn = Math.PI * pulsation_Hz * this.interval_s;
    const missed = this.random.stream(`missed ${String(this.count)}`);
    const foams = s.foam !== undefined && missed.chance(s.foam.chance);
    const spray: Spray = {
      missedShare: s.mistShare === undefined ? 0 : missed.within(s.mistShare),
      foamShare: foams ? missed.within(s.foam.share) : 0,
      foamFrom_s: foams ? at_s + planned_s * missed.within(s.foam.from) : Infinity,
      pour,
      flow_kg_per_s,
      jet_kg,
      jetDrift: draw.uniform(-s.jetDrift, s.jetDrift),
      driftOver_s: planned_s,
      sprayNoise_kg: draw.within(s.sprayNoise_kg),
      pulsation_Hz,
      pulsationPhase: draw.uniform(0, 2 * Math.PI),
      pulsation_kg: Math.abs(((jet_kg + 0.002) * s.pulsation * Math.sin(turn)) / turn),
    };
    this.sprays.push(spray);
    this.shocks.push(kick(draw, at_s, s.kick_kg, KICK_MEMORY_S));
    return spray;
  }

  /** The pressure is changed while spraying: the flow follows with a lag. */
  changeFlow(at_s: number, flow_kg_per_s: number, lag_s: number): void {
    const spray = this.sprays.at(-1);
    if (spray?.pour.stop_s !== Infinity) return;
    let before_kg_per_s = spray.flow_kg_per_s;
    for (const change of this.changes)
      if (change.spray === spray) before_kg_per_s += change.pour.makeup.flow_kg_per_s;
    const change = new Pour({
      ...spray.pour.makeup,
      start_s: at_s,
      flow_kg_per_s: flow_kg_per_s - before_kg_per_s,
      openLag_s: lag_s,
      afterDrip_kg: 0,
      dribble_kg_per_s: 0,
      course: null,
    });
    change.endDribble(at_s);
    this.changes.push({ spray, pour: change });
  }

  closeValve(at_s: number): void {
    const spray = this.sprays.at(-1);
    if (spray?.pour.stop_s !== Infinity) return;
    spray.pour.close(at_s);
    for (const change of this.changes) if (change.spray === spray) change.pour.close(at_s);
    this.shocks.push(
      kick(this.random.stream(`close ${String(this.count)}`), at_s, this.scenario.kick_kg, KICK_MEMORY_S),
    );
  }

  lift(at_s: number): void {
    if (this.frozen_kg !== null) return;
    this.frozen_kg = this.water_kg(at_s);
    this.resting = handing(at_s, this.hands('lift', at_s).uniform(0.3, 0.8), false);
  }

  putBack(at_s: number, emptied: boolean): void {
    if (this.frozen_kg === null) return;
    const draw = this.hands('put back', at_s);
    const kept_kg = emptied ? Math.min(this.frozen_kg, draw.uniform(0, 0.02)) : this.frozen_kg;
    this.frozen_kg = null;
    this.offset_kg += kept_kg - this.water_kg(at_s);
    this.resting = handing(at_s, draw.uniform(0.1, 0.3), true);
    this.shocks.push(setDown(draw, at_s), kick(draw, at_s, 3 * this.scenario.kick_kg, KICK_MEMORY_S));
  }

  push(shock: Shock): void {
    this.shocks.push(shock);
  }

  /** The sprayer itself stands on the scale: what runs out is lost there, and no jet presses on it. */
  private get turned(): boolean {
    return this.scenario.standsOnScale === 'sprayer';
  }

  /** Flow of the newest opening against its nominal value, 1 before the first. */
  flowShare(t_s: number): number {
    return 1 + (this.sprays.at(-1)?.pour.deviation(t_s) ?? 0);
  }

  /** Known pieces stand beside the pail from now on, so much in all: hands set them down within a third of a second. */
  putKnown(at_s: number, mass_kg: number): void {
    const before_kg = this.known_kg(at_s);
    if (before_kg === mass_kg) return;
    const settling = handing(at_s, 0.35, true);
    this.known_kg = (t_s) => before_kg + (mass_kg - before_kg) * settling(t_s);
    this.shocks.push(setDown(this.hands('known', at_s), at_s + 0.2));
  }

  /** So much poured in by hand at an even, slow rate. */
  trickle(at_s: number, mass_kg: number, over_s: number): void {
    const before_kg = this.known_kg;
    this.known_kg = (t_s) => before_kg(t_s) + mass_kg * Math.min(1, Math.max(0, (t_s - at_s) / over_s));
  }

  get away(): boolean {
    return this.frozen_kg !== null;
  }

  /** Water in the pail. What runs while the pail is away goes to the ground. */
  water_kg(t_s: number): number {
    if (this.frozen_kg !== null) return this.frozen_kg;
    let kg = this.offset_kg + this.passed_kg(t_s) - this.retiredLost_kg;
    for (const spray of this.sprays) kg -= this.lost_kg(spray, t_s);
    for (const jug of this.jugs) kg += jug.delivered_kg(t_s);
    return kg;
  }

  /** Water from elsewhere than the tip. */
  addJug(jug: JugPour): void {
    this.jugs.push(jug);
  }

  /** What of an opening of the valve is not in the pail, kg. */
  lost_kg(spray: Spray, t_s: number): number {
    if (spray.missedShare === 0 && spray.foamShare === 0) return 0;
    let out_kg = spray.pour.delivered_kg(t_s);
    for (const change of this.changes) if (change.spray === spray) out_kg += change.pour.delivered_kg(t_s);
    const foamed_kg =
      t_s <= spray.foamFrom_s ? 0 : spray.pour.delivered_kg(t_s) - spray.pour.delivered_kg(spray.foamFrom_s);
    return spray.missedShare * out_kg + spray.foamShare * foamed_kg;
  }

  /** All that has run out of the tip, into the pail or beside it. */
  passed_kg(t_s: number): number {
    let sum = this.retired_kg;
    for (const spray of this.sprays) sum += spray.pour.delivered_kg(t_s);
    for (const change of this.changes) sum += change.pour.delivered_kg(t_s);
    return sum;
  }

  /** Extra white noise of the readings that spraying brings. */
  sprayNoise_kg(t_s: number): number {
    let sum = 0;
    for (const spray of this.sprays) sum += (spray.sprayNoise_kg * spray.pour.fraction(t_s)) ** 2;
    return Math.sqrt(sum);
  }

  /** What presses on the scale at a moment, without the converter's own noise. */
  load_kg(t_s: number): number {
    const rest = this.resting(t_s);
    const wander = 1 + this.scenario.jetWander * this.jetWander.at(t_s);
    const swing = this.scenario.slosh_kg * this.slosh.at(t_s);
    const gust_kg = this.wind_kg * this.wind.at(t_s);
    let force_kg = this.pail_kg + (this.turned ? -1 : 1) * this.water_kg(t_s) + gust_kg;
    for (const spray of this.sprays) {
      const open = spray.pour.fraction(t_s);
      if (open < 1e-9) continue;
      let share = open * (1 + spray.pour.deviation(t_s));
      for (const change of this.changes)
        if (change.spray === spray)
          share += (change.pour.makeup.flow_kg_per_s / spray.flow_kg_per_s) * change.pour.fraction(t_s);
      const drift = spray.jetDrift * ((t_s - spray.pour.makeup.start_s) / spray.driftOver_s - 0.5);
      // A hose has its weight before the trigger opens: only what the hand makes of it while it sprays comes and goes.
      if (this.turned) force_kg += spray.jet_kg * (wander - 1 + drift) * open + swing * open;
      else force_kg += spray.jet_kg * (wander + drift) * share * share + swing * open;
      force_kg +=
        spray.pulsation_kg *
        share *
        share *
        Math.sin(2 * Math.PI * spray.pulsation_Hz * t_s + spray.pulsationPhase);
    }
    for (const shock of this.shocks) force_kg += shock.push_kg(t_s);
    this.forget(t_s);
    return rest * force_kg + this.known_kg(t_s);
  }

  private hands(what: string, at_s: number): Random {
    return this.random.stream(`${what} ${at_s.toFixed(6)}`);
  }

  private forget(t_s: number): void {
    if (this.shocks.some((shock) => shock.end_s < t_s))
      this.shocks = this.shocks.filter((shock) => shock.end_s >= t_s);
    const oldest = this.sprays[0];
    if (oldest?.pour.finished(t_s) !== true) return;
    this.retired_kg += oldest.pour.delivered_kg(t_s);
    this.retiredLost_kg += this.lost_kg(oldest, t_s);
    this.sprays.shift();
    for (const change of this.changes)
      if (change.spray === oldest) this.retired_kg += change.pour.delivered_kg(t_s);
    this.changes = this.changes.filter((change) => change.spray !== oldest);
  }
}
