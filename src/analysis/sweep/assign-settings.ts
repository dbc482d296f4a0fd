import type { PlannedPour } from './marks.ts';
import { TURN_AT_MOST_s } from './plateaus.ts';

/** Somebody who was told to turn the control has done so within this time, or the stretch before is no longer one setting for sure. */
const TURNED_WITHIN_s = 8;
/** A scrap at the end of a pour is no setting seen. */
const LEAST_SEEN_s = 6;
/** The border between two settings that are near each other may be found so much too early. */
const BLURRED_s = 4;

interface Stretch {
  readonly start_s: number;
  readonly stop_s: number;
}

/** Place among what was visited: 0 the plan's first setting, then as announced. */
function visitOf({ start_s, stop_s }: Stretch, { announced }: PlannedPour): number {
  const before = announced.findLastIndex(
    ({ at_s }) => start_s >= at_s - BLURRED_s && (start_s + stop_s) / 2 > at_s,
  );
  return before + 1;
}

interface Sloped extends Stretch {
  readonly slope_kg_per_s: number;
}

/** Two pieces of one announced setting are the same water when their flows agree so far (D: the shorter one's seconds, at most 20 %). */
const SAME_RELATIVE = 0.03;
const SAME_SHORT = 1.2;
const SAME_AT_MOST = 0.2;
/** A piece that doesn't agree is told as a plateau of its own only if it is this long: else it was a knock, or the turn. */
const TOLD_APART_s = 8;

/**
 * Pieces into which the segmentation cut what was announced as one setting, put together again: from the first to the last piece whose
 * flow agrees with that of the longest, a first piece under 4 s left out, for it may be the turn. A knock in between stays in and is
 * masked later. Without announcements: as they are.
 */
export function joinAnnounced(pieces: readonly Sloped[], plan: PlannedPour): readonly Sloped[] {
  if (plan.announced.length === 0) return pieces;
  const visits: Sloped[][] = [[], ...plan.announced.map((): Sloped[] => [])];
  for (const piece of pieces) visits[visitOf(piece, plan)]!.push(piece);
  return visits.flatMap((visit) => joined(visit));
}

function joined(visit: readonly Sloped[]): Sloped[] {
  if (visit.length < 2) return [...visit];
  const length = ({ start_s, stop_s }: Stretch): number => stop_s - start_s;
  const longest = visit.reduce((a, b) => (length(b) > length(a) ? b : a));
  const agrees = (piece: Sloped): boolean => {
    const within = Math.min(SAME_AT_MOST, SAME_RELATIVE + SAME_SHORT / length(piece) ** 1.5);
    return Math.abs(piece.slope_kg_per_s / longest.slope_kg_per_s - 1) <= within;
  };
  const from = visit.findIndex((piece, i) => agrees(piece) && (i > 0 || length(piece) >= TURN_AT_MOST_s));
  const to = visit.findLastIndex(agrees);
  const whole = { ...longest, start_s: visit[from]!.start_s, stop_s: visit[to]!.stop_s };
  const apart = (pieces: readonly Sloped[]): Sloped[] =>
    pieces.filter((piece) => length(piece) >= TOLD_APART_s);
  return [...apart(visit.slice(0, from)), whole, ...apart(visit.slice(to + 1))];
}

export interface AssignedSettings {
  /** One a plateau; null where nobody can say which. */
  readonly settings_Pa: readonly (number | null)[];
  /** Every plateau has a setting and every setting that was visited has one plateau. */
  readonly matches: boolean;
  /** Plateaus that share a setting with another: the flow changed though nothing was announced. */
  readonly doubtful: ReadonlySet<number>;
}

/**
 * Which setting each plateau of a pour was. Where settings were announced while it ran, a plateau has the last one announced
 * before its middle and up to 4 s after its start (the border of a small step is not sharp); before the first of them, the plan's first. Without announcements they go by order, and
 * too few or too many plateaus leave all of them without: nobody can say which one is missing.
 * A setting announced of which no plateau was found (the control not turned, or too little to tell) takes the setting from the plateau
 * before it if that went on for more than 8 s: two settings may be mixed in it.
 */
export function assignSettings(plateaus: readonly Stretch[], plan: PlannedPour): AssignedSettings {
  const { announced, settings_Pa: planned } = plan;
  if (announced.length === 0) {
    const matches = plateaus.length === planned.length;
    return {
      settings_Pa: plateaus.map((_, i) => (matches ? planned[i]! : null)),
      matches,
      doubtful: new Set(),
    };
  }
  const visits = [{ at_s: -Infinity, setting_Pa: planned[0]! }, ...announced];
  const places = plateaus.map((plateau) => visitOf(plateau, plan));
  const doubtful = new Set(
    places.flatMap((visit, i) => (places.filter((other) => other === visit).length > 1 ? [i] : [])),
  );
  let matches = doubtful.size === 0;
  // Of two flows at one setting one is wrong, and nobody knows why: the longer one stands for it, told as doubtful.
  const lasts_s = plateaus.map(({ start_s, stop_s }) => stop_s - start_s);
  const isLesser = (i: number): boolean =>
    places.some(
      (visit, j) =>
        visit === places[i] && j !== i && (lasts_s[j]! > lasts_s[i]! || (lasts_s[j] === lasts_s[i] && j < i)),
    );
  const settings = plateaus.map(({ stop_s }, i): number | null => {
    const unseen = visits[places[i]! + 1];
    const isSeen = places.some((place, j) => place === places[i]! + 1 && lasts_s[j]! >= LEAST_SEEN_s);
    const isMixed = unseen !== undefined && !isSeen && stop_s > unseen.at_s + TURNED_WITHIN_s;
    if (isMixed) matches = false;
    return isMixed || isLesser(i) ? null : visits[places[i]!]!.setting_Pa;
  });
  return { settings_Pa: settings, matches, doubtful };
}
