import { refused, ok, type Outcome } from '../base/outcome.ts';
import { checkRoutine } from './routine/check-routine.ts';
import { routineOrder } from './routine/routine-order.ts';
import { orderOfPours } from './one-pour/pour-plan.ts';
import { isAboveRating } from '../planning/above-rating.ts';
import { tooClose } from '../planning/settings-apart.ts';
import type { SweepSetup } from './sweep-setup.ts';

/** Above this no hand-carried sprayer works; a number beyond it is a slip of the unit (20 MPa, about 2900 psi). */
const ABSURD_PA = 20e6;
/** Below this a setting can't be told from zero on any dial (1 kPa). */
const LEAST_PA = 1e3;

/** Faster or slower nobody pumps for a minute; judgement, no source. */
const FASTEST_BEAT_S = 0.5;
const SLOWEST_BEAT_S = 5;

function checkRigKind({ kind, strokePeriod_s, standsOnScale }: SweepSetup['rig']): Outcome<true> {
  if (kind !== 'pumped-while-spraying') return ok(true);
  if (standsOnScale === 'sprayer') return refused('pumping-presses-on-scale', { field: 'standsOnScale' });
  if (strokePeriod_s === null || !(strokePeriod_s >= FASTEST_BEAT_S && strokePeriod_s <= SLOWEST_BEAT_S))
    return refused('beat-missing', { field: 'strokePeriod_s', strokePeriod_s: strokePeriod_s ?? '' });
  return ok(true);
}

/** Nobody is asked to set a pressure above what the weakest part of the rig is rated for, where that was told. */
function checkRating({ settings_Pa, rig }: SweepSetup): Outcome<true> {
  const rating_Pa = rig.plumbing?.weakestRating_Pa ?? null;
  const setting_Pa = Math.max(...settings_Pa);
  return isAboveRating(setting_Pa, rating_Pa)
    ? refused('setting-above-rating', { field: 'settings', setting_Pa, rating_Pa: rating_Pa ?? '' })
    : ok(true);
}

/** Refuses a set-up that can't be measured, naming the first fault; the order itself can always be made. */
export function checkSetup(setup: SweepSetup): Outcome<true> {
  if (setup.tip.name.trim() === '') return refused('name-missing', { field: 'tip' });
  if (setup.rig.name.trim() === '') return refused('name-missing', { field: 'rig' });
  if (setup.settings_Pa.length === 0) return refused('no-settings', { field: 'settings' });
  for (const setting of setup.settings_Pa) {
    if (!(setting > 0)) return refused('setting-not-positive', { setting_Pa: setting });
    if (setting < LEAST_PA || setting > ABSURD_PA) return refused('setting-absurd', { setting_Pa: setting });
  }
  const rated = checkRating(setup);
  if (!rated.ok) return rated;
  if (new Set(setup.settings_Pa).size !== setup.settings_Pa.length) return refused('settings-repeat');
  const { ratedFlow_m3_per_s: ratedFlow, ratedPressure_Pa: ratedPressure } = setup.tip;
  if (ratedFlow !== null && !(ratedFlow > 0))
    return refused('flow-not-positive', { flow_m3_per_s: ratedFlow });
  if (ratedPressure !== null && !(ratedPressure > 0))
    return refused('setting-not-positive', { setting_Pa: ratedPressure });
  if (!(setup.rig.scaleLimit_kg > 0)) return refused('number-not-understood', { field: 'scaleLimit' });
  if (!(setup.rig.pailVolume_m3 > 0)) return refused('volume-not-positive', { field: 'pailVolume' });
  const rig = checkRigKind(setup.rig);
  if (!rig.ok) return rig;
  if (!(setup.rig.settingStandardUncertainty_Pa >= 0))
    return refused('number-not-understood', { field: 'dial' });
  if (!(setup.targetRelative > 0)) return refused('number-not-understood', { field: 'target' });
  if (!Number.isInteger(setup.catchesPerSetting) || setup.catchesPerSetting < 1)
    return refused('number-not-understood', { field: 'catches' });
  // The control of these can't be turned to a setting while the water runs and stay there, or the sprayer must not be touched.
  const isTurnable = setup.rig.kind === 'held' && setup.rig.standsOnScale === 'pail';
  if (setup.protocol === 'one-pour' && !isTurnable)
    return refused('one-pour-needs-held-pressure', { field: 'protocol' });
  const mustBeTold = setup.protocol === 'one-pour' || setup.settingsFrom === 'sensor';
  const close = mustBeTold ? tooClose([...setup.settings_Pa].sort((a, b) => a - b)) : null;
  if (close !== null) return refused('settings-too-close', { low_Pa: close[0], high_Pa: close[1] });
  return checkRoutine(setup);
}

/**
 * The order of all catches, one entry a catch. Random by default, because a battery that fades or water that warms would
 * otherwise bend the curve. Where it can be had, no setting comes twice running: a re-set needs a turn away anyway.
 */
export function makeOrder(setup: SweepSetup, random: () => number): number[] {
  if (setup.routine !== null) return routineOrder(setup).map(() => setup.settings_Pa[0]!);
  if (setup.protocol === 'one-pour') return orderOfPours(setup);
  const rounds: number[][] = [];
  for (let round = 0; round < setup.catchesPerSetting; round += 1) {
    const settings = [...setup.settings_Pa];
    if (setup.order === 'random') {
      shuffle(settings, random);
      const last = rounds.at(-1)?.at(-1);
      if (settings.length > 1 && settings[0] === last) settings.push(settings.shift()!);
    }
    rounds.push(settings);
  }
  if (setup.order === 'as-listed')
    return setup.settings_Pa.flatMap((s) => Array.from({ length: setup.catchesPerSetting }, () => s));
  return rounds.flat();
}

function shuffle(items: number[], random: () => number): void {
  for (let i = items.length - 1; i > 0; i -= 1) {
    const j = Math.floor(random() * (i + 1));
    [items[i], items[j]] = [items[j]!, items[i]!];
  }
}

/** First entry of the order that the good catches so far do not cover; null when all are. */
export function nextSetting(
  order: readonly number[],
  goodCatches: ReadonlyMap<number, number>,
): number | null {
  const left = new Map(goodCatches);
  for (const setting of order) {
    const have = left.get(setting) ?? 0;
    if (have === 0) return setting;
    left.set(setting, have - 1);
  }
  return null;
}

/** Small seeded generator (mulberry32) for the order only; statistics live in the simulation's own. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}
