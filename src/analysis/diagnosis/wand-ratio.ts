import type { RigCheckFound } from './evidence.ts';

/** Pressure at the wand over what the dial says. */
export interface WandRatio {
  readonly ratio: number;
  readonly standardUncertainty: number;
}

/** No reading is better than this part of the setting. */
const LEAST_DOUBT = 1e-3;
const LEAST_RATIO = 0.01;

/**
 * What: pressure at the wand over the dial's, from readings of a gauge there; the last one at each setting counts. Null: none was read.
 * Formula: wand = ratio·setting, weighted least squares; ± from what is told of the readings, which share nothing.
 */
export function wandRatio(checks: readonly RigCheckFound[]): WandRatio | null {
  const readings = new Map<number, Extract<RigCheckFound, { kind: 'wand-gauge' }>>();
  for (const check of checks) if (check.kind === 'wand-gauge') readings.set(check.setting_Pa, check);
  if (readings.size === 0) return null;
  let [xx, xw] = [0, 0];
  for (const { setting_Pa, wand_Pa, standardUncertainty_Pa } of readings.values()) {
    const u = Math.max(LEAST_DOUBT * setting_Pa, standardUncertainty_Pa);
    xx += (setting_Pa / u) ** 2;
    xw += (setting_Pa * wand_Pa) / u ** 2;
  }
  return { ratio: Math.max(LEAST_RATIO, xw / xx), standardUncertainty: 1 / Math.sqrt(xx) };
}

/** `now` over `then`; then unknown: over a wand that gets what the dial says. */
export function wandRatioSince(now: WandRatio, then: WandRatio | null): WandRatio {
  if (then === null) return now;
  const ratio = now.ratio / then.ratio;
  const relative = Math.hypot(now.standardUncertainty / now.ratio, then.standardUncertainty / then.ratio);
  return { ratio, standardUncertainty: ratio * relative };
}
