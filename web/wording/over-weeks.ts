/** What a weekly check, and a new tip's sweep, is for: said in place of a verdict that they can't give. Loaded with a result. */
import { nameKey } from '../../src/base/name-key.ts';
import type { RackTip, SweepSetup } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { fixed, withUncertainty } from './number.ts';

/** Sweeps that a baseline should have, as the set-up asks for: "on three days". */
const BASELINE_SWEEPS = 3;

export const overWeeksWords = {
  title: 'A weekly check: held against the baseline over the weeks, not judged by its curve.',
  link: 'See it over the weeks',
} as const;

/** The key of a tip in the Rack, as `RackTip` has it. */
export function rackKeyOf(name: string, simulated: boolean): string {
  return `${simulated ? 'simulated' : 'measured'}:${nameKey(name)}`;
}

/**
 * "0.9 % over its baseline, give or take 2.2." or "Kept as this tip’s baseline (sweep 1 of 3; do it on three days)."
 * @param tip as the Rack has it, this sweep included. Empty: nothing to tell of such a sweep.
 */
export function overWeeksSentence(
  tip: Pick<RackTip, 'drift' | 'driftBecause' | 'baseline' | 'baselineBecause'>,
  sweepId: string,
  occasion: SweepSetup['occasion'],
): string {
  if (occasion === 'new-tip') return baselineSentence(tip, sweepId);
  if (occasion !== 'weekly-check') return '';
  const point = tip.drift?.points.find((one) => one.sweepId === sweepId);
  if (point === undefined) {
    const because = tip.driftBecause ?? tip.baselineBecause;
    return `Kept for the weeks${because === null ? '.' : `; not held against a baseline yet. ${wholeSentence(because)}`}`;
  }
  const { deviation, expandedUncertainty95: half } = point;
  const cut = withUncertainty(Math.abs(deviation) * 100, half * 100);
  const much = cut === null ? `${fixed(Math.abs(deviation) * 100, 1)} %` : `${cut.value} %`;
  const against = `${much} ${deviation < 0 ? 'under' : 'over'} its baseline${cut === null ? '' : `, give or take ${cut.plusMinus}`}`;
  if (point.leftOutBecause !== null) return `${against}. ${wholeSentence(point.leftOutBecause)}`;
  return point.signals ? `${against}; its running average is beyond the limit.` : `${against}.`;
}

function baselineSentence(
  { baseline, baselineBecause }: Pick<RackTip, 'baseline' | 'baselineBecause'>,
  sweepId: string,
): string {
  const count = baseline?.sweepIds.includes(sweepId) === true ? baseline.sweepIds.length : 0;
  if (count === 0)
    return baselineBecause === null
      ? 'Kept; this tip’s baseline is made of other sweeps, as its page in the Rack shows.'
      : `Kept, but not as a baseline yet. ${wholeSentence(baselineBecause)}`;
  return count < BASELINE_SWEEPS
    ? `Kept as this tip’s baseline (sweep ${count} of ${BASELINE_SWEEPS}; do it on three days).`
    : `Kept as this tip’s baseline, ${count} sweeps by now.`;
}
