import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { ordinaryLine } from '../../base/statistics/ordinary-line.ts';
import { outlierMask } from '../flow/outlier-mask.ts';
import { lowFrequencyVariance } from '../flow/low-frequency-variance.ts';

/** Of a drip a few parts in a thousand are nothing: neither air nor temperature is taken into account. */
const WATER_KG_PER_M3 = 998;
/** Under this there is no slope to speak of. */
const LEAST_S = 30;

export interface DripRate {
  readonly leak_m3_per_s: number;
  readonly standardUncertainty_m3_per_s: number;
  readonly watched_s: number;
  /** Every reading the same: no drip, or a display that holds its number. */
  readonly identical: boolean;
}

/**
 * What: how fast the level of a pail rises under a drip.
 * Formula: slope of the least-squares line through the readings without bumps; u² = S0/Sxx + (step/T)²/6, S0 from the residuals' slow waves
 *   (`lowFrequencyVariance`), T the time watched. The step: both ends of a staircase lie anywhere within a step, √(2/12) of it over T.
 * Source: measurement study, section 2.2 (4); the step's part is arithmetic.
 * Conditions: times ascending, NaN where nothing was shown; the scale must not track its zero (`slowChange` tells).
 * Refused: `not-enough-readings` under 30 s of readings (`watched_s`).
 * @param step_kg the display's step; 0: too fine to matter.
 */
export function dripRate(
  time_s: readonly number[],
  mass_kg: readonly number[],
  step_kg: number,
): Outcome<DripRate> {
  const shown = time_s.flatMap((at_s, i) =>
    Number.isFinite(mass_kg[i]) ? [[at_s, mass_kg[i]!] as const] : [],
  );
  const watched_s = (shown.at(-1)?.[0] ?? 0) - (shown[0]?.[0] ?? 0);
  const { keep } = outlierMask(
    shown.map(([at_s]) => at_s),
    shown.map(([, kg]) => kg),
  );
  const used = shown.filter((_, i) => keep[i] === 1);
  const at_s = used.map(([t]) => t);
  const line = ordinaryLine(
    at_s,
    used.map(([, kg]) => kg),
  );
  const slow = line === null ? null : lowFrequencyVariance(at_s, line.residuals);
  if (line === null || slow === null || watched_s < LEAST_S)
    return refused('not-enough-readings', { readings: shown.length, watched_s });
  const u_kg_per_s = Math.hypot(Math.sqrt(slow.variance / line.sxx), step_kg / watched_s / Math.sqrt(6));
  return ok({
    leak_m3_per_s: line.slope / WATER_KG_PER_M3,
    standardUncertainty_m3_per_s: u_kg_per_s / WATER_KG_PER_M3,
    watched_s,
    identical: shown.every(([, kg]) => kg === shown[0]![1]),
  });
}
