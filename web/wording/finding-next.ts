/** What comes after a finding: what it was worth, and what would settle it. */
import type { Diagnosis, NoDiagnosis, SettlingTest, SweepSetup } from '../contract.ts';
import { findingWords, isDiagnosis } from './finding.ts';
import { isOpen, type Rated } from './near-limit.ts';
import { fixed } from './number.ts';

/** What a sweep that shows no fault was worth; empty where a fault was found, or nobody worked it out. */
export function unseenSentence({ said, smallestChangeNamed: least }: Diagnosis): string {
  if (said !== 'no fault shown' || least === undefined || !(least > 0)) return '';
  const percent = Number((Math.ceil(least * 1000) / 10).toPrecision(2));
  return `Wear or dirt that changes the flow by less than about ${fixed(percent, percent < 10 ? 1 : 0)} % would most likely not have been named.`;
}

/** What would settle it, the comparison with the stamp included; a tip that is new is just getting its baseline. */
export function testsOffered(
  found: Diagnosis | NoDiagnosis,
  {
    rated = null,
    occasion = 'sweep',
  }: { readonly rated?: Rated; readonly occasion?: SweepSetup['occasion'] },
): readonly SettlingTest[] {
  const isSound = isDiagnosis(found) && found.said === 'no fault shown';
  const more: readonly SettlingTest[] =
    isSound && isOpen(rated)
      ? rated.verdict === 'above-limit'
        ? ['second-sweep']
        : ['second-sweep', 'more-catches']
      : [];
  const last = found.settledBy.filter((kind) => kind === 'take-a-baseline' && occasion !== 'new-tip');
  return [...new Set([...found.settledBy.filter((kind) => kind !== 'take-a-baseline'), ...more, ...last])];
}

/** Over the list of tests: nothing is settled by a baseline for later. */
export function testsHeading(found: Diagnosis | NoDiagnosis, tests: readonly SettlingTest[]): string {
  if (!isDiagnosis(found)) return findingWords.toGet;
  if (tests.every((kind) => kind === 'take-a-baseline')) return findingWords.later;
  return tests.length === 1 ? findingWords.settlesOne : findingWords.settles;
}
