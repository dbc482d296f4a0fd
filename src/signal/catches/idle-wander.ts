/** What ten idle seconds say about wind, or something that touches the pail. */
export interface IdleWander {
  /** Largest difference between the 2 s means, kg. */
  readonly wander_kg: number;
  readonly doubtful: boolean;
}

const WATCHED_S = 10;
const MEAN_S = 2;

/**
 * Looks at the last 10 s before `until_s` (pail on, no water): the means of five stretches of 2 s must not wander by more than
 * `relativeTarget` × `expectedMass_kg` / 5 (measurement.md 11.16). Null with fewer than five filled stretches.
 * Example: target 0.5 % of an expected 0.6 kg allows 0.6 g.
 */
export function idleWander(
  samples: Iterable<{ readonly time_s: number; readonly mass_kg: number | null }>,
  until_s: number,
  relativeTarget: number,
  expectedMass_kg: number,
): IdleWander | null {
  const sums_kg = [0, 0, 0, 0, 0];
  const counts = [0, 0, 0, 0, 0];
  for (const { time_s, mass_kg } of samples) {
    if (mass_kg === null || !Number.isFinite(mass_kg)) continue;
    const stretch = Math.floor((time_s - (until_s - WATCHED_S)) / MEAN_S);
    const sum_kg = sums_kg[stretch];
    if (sum_kg === undefined) continue;
    sums_kg[stretch] = sum_kg + mass_kg;
    counts[stretch] = (counts[stretch] ?? 0) + 1;
  }
  if (counts.some((count) => count === 0)) return null;
  const means_kg = sums_kg.map((sum_kg, i) => sum_kg / (counts[i] ?? 1));
  const wander_kg = Math.max(...means_kg) - Math.min(...means_kg);
  return { wander_kg, doubtful: wander_kg > (relativeTarget * expectedMass_kg) / 5 };
}
