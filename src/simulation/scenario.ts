import type { Drive } from './flow-course.ts';
import type { Range } from './random.ts';
import { troubled, troubledScenario, type Troubled, type Troubles } from './troubles.ts';
import { rigScenarioNames, rigScenarios } from './rig-scenarios.ts';

/**
 * How rough a bench is, as data. The numbers are physical reasoning, not measurements of a real bench: a result on a
 * scenario says how a method ranks, not how well a real pail will do. A pair is a uniform range, drawn anew for every fill
 * (for every session where that is said).
 */
export interface Scenario extends Troubles {
  readonly name: ScenarioName;
  readonly rate_Hz: number;
  /** Smallest step the scale shows. */
  readonly step_kg: number;
  /** Length of the scale's own moving average in readings. */
  readonly averagedReadings: number;
  /** Standard deviation of the converter's white noise, before averaging; and what spraying adds (root sum of squares). */
  readonly whiteNoise_kg: number;
  readonly sprayNoise_kg: Range;
  readonly flow_kg_per_s: Range;
  readonly fill_s: Range;
  /** Push of the jet on the pail, and its wander (standard deviation relative to the push, AR(1) with this memory). */
  readonly jet_kg: Range;
  readonly jetWander: number;
  readonly jetMemory_s: number;
  /** Largest linear change of the push over one fill, relative, either sign. */
  readonly jetDrift: number;
  /** Standard deviation of the sloshing while the valve is open; size of the kick when it opens or closes (2-4 Hz). */
  readonly slosh_kg: number;
  readonly kick_kg: number;
  readonly openLag_s: Range;
  readonly closeLag_s: Range;
  readonly afterDrip_kg: Range;
  readonly dribble_kg_per_s: Range;
  /** Pump pulsation, as a fraction of (jet + 2 g). */
  readonly pulsation: number;
  /** Relative change of flow per minute of spraying. */
  readonly sagPerMinute: number;
  /** Largest relative error of the converter's rate, drawn once a session. */
  readonly rateError: number;
  readonly latency_s: Range;
  /** Chance, for each reading, of a stall of the host's side of 60-140 ms, and of being lost. */
  readonly stallChance: number;
  readonly dropChance: number;
  readonly bumpInFillChance: number;
  readonly bumpIdleChance: number;
  readonly leanChance: number;
  readonly liftAfterChance: number;
  readonly liftAtOnceChance: number;
  readonly gap_s: Range;
  /** Wind on the pail: standard deviation and memory of an AR(1) force, drawn once a session. */
  readonly wind_kg: Range;
  readonly windMemory_s: Range;
  /** What some scales do with their display beyond averaging; the six scenarios have none. */
  readonly habit?: ScaleHabit;
  /** What drives the water; absent: a pressure that is held. */
  readonly drive?: Drive;
  /** `sprayer`: it loses mass; `jet_kg` is then the hose that hangs from it, `jetWander` and `jetDrift` what the hand does to that. */
  readonly standsOnScale?: 'sprayer';
}

/**
 * `freezes`: an adaptive filter holds the shown number for 1-3 s, about every 8 s, whatever happens. `tracks-zero`: changes slower
 * than half a step a second are taken for drift and swallowed, as long as nothing faster comes.
 */
export type ScaleHabit = 'freezes' | 'tracks-zero';

export const roughness = [
  ...(['clean', 'typical', 'typical80', 'rough', 'worst', 'windy'] as const),
  ...troubled,
  ...rigScenarioNames,
] as const;
export type Roughness = (typeof roughness)[number];
/** `-pure`: no drift of the jet's push and no bump inside the fill, so that the noise is stationary and a bound is a bound. */
export type ScenarioName = Roughness | `${Roughness}-pure`;
export const scenarioNames: readonly ScenarioName[] = [
  ...roughness,
  ...roughness.map((name): ScenarioName => `${name}-pure`),
];

const GRAM_KG = 1e-3;
const grams = (low: number, high: number): Range => [low * GRAM_KG, high * GRAM_KG];
const none: Range = [0, 0];

const clean: Scenario = {
  name: 'clean',
  rate_Hz: 10,
  step_kg: 0.1 * GRAM_KG,
  averagedReadings: 1,
  whiteNoise_kg: 0.3 * GRAM_KG,
  sprayNoise_kg: none,
  flow_kg_per_s: grams(15, 35),
  fill_s: [25, 35],
  jet_kg: grams(5, 5),
  jetWander: 0,
  jetMemory_s: 1,
  jetDrift: 0,
  slosh_kg: 0,
  kick_kg: 0,
  openLag_s: [0.1, 0.15],
  closeLag_s: [0.03, 0.1],
  afterDrip_kg: grams(0, 0.5),
  dribble_kg_per_s: none,
  pulsation: 0,
  sagPerMinute: 0,
  rateError: 0,
  latency_s: none,
  stallChance: 0,
  dropChance: 0,
  bumpInFillChance: 0,
  bumpIdleChance: 0,
  leanChance: 0,
  liftAfterChance: 0.3,
  liftAtOnceChance: 0,
  gap_s: [5, 12],
  wind_kg: none,
  windMemory_s: [1, 1],
};

const typical: Scenario = {
  ...clean,
  name: 'typical',
  step_kg: 1 * GRAM_KG,
  averagedReadings: 4,
  whiteNoise_kg: 0.8 * GRAM_KG,
  sprayNoise_kg: grams(0.3, 1),
  flow_kg_per_s: grams(8, 40),
  fill_s: [20, 40],
  jet_kg: grams(3, 20),
  jetWander: 0.05,
  jetMemory_s: 0.7,
  jetDrift: 0.05,
  slosh_kg: 0.5 * GRAM_KG,
  kick_kg: 2 * GRAM_KG,
  openLag_s: [0.1, 0.2],
  closeLag_s: [0.05, 0.15],
  afterDrip_kg: grams(0.5, 3),
  dribble_kg_per_s: grams(0, 0.02),
  pulsation: 0.15,
  sagPerMinute: -0.005,
  rateError: 0.02,
  latency_s: [0.001, 0.016],
  stallChance: 0.001,
  dropChance: 0.001,
  bumpInFillChance: 0.02,
  bumpIdleChance: 0.1,
  leanChance: 0.03,
};

const rough: Scenario = {
  ...typical,
  name: 'rough',
  averagedReadings: 8,
  whiteNoise_kg: 1.5 * GRAM_KG,
  sprayNoise_kg: grams(0.5, 2),
  flow_kg_per_s: grams(8, 50),
  fill_s: [15, 40],
  jet_kg: grams(10, 40),
  jetWander: 0.08,
  jetMemory_s: 1,
  jetDrift: 0.15,
  slosh_kg: 1.5 * GRAM_KG,
  kick_kg: 6 * GRAM_KG,
  openLag_s: [0.1, 0.25],
  closeLag_s: [0.05, 0.2],
  afterDrip_kg: grams(1, 6),
  dribble_kg_per_s: grams(0, 0.1),
  pulsation: 0.2,
  rateError: 0.03,
  stallChance: 0.005,
  dropChance: 0.01,
  bumpInFillChance: 0.15,
  bumpIdleChance: 0.3,
  leanChance: 0.15,
  liftAfterChance: 0.5,
  liftAtOnceChance: 0.1,
  gap_s: [3, 10],
};

const worst: Scenario = {
  ...rough,
  name: 'worst',
  rate_Hz: 5,
  step_kg: 5 * GRAM_KG,
  averagedReadings: 4,
  whiteNoise_kg: 2 * GRAM_KG,
  sprayNoise_kg: grams(1, 3),
  flow_kg_per_s: grams(5, 60),
  fill_s: [12, 40],
  jet_kg: grams(10, 60),
  jetWander: 0.1,
  jetMemory_s: 1.5,
  jetDrift: 0.25,
  slosh_kg: 3 * GRAM_KG,
  kick_kg: 10 * GRAM_KG,
  openLag_s: [0.15, 0.3],
  closeLag_s: [0.1, 0.25],
  afterDrip_kg: grams(2, 10),
  dribble_kg_per_s: grams(0, 0.3),
  pulsation: 0.3,
  sagPerMinute: -0.01,
  stallChance: 0.02,
  dropChance: 0.03,
  bumpInFillChance: 0.5,
  bumpIdleChance: 0.5,
  leanChance: 0.3,
  liftAfterChance: 0.6,
  liftAtOnceChance: 0.4,
  gap_s: [2.5, 8],
};

const base: Readonly<Record<Exclude<Roughness, Troubled>, Scenario>> = {
  clean,
  typical,
  typical80: { ...typical, name: 'typical80', rate_Hz: 80, step_kg: 0.1 * GRAM_KG, averagedReadings: 1 },
  rough,
  worst,
  windy: { ...typical, name: 'windy', wind_kg: grams(3, 10), windMemory_s: [1, 30] },
  ...rigScenarios(typical),
};

export function isScenarioName(name: string): name is ScenarioName {
  return (scenarioNames as readonly string[]).includes(name);
}

export function scenarioNamed(name: ScenarioName): Scenario {
  const pure = name.endsWith('-pure');
  const plain = (pure ? name.slice(0, -'-pure'.length) : name) as Roughness;
  const found = isTroubled(plain) ? troubledScenario(plain, typical) : base[plain];
  return pure ? { ...found, name, jetDrift: 0, bumpInFillChance: 0 } : found;
}

function isTroubled(name: Roughness): name is Troubled {
  return (troubled as readonly string[]).includes(name);
}
