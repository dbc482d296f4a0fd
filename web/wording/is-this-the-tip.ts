/** "Is this the tip?": asked of a check so far off that it may be of another one. */
import type { DriftPoint } from '../contract.ts';
import { deviationText } from './drift.ts';
import { dayText } from './rack.ts';

export const isThisTheTipWords = {
  title: 'Is this the tip?',
  look: 'Look at the tip that was measured before you answer.',
  yes: 'It is this tip',
  yesMeans: 'The check then counts: the tip has changed that much.',
  no: 'It was another tip',
  noMeans: 'The check then stays in the list and never counts for this tip.',
} as const;

/** "The check of 19 Nov 2026 lies +40 %, give or take 2, from the baseline: farther from the last than a tip changes in a week." */
export function isThisTheTipQuestion(point: DriftPoint): string {
  const far = deviationText(point.deviation, point.expandedUncertainty95);
  return `The check of ${dayText(point.at_ms)} gave ${far}, against the baseline. That is so far from the check before that it may be another tip. It does not count as long as nobody has said.`;
}

export function isThisTheTipAnswered({ at_ms, isThisTip }: DriftPoint): string {
  return isThisTip === true
    ? `You said that the check of ${dayText(at_ms)} was of this tip: it counts.`
    : `You said that the check of ${dayText(at_ms)} was of another tip: it stays in the list and does not count here.`;
}
