import type { RigKind } from '../signal/captures/header.ts';
import type { Drive } from './flow-course.ts';
import type { Scenario } from './scenario.ts'; // type only: no circle at run time

export const rigScenarioNames = ['swelling-hose', 'hand-pump', 'pumped-up', 'tank'] as const;
export type RigScenarioName = (typeof rigScenarioNames)[number];

const LITRE_M3 = 1e-3;
const BAR_PA = 1e5;

/** How each kind of rig drives its water. Physical reasoning, not measured. */
const drives: Readonly<Record<Exclude<RigKind, 'held'>, Drive>> = {
  'hose-reel': { kind: 'swelling', missing: [0.05, 0.3], time_s: [3, 20] },
  'pumped-while-spraying': {
    kind: 'strokes',
    period_s: [1, 2.5],
    swing: [0.05, 0.2],
    volumeJitter: 0.03,
    timeJitter: 0.05,
    paceError: 0.005,
  },
  'pumped-up': {
    kind: 'falling',
    air_m3: [2 * LITRE_M3, 4 * LITRE_M3],
    pressure_Pa: [2 * BAR_PA, 4 * BAR_PA],
    exponent: [1, 1.4],
  },
};

export interface SimulatedRigKind {
  readonly kind: RigKind;
  readonly standsOnScale: 'pail' | 'sprayer';
  /** Pumped while spraying only: the beat that is heard; null: drawn. */
  readonly strokePeriod_s: number | null;
}

/** Any bench with another kind of rig on it. */
export function withRig(scenario: Scenario, rig: SimulatedRigKind): Scenario {
  const drive = rig.kind === 'held' ? undefined : drives[rig.kind];
  const beat_s = rig.strokePeriod_s;
  return {
    ...scenario,
    ...(drive !== undefined && {
      sagPerMinute: 0,
      drive: drive.kind === 'strokes' && beat_s !== null ? { ...drive, period_s: [beat_s, beat_s] } : drive,
    }),
    ...(rig.standsOnScale === 'sprayer' && onScale(scenario)),
  };
}

/**
 * The sprayer on the scale: 40-100 g of hose hang from it, the hand takes up to a tenth of that off or lets it down over a catch and
 * sways by two per cent; no jet presses.
 */
function onScale(scenario: Scenario): Partial<Scenario> {
  return {
    standsOnScale: 'sprayer',
    jet_kg: [0.04, 0.1],
    jetWander: 0.02,
    jetDrift: scenario.jetDrift === 0 ? 0 : 0.1,
    wind_kg: [0, 0.001],
    windMemory_s: [1, 2],
  };
}

/** The four scenarios of their own; catches are as long as each kind needs. */
export function rigScenarios(typical: Scenario): Readonly<Record<RigScenarioName, Scenario>> {
  const as = (
    name: RigScenarioName,
    kind: RigKind,
    fill_s: Scenario['fill_s'],
    standsOnScale: 'pail' | 'sprayer' = 'pail',
  ): Scenario => ({ ...withRig(typical, { kind, standsOnScale, strokePeriod_s: null }), name, fill_s });
  return {
    'swelling-hose': as('swelling-hose', 'hose-reel', [60, 120]),
    'hand-pump': as('hand-pump', 'pumped-while-spraying', [55, 70]),
    // A can's tip is a small one: at most a litre a catch, so that pressure is left at its end.
    'pumped-up': { ...as('pumped-up', 'pumped-up', [20, 45]), flow_kg_per_s: [0.005, 0.02] },
    tank: as('tank', 'held', [20, 40], 'sprayer'),
  };
}

/** The rig that a scenario has, as a capture's header names it. */
export function rigOf(scenario: Scenario, beat_s: number) {
  const { drive, standsOnScale } = scenario;
  return {
    ...(standsOnScale === 'sprayer' && { standsOnScale }),
    ...(drive?.kind === 'swelling' && { rigKind: 'hose-reel' as const }),
    ...(drive?.kind === 'falling' && { rigKind: 'pumped-up' as const }),
    ...(drive?.kind === 'strokes' && { rigKind: 'pumped-while-spraying' as const, strokePeriod_s: beat_s }),
  };
}
