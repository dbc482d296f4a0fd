import { pourJug, type JugPour } from './jug.ts';
import { Pail, type Spray } from './pail.ts';
import { Random } from './random.ts';
import { Scale } from './scale.ts';
import { scenarioNamed, type Scenario, type ScenarioName } from './scenario.ts';
import { bump, lean } from './shocks.ts';
import { restBetween, wandRest } from './troubles.ts';
import { UsbLine } from './usb-line.ts';

/** What really happened in one fill, with all that a bound on the accuracy of its flow needs. */
export interface TrueFill {
  /** The valve begins to open, and to close. */
  readonly start_s: number;
  readonly stop_s: number;
  /**
   * Mean flow over start + 1 s + (averaged readings - 1) intervals to stop - 0.3 s; with linear sag also the line's slope there.
   * A hose that swells: its steady flow; a hand pump: the mean over the whole strokes inside.
   */
  readonly flow_kg_per_s: number;
  readonly flowAtMiddle_kg_per_s: number;
  /** The same of what came into the pail and stayed there: less by mist and foam. */
  readonly intoPail_kg_per_s: number;
  /** All water of this opening in the pail up to 10 s after closing, drip and dribble with it. */
  readonly water_kg: number;
  /** Share that missed the pail; when foam began to go over the rim, and when the wand moved, if it did so while the water ran. */
  readonly missedShare: number;
  readonly foamFrom_s: number | null;
  readonly wandMoved_s: readonly number[];
  readonly dribble_kg_per_s: number;
  readonly jet_kg: number;
  /** Standard deviation and memory of the push's wander, and its change over the fill. */
  readonly jetWander_kg: number;
  readonly jetMemory_s: number;
  readonly jetDrift_kg: number;
  readonly openLag_s: number;
  readonly closeLag_s: number;
  /** Converter and spray together, one conversion, before averaging. */
  readonly whiteNoise_kg: number;
  readonly slosh_kg: number;
  readonly sloshMemory_s: number;
  readonly slosh_Hz: number;
  /** Amplitude behind the converter. */
  readonly pulsation_kg: number;
  readonly pulsation_Hz: number;
  readonly bumped: boolean;
  /** The pail is lifted this long after the valve closed; null when it stays. */
  readonly liftedAfter_s: number | null;
}

export interface SimulatedFills {
  readonly scenario: Scenario;
  /** True interval between conversions; the nominal one is 1 / rate. */
  readonly interval_s: number;
  /** Columns of the readings that reached the host, one row a reading. */
  readonly arrival_s: Float64Array;
  readonly time_s: Float64Array;
  /** Reading number times nominal interval: the clock of an instrument that trusts its own converter. */
  readonly device_s: Float64Array;
  readonly mass_kg: Float64Array;
  readonly truth: readonly TrueFill[];
  /** Poured in from a jug: no catches. */
  readonly jugs: readonly JugPour[];
  /** Beat of a hand pump, s; 0 without one. */
  readonly beat_s: number;
}

export interface FillsRequest {
  readonly scenario: ScenarioName | Scenario;
  readonly seed: number;
  readonly fills: number;
  /** Is handed each opening of the valve: for a truth other than the one that is told. */
  readonly onSpray?: (spray: Spray) => void;
}

const FULL_KG = 10;

/** A session of random fills with lifts, leans, bumps and gaps; the campaign generator of the scoring. */
export function simulateFills(request: FillsRequest): SimulatedFills {
  const scenario = typeof request.scenario === 'string' ? scenarioNamed(request.scenario) : request.scenario;
  const random = new Random(request.seed);
  const pail = new Pail(scenario, random.stream('pail'), emptyLoad_kg(scenario, random.stream('bench')));
  const scale = new Scale(scenario, random.stream('scale'), pail);
  const usb = new UsbLine(scenario, random);
  const arrival_s: number[] = [];
  const time_s: number[] = [];
  const device_s: number[] = [];
  const mass_kg: number[] = [];
  const jugs: JugPour[] = [];
  const truth = playFills({
    scenario,
    random,
    pail,
    jugs,
    fills: request.fills,
    interval_s: scale.interval_s,
    ...(request.onSpray && { onSpray: request.onSpray }),
    runTo: (t_s) => {
      for (const sample of scale.advanceTo(t_s)) {
        const arrived_s = usb.arrival_s(sample.time_s);
        if (sample.dropped) continue;
        arrival_s.push(arrived_s);
        time_s.push(sample.time_s);
        device_s.push(sample.number / scenario.rate_Hz);
        mass_kg.push(sample.mass_kg);
      }
    },
  });
  return {
    scenario,
    interval_s: scale.interval_s,
    arrival_s: Float64Array.from(arrival_s),
    time_s: Float64Array.from(time_s),
    device_s: Float64Array.from(device_s),
    mass_kg: Float64Array.from(mass_kg),
    truth,
    jugs,
    beat_s: pail.beat_s,
  };
}

/** What stands on the scale before any water has run: a pail, or a sprayer with a full tank. */
export function emptyLoad_kg(scenario: Scenario, draw: Random): number {
  return scenario.standsOnScale === 'sprayer' ? draw.uniform(17, 21) : draw.uniform(0.4, 1.2);
}

export interface FillScript {
  readonly scenario: Scenario;
  readonly random: Random;
  readonly pail: Pail;
  readonly fills: number;
  readonly interval_s: number;
  /** Lets the instrument run; called for ascending times. */
  readonly runTo: (t_s: number) => void;
  /** Takes what was poured in from jugs; absent: nobody asks. */
  readonly jugs?: JugPour[];
  readonly onSpray?: (spray: Spray) => void;
  /** Flow of a fill that opens at `start_s`; absent: drawn from the scenario. */
  readonly flowOf?: (index: number, start_s: number) => number;
}

/** Play a session of fills on a pail and tell what really happened. */
export function playFills(script: FillScript): TrueFill[] {
  const { scenario, random, pail, runTo } = script;
  const truth: TrueFill[] = [];
  let now_s = random.stream('begin').uniform(3, 6);
  for (let index = 0; index < script.fills; index += 1) {
    const draw = random.stream(`fill ${String(index)}`);
    now_s += idle(scenario, draw.stream('idle'), pail, now_s, runTo);
    now_s += troubledGap(script, draw.stream('trouble'), now_s);
    const lasts_s = draw.within(scenario.fill_s);
    const start_s = now_s;
    const stop_s = start_s + lasts_s;
    const wand = scenario.wandRests
      ? wandRest(scenario.wandRests, draw.stream('wand'), start_s, stop_s)
      : null;
    if (wand !== null) pail.push(wand.shock);
    runTo(start_s);
    const drawn_kg_per_s = draw.within(scenario.flow_kg_per_s);
    const spray = pail.openValve(start_s, script.flowOf?.(index, start_s) ?? drawn_kg_per_s, lasts_s);
    script.onSpray?.(spray);
    const bumped = draw.chance(scenario.bumpInFillChance);
    const bump_s = draw.uniform(start_s + 1, stop_s - 1);
    if (bumped) pail.push(bump(draw.stream('bump'), bump_s));
    runTo(stop_s);
    pail.closeValve(stop_s);
    now_s = stop_s;
    const hands = draw.stream('hands');
    const lifts = hands.chance(scenario.liftAfterChance) || pail.water_kg(now_s) > FULL_KG;
    const wait_s = hands.chance(scenario.liftAtOnceChance) ? hands.uniform(0.2, 1) : hands.uniform(2.5, 6);
    truth.push({
      ...trueFill(scenario, script.interval_s, pail, spray, bumped, lifts ? wait_s : null),
      wandMoved_s: wand?.moves_s ?? [],
    });
    if (lifts) {
      now_s += wait_s;
      runTo(now_s);
      pail.lift(now_s);
      now_s += hands.uniform(6, 12);
      runTo(now_s);
      pail.putBack(now_s, true);
    }
  }
  runTo(now_s + 12);
  return truth;
}

/** What a bench with troubles does before a fill, beyond the usual gap; gives the seconds it takes. */
function troubledGap({ scenario, pail, jugs, runTo }: FillScript, draw: Random, from_s: number): number {
  let took_s = 0;
  if (scenario.jugs !== undefined && draw.chance(scenario.jugs.chance)) {
    runTo(from_s);
    const jug = pourJug(scenario.jugs, draw, from_s + 0.5);
    pail.addJug(jug);
    jugs?.push(jug);
    took_s = jug.stop_s - from_s + draw.uniform(5, 9);
  }
  if (scenario.wandRests === undefined) return took_s;
  const gap_s = draw.within(scenario.gap_s);
  runTo(from_s + took_s);
  const rest = restBetween(scenario.wandRests, draw, from_s + took_s, gap_s);
  if (rest !== null) pail.push(rest);
  return took_s + gap_s;
}

/** Length of the gap before a fill; puts a bump or a lean into it. A lean makes the gap longer: nobody sprays meanwhile. */
function idle(
  scenario: Scenario,
  draw: Random,
  pail: Pail,
  from_s: number,
  runTo: (t_s: number) => void,
): number {
  let gap_s = draw.within(scenario.gap_s);
  const bumps = draw.chance(scenario.bumpIdleChance);
  const leans = draw.chance(scenario.leanChance);
  runTo(from_s);
  if (bumps) pail.push(bump(draw, from_s + draw.uniform(0.5, Math.max(0.6, gap_s - 1.2))));
  if (leans) {
    const shock = lean(draw, from_s + Math.max(2, 0.5 * gap_s));
    pail.push(shock);
    gap_s = Math.max(gap_s, shock.end_s - from_s + 1);
  }
  return gap_s;
}

function trueFill(
  scenario: Scenario,
  interval_s: number,
  pail: Pail,
  spray: Spray,
  bumped: boolean,
  liftedAfter_s: number | null,
): Omit<TrueFill, 'wandMoved_s'> {
  const { makeup, stop_s } = spray.pour;
  const from_s = makeup.start_s + 1 + (scenario.averagedReadings - 1) * interval_s;
  const to_s = stop_s - 0.3;
  const lost = (pail.lost_kg(spray, to_s) - pail.lost_kg(spray, from_s)) / (to_s - from_s);
  const { course } = makeup;
  const since_s = makeup.start_s;
  const mean = course
    ? makeup.flow_kg_per_s * course.told(from_s - since_s, to_s - since_s)
    : (spray.pour.delivered_kg(to_s) - spray.pour.delivered_kg(from_s)) / (to_s - from_s);
  return {
    start_s: makeup.start_s,
    stop_s,
    flow_kg_per_s: mean,
    flowAtMiddle_kg_per_s: spray.pour.flow_kg_per_s((makeup.start_s + stop_s) / 2),
    intoPail_kg_per_s: mean - lost,
    water_kg: spray.pour.delivered_kg(stop_s + 10) - pail.lost_kg(spray, stop_s + 10),
    missedShare: spray.missedShare,
    foamFrom_s: spray.foamFrom_s < stop_s ? spray.foamFrom_s : null,
    dribble_kg_per_s: makeup.dribble_kg_per_s,
    jet_kg: spray.jet_kg,
    jetWander_kg: scenario.jetWander * spray.jet_kg,
    jetMemory_s: scenario.jetMemory_s,
    jetDrift_kg: (spray.jetDrift * spray.jet_kg * (stop_s - makeup.start_s)) / spray.driftOver_s,
    openLag_s: makeup.openLag_s,
    closeLag_s: makeup.closeLag_s,
    whiteNoise_kg: Math.hypot(scenario.whiteNoise_kg, spray.sprayNoise_kg),
    slosh_kg: scenario.slosh_kg,
    sloshMemory_s: pail.sloshMemory_s,
    slosh_Hz: pail.slosh_Hz,
    pulsation_kg: spray.pulsation_kg,
    pulsation_Hz: spray.pulsation_Hz,
    bumped,
    liftedAfter_s,
  };
}
