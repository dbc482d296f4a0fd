import { PSI_PA } from '../../../src/base/units/constants.ts';
import type { CatchContext } from '../../../src/analysis/sweep/analyse-catch.ts';
import { analysePlateaus } from '../../../src/analysis/sweep/analyse-plateaus.ts';
import { detectCatches } from '../../../src/analysis/sweep/detect-catches.ts';
import { Pail } from '../../../src/simulation/pail.ts';
import { Random } from '../../../src/simulation/random.ts';
import { Scale } from '../../../src/simulation/scale.ts';
import { scenarioNamed, type Scenario } from '../../../src/simulation/scenario.ts';

export interface PourCell {
  readonly instrument: '10 Hz 1 g' | '80 Hz 0.1 g';
  readonly wander: number;
  readonly each_s: number;
  readonly settings_psi: readonly number[];
}

export interface ScoredPour {
  /** Every setting has one plateau, by order and by what was announced. */
  readonly foundByOrder: boolean;
  readonly foundAnnounced: boolean;
  readonly scored: readonly {
    readonly error: number;
    readonly halfWidth: number;
    readonly typeAHalfWidth: number;
  }[];
  /** Plateaus with a setting that were too short to give a flow. */
  readonly refused: number;
}

const K_G_PER_S_PER_ROOT_PSI = 25 / Math.sqrt(40);
const REACTION_S = [0.5, 2] as const;
const TURN_S = [1, 3] as const;
const STEPS = 8;
/** Jet's push at 40 psi; it grows with the pressure. */
const JET_AT_40_KG = 0.01;
/** Student's t(0.975) for 3, 4, 5, 6 degrees of freedom (handbook table, from memory). */
const T975 = [3.182, 2.776, 2.571, 2.447];

/** One pour through the settings, each for `each_s` before the person begins to turn; the dial is exact, so the truth is k·√P. */
export function scorePour(cell: PourCell, seed: number): ScoredPour {
  const random = new Random(seed);
  const scenario = scenarioOfCell(cell);
  const pail = new Pail(scenario, random.stream('pail'), 0.8);
  const scale = new Scale(scenario, random.stream('scale'), pail);
  const hand = random.stream('hand');
  const flows = cell.settings_psi.map((psi) => (K_G_PER_S_PER_ROOT_PSI * Math.sqrt(psi)) / 1000);
  const time: number[] = [];
  const mass: number[] = [];
  const runTo = (t_s: number): void => {
    for (const { time_s, mass_kg } of scale.advanceTo(t_s)) {
      time.push(time_s);
      mass.push(mass_kg);
    }
  };
  let now_s = 12;
  runTo(now_s);
  pail.openValve(now_s, flows[0]!);
  const announced: { at_s: number; setting_Pa: number }[] = [];
  for (let i = 0; i < flows.length; i += 1) {
    now_s += cell.each_s;
    if (i + 1 === flows.length) break;
    const asked_s = now_s - hand.within(REACTION_S);
    announced.push({ at_s: asked_s, setting_Pa: cell.settings_psi[i + 1]! * PSI_PA });
    const takes_s = hand.within(TURN_S);
    for (let step = 1; step <= STEPS; step += 1) {
      now_s += takes_s / STEPS;
      runTo(now_s);
      // Flow between two pressures as a dial goes evenly from one to the other.
      const share = step / STEPS;
      const psi = cell.settings_psi[i]! + share * (cell.settings_psi[i + 1]! - cell.settings_psi[i]!);
      pail.changeFlow(now_s, (K_G_PER_S_PER_ROOT_PSI * Math.sqrt(psi)) / 1000, 0.15);
    }
  }
  runTo(now_s);
  pail.closeValve(now_s);
  runTo(now_s + 12);
  return judge(cell, flows, announced, Float64Array.from(time), Float64Array.from(mass), scenario);
}

function scenarioOfCell({ instrument, wander, settings_psi }: PourCell): Scenario {
  const base = scenarioNamed(instrument === '10 Hz 1 g' ? 'typical-pure' : 'typical80-pure');
  const jet_kg = (JET_AT_40_KG * settings_psi[0]!) / 40;
  return { ...base, jetWander: wander, jet_kg: [jet_kg, jet_kg], sagPerMinute: 0, dropChance: 0 };
}

function judge(
  cell: PourCell,
  flows: readonly number[],
  announced: readonly { at_s: number; setting_Pa: number }[],
  time_s: Float64Array,
  mass_kg: Float64Array,
  scenario: Scenario,
): ScoredPour {
  const none = new Float64Array(time_s.length).fill(NaN);
  const { catches } = detectCatches(time_s, mass_kg, [], {
    mayBend: () => true,
    step_kg: scenario.step_kg,
    averagedReadings: scenario.averagedReadings,
  });
  const [caught] = catches;
  if (caught === undefined || catches.length !== 1)
    return { foundByOrder: false, foundAnnounced: false, scored: [], refused: 0 };
  const context: CatchContext = {
    about: { instrument: 'scale', unknown: {} },
    time_s,
    mass_kg,
    pulses: none,
    edge_s: none,
    pressure_Pa: none,
    hasMass: true,
    isUnitUnknown: () => false,
    hasSensor: false,
    averagedReadings: scenario.averagedReadings,
    step_kg: scenario.step_kg,
    wand: 'guided',
    meter: null,
    volumePerMass_m3_per_kg: 1,
    shared: { mass: [], pulses: [] },
    disturbed_s: [],
  };
  const settings_Pa = cell.settings_psi.map((psi) => psi * PSI_PA);
  const cutWith = (told: typeof announced) =>
    analysePlateaus(caught, 1, { settings_Pa, announced: told }, () => false, context);
  const isFound = (found: ReturnType<typeof cutWith>): boolean =>
    found.length === flows.length && found.every((c, i) => c.setting_Pa === settings_Pa[i]);
  const seen = cutWith(announced);
  const scored = seen.flatMap((c) => {
    const i = c.setting_Pa === null ? -1 : settings_Pa.indexOf(c.setting_Pa);
    if (i < 0 || c.flow_m3_per_s === null || c.expandedUncertainty95_m3_per_s === null) return [];
    const q = flows[i]!;
    const t = T975[Math.round(c.typeADegreesOfFreedom!) - 3]!;
    return [
      {
        error: c.flow_m3_per_s / q - 1,
        halfWidth: c.expandedUncertainty95_m3_per_s / q,
        typeAHalfWidth: (t * c.typeA_m3_per_s!) / q,
      },
    ];
  });
  return {
    foundByOrder: isFound(cutWith([])),
    foundAnnounced: isFound(seen),
    scored,
    refused: seen.filter((c) => c.voidBecause === 'no-steady-window').length,
  };
}
