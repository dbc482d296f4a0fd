import { readBook, type BookMemo } from '../../src/records/rack/book.ts';
import { diagnoseTip } from '../../src/records/rack/diagnose-tip.ts';
import { assembleRack } from '../../src/records/rack/rack.ts';
import { tipOrRigOf } from '../../src/records/rack/tip-or-rig-of.ts';
import { tipWeeks } from '../../src/records/rack/tip-weeks.ts';
import { simulatedSeason } from '../../src/simulation/season.ts';
import { bigBook } from './rack-parts/big-book.ts';

/**
 * `npm run benchmark -- rack [--tips=50] [--sweeps=10] [--rigs=5] [--times=7]`: how long the rack takes, milliseconds of processor time, and which part of it.
 * First with nothing remembered, then again as when the place is opened a second time; the season too.
 */
export function run(options: Readonly<Record<string, string>> = {}): unknown {
  const number = (name: string, usual: number): number => Number(options[name] ?? usual);
  const [tips, sweeps, rigs, times] = [
    number('tips', 50),
    number('sweeps', 10),
    number('rigs', 5),
    number('times', 7),
  ];
  const records = bigBook(tips, sweeps, rigs, 800_001);
  const memo: BookMemo = new Map();
  const cold_ms = timed(() => assembleRack(records, { memo }));
  const parts = {
    book: [] as number[],
    drift: [] as number[],
    findings: [] as number[],
    tipOrRig: [] as number[],
  };
  const first: number[] = [];
  const again: number[] = [];
  for (let i = 0; i < times; i++) {
    first.push(timed(() => assembleRack(records)));
    again.push(timed(() => assembleRack(records, { memo })));
    const book = readBook(records, memo);
    const weeks = tipWeeks(book, undefined);
    parts.book.push(timed(() => readBook(records)));
    parts.drift.push(timed(() => tipWeeks(book, undefined)));
    parts.findings.push(timed(() => [...book.tips.values()].map((tip) => diagnoseTip(tip, weeks))));
    parts.tipOrRig.push(timed(() => [...book.rigs.values()].map((rig) => tipOrRigOf(rig, book, weeks))));
  }
  const season: number[] = [];
  for (let i = 0; i < times; i++) season.push(timed(() => simulatedSeason(2, Date.UTC(2026, 10, 25))));
  return {
    tips,
    sweeps,
    rigs,
    records: records.length,
    veryFirst_ms: cold_ms,
    nothingRemembered_ms: median(first),
    openedAgain_ms: median(again),
    parts_ms: Object.fromEntries(Object.entries(parts).map(([name, all]) => [name, median(all)])),
    makingTheSeason_ms: median(season),
  };
}

/** Of the processor, not of the wall: others may be at work on the machine. Collecting garbage beside it counts too. */
function timed(work: () => unknown): number {
  const begun = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(begun);
  return (user + system) / 1000;
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)]!;
}
