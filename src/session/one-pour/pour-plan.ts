import { JET_KG_PER_KG_PER_S } from '../../planning/room-in-pail.ts';
import type { SweepSetup } from '../sweep-setup.ts';

/** A setting in one pour runs at least so long (measurement study, section 4: 15 s give half a percent, and the turn takes its part). */
export const LEAST_PLATEAU_S = 16;
/**
 * And no longer than this: the dial, set once, is worth 1.3-3.8 % of flow (measurement study, 5.1), so what a longer stretch would gain
 * is lost in it, and the pail fills. Where a sensor reads the pressure the dial does not count, and a stretch may run longer.
 */
export const LONGEST_PLATEAU_S = { withDial: 20, withSensor: 30 } as const;
/** With the turn, the reaction and a target that is not met at once. */
const PLATEAU_WITH_TURN_S = 24;
/**
 * Order of all settings, pour after pour, each pour through all of them. Rising in the first, falling in the next, and so on: a hand
 * that turns one way needs no hunting and no slack of the knob comes in, and a pump that fades evenly bends an up and a down pour
 * against each other, so that it cancels in pairs. As listed, if that was asked for.
 */
export function orderOfPours(setup: SweepSetup): number[] {
  const rising = [...setup.settings_Pa].sort((a, b) => a - b);
  const falling = [...rising].reverse();
  return Array.from({ length: setup.catchesPerSetting }, (_, pour) => {
    if (setup.order === 'as-listed') return setup.settings_Pa;
    return pour % 2 === 0 ? rising : falling;
  }).flat();
}

/** The settings that the next pour has to visit: those of the first round that the good ones so far do not cover. Empty: all done. */
export function nextPour(
  order_Pa: readonly number[],
  settingsInRound: number,
  good: ReadonlyMap<number, number>,
): number[] {
  const left = new Map(good);
  for (let from = 0; from < order_Pa.length; from += settingsInRound) {
    const missing = order_Pa.slice(from, from + settingsInRound).filter((setting_Pa) => {
      const have = left.get(setting_Pa) ?? 0;
      left.set(setting_Pa, have - 1);
      return have <= 0;
    });
    if (missing.length > 0) return missing;
  }
  return [];
}

/** How many of these settings, in this order, fit into the room; all of them while the flow is not known. kg, kg/s. */
export function settingsThatFit(
  room_kg: number,
  settings_Pa: readonly number[],
  massFlowAt: (setting_Pa: number) => number | null,
  perSetting_s = PLATEAU_WITH_TURN_S,
): number {
  let water_kg = 0;
  for (const [i, setting_Pa] of settings_Pa.entries()) {
    const flow = massFlowAt(setting_Pa);
    if (flow === null) return settings_Pa.length;
    water_kg += flow * perSetting_s;
    if (water_kg + JET_KG_PER_KG_PER_S * flow > room_kg) return i;
  }
  return settings_Pa.length;
}
