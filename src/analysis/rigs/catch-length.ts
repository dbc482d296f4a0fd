import type { RigKind } from '../../signal/captures/header.ts';
import { STROKES_WANTED } from './strokes-wanted.ts';

/** How long catches of a rig run, s. */
export interface CatchLengths {
  /** The first catch of a sweep, and later ones, at least. */
  readonly first_s: number;
  readonly later_s: number;
  readonly longest_s: number;
}

/** The first runs 30 s, later ones at least 15 s, none more than 60 s (measurement rule 11.1). */
const usual: CatchLengths = { first_s: 30, later_s: 15, longest_s: 60 };
/** Strokes that fall into the trims at both ends. */
const STROKES_TRIMMED = 3;

/**
 * A hand pump has to make its twenty whole strokes; a can is not sprayed empty for one catch; a hose has to swell first, which takes up to a
 * minute (five time constants of 12 s), and its line is measured after that.
 */
export function catchLengths(rig: {
  readonly kind: RigKind;
  readonly strokePeriod_s: number | null;
}): CatchLengths {
  switch (rig.kind) {
    case 'held':
      return usual;
    case 'pumped-up':
      return { first_s: 30, later_s: 20, longest_s: 45 };
    case 'hose-reel':
      return { ...usual, longest_s: 150 };
    case 'pumped-while-spraying': {
      const strokes_s = 3 + (STROKES_WANTED + STROKES_TRIMMED) * (rig.strokePeriod_s ?? 0);
      return {
        first_s: Math.max(usual.first_s, strokes_s),
        later_s: Math.max(usual.later_s, strokes_s),
        longest_s: Math.max(usual.longest_s, 1.5 * strokes_s),
      };
    }
  }
}
