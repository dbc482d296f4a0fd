import type { JugHabits } from './jug.ts';
import type { Random, Range } from './random.ts';
import type { Scenario } from './scenario.ts';
import { restsThere, type Shock } from './shocks.ts';

/** Wand, hose or hand that rests on the rim for a while and moves again: a step in the readings each time. */
export interface WandRests {
  /** Chance for each fill that it begins or ends to rest while the water runs; and for each gap. */
  readonly inFillChance: number;
  readonly betweenChance: number;
  readonly size_kg: Range;
  /** Share of the rests that take weight off (a hose that pulls upwards). */
  readonly upwards: number;
}

/** Foam that goes over the rim: from some point of the fill on a share of the water leaves with it. */
export interface FoamOver {
  readonly chance: number;
  /** When it reaches the rim, as a share of the fill's length. */
  readonly from: Range;
  readonly share: Range;
}

/** What can go wrong beside the roughness of a bench; absent: it doesn't. */
export interface Troubles {
  readonly wandRests?: WandRests;
  /** Share of the spray that misses the pail or leaves it as mist, drawn for each fill. */
  readonly mistShare?: Range;
  readonly foam?: FoamOver;
  readonly jugs?: JugHabits;
  /** Error of a bench board's clock, either sign; absent: up to 0.5 %, drawn once a session. */
  readonly boardClockError?: number;
}

export const troubled = [
  'wand-on-rim',
  'mist-lost',
  'foam',
  'freezing-display',
  'auto-zero',
  'jug',
  'clock-off',
] as const;
export type Troubled = (typeof troubled)[number];

const GRAM_KG = 1e-3;

/**
 * A typical bench with one trouble each. Reasoning, none of it measured:
 * - wand-on-rim: a wand weighs 0.5-1 kg and a part of that rests on the rim; a hose or a finger 20 g. In half of the fills and a
 *   third of the gaps, one in five pulls upwards.
 * - mist-lost: what is carried off when a fine spray is caught in an open pail; nobody knows it without a mass balance, so 0-5 %.
 * - foam: foam holds a twentieth to a fifth of its volume as water and makes about as much volume as the water below; once it
 *   reaches the rim 3-15 % of what comes in leaves with it. Before that a scale doesn't mind it.
 * - freezing-display: an adaptive filter that holds the number for 1-3 s, every few seconds.
 * - auto-zero: a quiet scale that takes what changes by less than half a step a second for drift; with a tip that dribbles.
 * - jug: in half of the gaps somebody tops the pail up from a jug, 0.3-2 kg at 50-250 g/s.
 * - clock-off: a board whose resonator is off by 0.3 % (a scale has no clock: there it is typical).
 */
export function troubledScenario(name: Troubled, typical: Scenario): Scenario {
  switch (name) {
    case 'wand-on-rim':
      return {
        ...typical,
        name,
        wandRests: {
          inFillChance: 0.5,
          betweenChance: 0.33,
          size_kg: [20 * GRAM_KG, 400 * GRAM_KG],
          upwards: 0.2,
        },
      };
    case 'mist-lost':
      return { ...typical, name, mistShare: [0, 0.05] };
    case 'foam':
      return { ...typical, name, foam: { chance: 0.5, from: [0.3, 0.8], share: [0.03, 0.15] } };
    case 'freezing-display':
      return { ...typical, name, habit: 'freezes' };
    case 'auto-zero':
      return {
        ...typical,
        name,
        habit: 'tracks-zero',
        whiteNoise_kg: 0.2 * GRAM_KG,
        dribble_kg_per_s: [0.05 * GRAM_KG, 0.3 * GRAM_KG],
        gap_s: [9, 14],
      };
    case 'jug':
      return {
        ...typical,
        name,
        jugs: { chance: 0.5, water_kg: [0.3, 2], flow_kg_per_s: [50 * GRAM_KG, 250 * GRAM_KG] },
      };
    case 'clock-off':
      return { ...typical, name, boardClockError: 0.003 };
  }
}

/** Where in a fill the wand comes to rest or moves away; null: it stays off. `moves_s`: the steps that fall into the fill. */
export function wandRest(
  rests: WandRests,
  draw: Random,
  start_s: number,
  stop_s: number,
): { readonly shock: Shock; readonly moves_s: readonly number[] } | null {
  if (!draw.chance(rests.inFillChance)) return null;
  const size_kg = sizeOf(rests, draw);
  const kind = draw.fraction();
  const first_s = draw.uniform(start_s + 0.5, stop_s - 0.5);
  const other_s = draw.uniform(start_s + 0.5, stop_s - 0.5);
  const ramp_s = draw.uniform(0.1, 0.5);
  const beforeFill_s = start_s - draw.uniform(1, 3);
  const afterFill_s = stop_s + draw.uniform(0.3, 2);
  const [on_s, off_s, moves_s] =
    kind < 1 / 3
      ? [first_s, afterFill_s, [first_s]]
      : kind < 2 / 3
        ? [beforeFill_s, first_s, [first_s]]
        : [Math.min(first_s, other_s), Math.max(first_s, other_s), [first_s, other_s].sort((a, b) => a - b)];
  return { shock: restsThere(size_kg, on_s, off_s, ramp_s), moves_s };
}

/** A rest in the idle time from `from_s`, `gap_s` long; null: none. */
export function restBetween(rests: WandRests, draw: Random, from_s: number, gap_s: number): Shock | null {
  if (!draw.chance(rests.betweenChance)) return null;
  const on_s = from_s + draw.uniform(1, Math.max(1.1, 0.4 * gap_s));
  const off_s = on_s + draw.uniform(1, Math.max(1.1, 0.4 * gap_s));
  return restsThere(sizeOf(rests, draw), on_s, off_s, draw.uniform(0.1, 0.5));
}

/** Small rests are as likely as large ones: evenly spread in the logarithm. */
function sizeOf({ size_kg: [least, most], upwards }: WandRests, draw: Random): number {
  return least * (most / least) ** draw.fraction() * (draw.chance(upwards) ? -1 : 1);
}
