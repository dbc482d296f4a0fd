/** What the set-up says of two tips in turn and of a boom. Loaded with the fields, when one of them is chosen. */
import type { Outcome, TipPlan } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { fixed, significant } from './number.ts';

export const routineSetup = {
  otherTip: 'Name of the other tip (B)',
  otherTipHint: 'The tip below is A. Mark them, so that you can tell them apart with wet hands.',
  otherTips: 'Names of the other tips (B, C, …)',
  otherTipsHint: 'A comma between them. The tip below is A. Mark them all.',
  bagWhy:
    'They are caught one after the other, forth and back: A B C, C B A. The dial is set once and then left alone; nothing here can see whether it was touched. Before each change: pump off, open the trigger, pressure at zero.',
  difference: 'The difference to be seen',
  positions: 'Nozzles on the boom',
  positionsHint:
    'Counted from one end. The first one is caught again at the end, to see whether the rig has moved.',
  tipsWhy:
    'They take turns: A B B A. The dial is set once and then left alone, so that both have the same pressure; nothing here can see whether it was touched. Before each change: pump off, open the trigger, pressure at zero.',
  boomWhy:
    'All nozzles run at once, so the pressure is that of the work. Shut the water off before the pail and the scale are moved; stand them level under the next nozzle, and wait: it hears when they rest. The name of the tip below stands for the whole boom.',
} as const;

/** Half a minute of water, and as long again for hands; judgement, no source. */
const MINUTES_A_CATCH = 1;

const percent = (share: number): string => `${significant(share * 100, 2)} %`;

/** "To see 2 % takes 4 catches of each tip, about 8 minutes. …" */
export function planSentence(wantedDifference: number, plan: Outcome<TipPlan>): string {
  if (!plan.ok) {
    const least = plan.facts?.['least'];
    const could = typeof least === 'number' ? ` Sixty of each would show about ${percent(least)}.` : '';
    return plan.because === 'difference-needs-too-many' ? `${wholeSentence(plan.because)}${could}` : '';
  }
  const { catchesPerTip, catchStandardDeviation, from } = plan.value;
  const minutes = Math.round(2 * catchesPerTip * MINUTES_A_CATCH);
  const basis =
    from === 'earlier-sweeps'
      ? 'by what catches were worth on this sprayer before'
      : 'by the ± that each catch is to reach';
  return `To see ${percent(wantedDifference)} takes ${catchesPerTip} catches of each tip, about ${fixed(minutes, 0)} minutes (four times in five, ${basis}: ${percent(2 * catchStandardDeviation)}).`;
}
