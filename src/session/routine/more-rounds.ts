import type { SeveralTips } from '../../analysis/sweep/several-tips.ts';
import type { SweepSetup } from '../sweep-setup.ts';
import { MOST_CATCHES_OF_A_TIP } from './check-routine.ts';

/** Offered at once; who wants still more is asked again. Judgement, no source. */
const MOST_ROUNDS = 4;

/**
 * What: rounds of A B B A to offer once all planned catches are there; null when it is enough.
 * Rule: enough when the half-width of the ratio is no wider than the difference that was wanted, or when the planned catches alone show a
 *   difference. Else as many as bring the half-width there if it goes on shrinking with the root of their number, four rounds at most.
 *   Later looks go by the width only: to stop as soon as a difference shows would show too many.
 */
export function moreRounds(
  setup: Pick<SweepSetup, 'routine'>,
  several: SeveralTips | null,
  done: { readonly catches: number; readonly planned: number },
): number | null {
  const { routine } = setup;
  if (routine?.kind !== 'tip-against-tip' || several?.kind !== 'two' || several.compared === null)
    return null;
  const { ratio, expandedUncertainty95, verdict } = several.compared;
  const width = expandedUncertainty95 / ratio / routine.wantedDifference;
  if (width <= 1 || (verdict === 'different' && done.catches <= done.planned)) return null;
  const ofEach = done.catches / 2;
  const room = Math.floor((MOST_CATCHES_OF_A_TIP - ofEach) / 2);
  const rounds = Math.min(MOST_ROUNDS, room, Math.ceil((ofEach * (width ** 2 - 1)) / 2));
  return rounds < 1 ? null : rounds;
}
