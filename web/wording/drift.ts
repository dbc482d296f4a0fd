/** A tip over the weeks, in sentences and rows: what the chart shows, what it blames on the rig, when it will be worn. */
import type { DriftChart, DriftPoint, RackTip } from '../contract.ts';
import { wholeSentence } from './because.ts';
import { fixed, withUncertainty } from './number.ts';
import { dayText } from './rack.ts';

export const driftWords = {
  title: 'Over the weeks',
  caption: 'Every check against the baseline',
  day: 'Day',
  deviation: 'Against the baseline',
  plusMinus: '±',
  average: 'Running average',
  limit: 'Limit',
  note: 'Note',
  signal: 'beyond the limit',
  baseline: 'baseline',
  theRig: 'the rig',
  leftOut: 'does not count',
  worn: 'your limit',
  weeks: 'weeks since the baseline',
  percent: '% against the baseline',
} as const;

const WEEK_MS = 7 * 86_400_000;

/** "+3.1 %" with a real minus sign. */
export function signedPercent(share: number, decimals: number): string {
  const text = fixed(share * 100, decimals);
  return `${/^[−0.]*$/.test(text) || text.startsWith('−') ? '' : '+'}${text} %`;
}

/** A deviation with its half-width, as percent: "+3.1 %, give or take 0.9". */
export function deviationText(deviation: number, expanded: number): string {
  const cut = withUncertainty(deviation * 100, expanded * 100);
  if (cut === null) return signedPercent(deviation, 1);
  return `${deviation > 0 && /[1-9]/.test(cut.value) ? '+' : ''}${cut.value} %, give or take ${cut.plusMinus}`;
}

/** The first thing to know: does it drift, or not? And which check does not count, for none must vanish unsaid. */
export function driftSentence(chart: DriftChart): string {
  return [driftSaid(chart), leftOutSentence(chart)].filter(Boolean).join(' ');
}

function driftSaid(chart: DriftChart): string {
  const last = chart.points.findLast(({ leftOutBecause }) => leftOutBecause === null);
  if (chart.points.length === 0) return 'No check since the baseline yet.';
  if (last === undefined) return 'No check since the baseline counts yet.';
  const checks = `${chart.points.length} ${chart.points.length === 1 ? 'check' : 'checks'} since the baseline`;
  if (last.limit === null)
    return `${checks}; the last that counts gave ${deviationText(last.deviation, last.expandedUncertainty95)}.`;
  const first = chart.points.find(({ signals }) => signals);
  if (first === undefined) return `${checks}, and no drift beyond what the checks themselves scatter.`;
  const now = last.signals ? 'and still is' : 'and is back within since';
  return `Drifted: beyond the limit from ${dayText(first.at_ms)} on, ${now}; the running average stands at ${signedPercent(last.average, 1)}.`;
}

/** The newest check that does not count; one that was answered is named only where it is the last. Empty: all count. */
function leftOutSentence({ points }: DriftChart): string {
  const left = points.findLast((point) => point.leftOutBecause !== null && point.isThisTip === undefined);
  const last = points.at(-1);
  const point = left ?? (last?.leftOutBecause == null ? undefined : last);
  if (point === undefined) return '';
  const said = `The check of ${dayText(point.at_ms)} gave ${deviationText(point.deviation, point.expandedUncertainty95)} and does not count`;
  return `${said}: ${whyLeftOut(point)}`;
}

function whyLeftOut({ leftOutBecause, isThisTip }: DriftPoint): string {
  if (leftOutBecause === 'check-other-instrument') return 'it was made with another instrument.';
  return isThisTip === false ? 'it was another tip.' : 'is this the tip?';
}

/** Why no limits are drawn; empty when they are. */
export function limitsSentence(chart: DriftChart): string {
  return chart.limitsBecause === null ? '' : `No limits are drawn yet. ${wholeSentence(chart.limitsBecause)}`;
}

/** How long a wear would stay unseen; empty when that is not known. */
export function delaySentence(chart: DriftChart): string {
  if (chart.delay_weeks === null || chart.weeklyStandardDeviation === null) return '';
  const { mean, ninetyPercent } = chart.delay_weeks;
  return `One check scatters by ${fixed(chart.weeklyStandardDeviation * 100, 1)} % here; wear of half a per cent a week is seen after about ${fixed(mean, 0)} weeks, and nine times in ten within ${fixed(Math.ceil(ninetyPercent - 1e-9), 0)}.`;
}

/** "At this pace it reaches +10 % about 4 Feb 2027 (between … and …)." or why that can't be told. */
export function forecastSentence(chart: DriftChart): string {
  const limit = `+${fixed((chart.limitRatio - 1) * 100, 0)} %`;
  if (chart.forecast === null)
    return chart.forecastBecause === null
      ? ''
      : `When it reaches ${limit} can’t be told. ${wholeSentence(chart.forecastBecause)}`;
  const start_ms = baselineMiddle_ms(chart);
  const { week, earliest, latest, perWeek } = chart.forecast;
  const day = (weeks: number): string => dayText(start_ms + weeks * WEEK_MS);
  const last = chart.points.at(-1)?.week ?? 0;
  if (week <= last)
    return `It gains about ${fixed(perWeek * 100, 2)} % a week. At this pace it is at ${limit} about now.`;
  if (earliest <= last)
    return `It gains about ${fixed(perWeek * 100, 2)} % a week. At this pace it reaches ${limit} about ${day(week)}; it may be there already${latest === null ? '' : `, and at the latest about ${day(latest)}`}.`;
  const span =
    latest === null
      ? `not before ${day(earliest)}; no latest day can be told`
      : `between ${day(earliest)} and ${day(latest)}`;
  return `It gains about ${fixed(perWeek * 100, 2)} % a week. At this pace it reaches ${limit} about ${day(week)}, ${span}.`;
}

/** The middle of the baseline, from any point: its day less its weeks. */
export function baselineMiddle_ms(chart: DriftChart): number {
  const point = chart.points[0];
  return point === undefined ? 0 : point.at_ms - point.week * WEEK_MS;
}

/** One sentence for each jump that all tips of the rig made. */
export function jumpSentences(chart: DriftChart): readonly string[] {
  return jumpsTold(chart).map(
    ({ at_ms, jump, expandedUncertainty95, tips, isLasting }) =>
      `${isLasting ? 'Since ' : ''}${dayText(at_ms)}: all ${tips} tips of this rig jumped together by ${deviationText(jump, expandedUncertainty95)}. That is the rig (dial, hose, scale), not wear; from then on it is taken off before the tip is judged.`,
  );
}

type Jump = DriftChart['rigJumps'][number] & { readonly isLasting: boolean };

/** A jump that the checks of the next weeks show again, at the same size within their ±, is told once. */
function jumpsTold({ rigJumps }: DriftChart): readonly Jump[] {
  const told: Jump[] = [];
  let before_ms = -Infinity;
  for (const jump of [...rigJumps].sort((a, b) => a.at_ms - b.at_ms)) {
    const last = told.at(-1);
    const both = Math.hypot(last?.expandedUncertainty95 ?? 0, jump.expandedUncertainty95);
    if (
      last !== undefined &&
      jump.at_ms - before_ms < 1.5 * WEEK_MS &&
      Math.abs(jump.jump - last.jump) <= both
    )
      told[told.length - 1] = { ...last, isLasting: true };
    else told.push({ ...jump, isLasting: false });
    before_ms = jump.at_ms;
  }
  return told;
}

export interface DriftRow {
  readonly sweepId: string;
  readonly day: string;
  readonly deviation: string;
  readonly plusMinus: string;
  readonly average: string;
  readonly limit: string;
  readonly note: string;
}

export function driftRow(point: DriftPoint, chart: DriftChart): DriftRow {
  const cut = withUncertainty(point.deviation * 100, point.expandedUncertainty95 * 100);
  const isJump =
    point.leftOutBecause === null &&
    chart.rigJumps.some(({ at_ms }) => Math.abs(at_ms - point.at_ms) < WEEK_MS / 2);
  return {
    sweepId: point.sweepId,
    day: dayText(point.at_ms),
    deviation: cut === null ? signedPercent(point.deviation, 1) : `${cut.value} %`,
    plusMinus: cut === null ? '' : cut.plusMinus,
    average: signedPercent(point.average, 1),
    limit: point.limit === null ? '–' : `±${fixed(point.limit * 100, 1)} %`,
    note: [
      point.signals ? driftWords.signal : '',
      isJump ? driftWords.theRig : '',
      point.leftOutBecause === null ? '' : `${driftWords.leftOut}: ${whyLeftOut(point)}`,
    ]
      .filter(Boolean)
      .join(', '),
  };
}

/** Why there is no chart; empty: there is one. */
export function noDriftSentence(tip: Pick<RackTip, 'driftBecause'>): string {
  return tip.driftBecause === null ? '' : `No chart over the weeks yet. ${wholeSentence(tip.driftBecause)}`;
}
