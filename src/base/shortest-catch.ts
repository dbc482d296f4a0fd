/**
 * A catch shorter than this is kept but not trusted: by thumb the water still on its way at either press is too much of it, and on a scale
 * the steady part is too short. Eight seconds; common practice (several seconds at least), no source.
 */
export const SHORTEST_TRUSTED_CATCH_S = 8;

/** The reason that stays with a catch which was struck for that, by no person. Kept records hold these words. */
export const LEFT_OUT_AS_SHORT = `shorter than ${String(SHORTEST_TRUSTED_CATCH_S)} s`;
