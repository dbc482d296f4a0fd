/** What a sag test found, in words; the same for the check itself and for the Rack's list of checks. */
import type { RigCheckFound } from '../contract.ts';
import { significant, withUncertainty } from './number.ts';

export type Sag = Extract<RigCheckFound, { kind: 'sag-test' }>;

/** The interval lies wholly above nothing; the analysis asks the same of it before it warns. */
export function isSagShown({ flowLostRelative, relativeStandardUncertainty }: Sag): boolean {
  return flowLostRelative > 2 * relativeStandardUncertainty;
}

/** "fell by 2.1 %, give or take 0.6" */
export function sagText({ flowLostRelative: lost, relativeStandardUncertainty: u }: Sag): string {
  const cut = withUncertainty(100 * Math.abs(lost), 200 * u);
  const much =
    cut === null
      ? `${significant(100 * Math.abs(lost), 2)} %`
      : `${cut.value} %, give or take ${cut.plusMinus}`;
  return `${lost < 0 ? 'rose' : 'fell'} by ${much}`;
}

/** The smallest sag that would have stood out of the ±: "0.6 %". */
export function smallestSeenText({ relativeStandardUncertainty: u }: Sag): string {
  return `${significant(200 * u, 2)} %`;
}

/** "2.5 minutes"; under a minute "40 seconds". */
export function minutesText(duration_s: number): string {
  if (duration_s < 60) return `${String(Math.round(duration_s))} seconds`;
  return `${significant(duration_s / 60, 2)} minutes`;
}
