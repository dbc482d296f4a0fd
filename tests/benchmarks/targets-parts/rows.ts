import type { fixedFigures } from '../accuracy-parts/figures.ts';

/** One line of the table: what was aimed at (measurement study, section 9 and rule 11.1), what was measured. */
export interface Row {
  readonly row: string;
  readonly what: string;
  readonly target: string;
  readonly measured: string;
  readonly met: boolean;
}

export type Fixed = Readonly<Record<string, ReturnType<typeof fixedFigures>>>;
export interface Events {
  readonly fills: number;
  readonly missed: number;
  readonly false: number;
  readonly split: number;
  readonly merged: number;
  readonly falseMaybe: number;
  readonly falseFilling: number;
  readonly [list: string]: unknown;
}

/** NaN where a campaign was left out: such a row is not made. */
const n2 = (x: number | undefined): string => (x ?? NaN).toFixed(2);
const n3 = (x: number | undefined): string => (x ?? NaN).toFixed(3);

export function accuracyRows(fixed: Fixed): Row[] {
  const rows: Row[] = [];
  const add = (row: string, what: string, target: string, measured: string, met: boolean): void => {
    if (!measured.includes('NaN')) rows.push({ row, what, target, measured, met });
  };
  const f = (name: string): Fixed[string] => fixed[name] ?? ({} as Fixed[string]);
  for (const [name, most] of [
    ['typical-pure', 1.1],
    ['rough-pure', 1.15],
  ] as const)
    add(
      '1',
      `slope RMSE over the bound, ${name}`,
      `≤ ${n2(most)}`,
      n3(f(name).rmseOverBound),
      f(name).rmseOverBound <= most,
    );
  for (const name of ['typical', 'rough'])
    add(
      '2',
      `slope RMSE over √(bound² + jet drift²), ${name}`,
      '≤ 1.10',
      n3(f(name).rmseOverBoundWithDrift),
      f(name).rmseOverBoundWithDrift <= 1.1,
    );
  for (const [name, rmse, most] of [
    ['typical', 0.15, 0.3],
    ['rough', 0.65, 1.3],
  ] as const) {
    const { rmsePercent = NaN, within95Percent } = f(name);
    add(
      '3',
      `RMSE and 95 % of fills within, ${name}`,
      `≤ ${n2(rmse)} %, ${n2(most)} %`,
      `${n3(rmsePercent)} %, ${n3(within95Percent)} %`,
      rmsePercent <= rmse && within95Percent <= most,
    );
  }
  for (const name of ['clean', 'typical-pure', 'typical80-pure', 'rough-pure']) {
    const { coveragePercent = NaN, coverageWithoutJetPercent } = f(name);
    add(
      '4',
      `coverage, ${name}: bar alone (with the jet's allowance)`,
      '93-97 %',
      `${n2(coverageWithoutJetPercent)} % (${n2(coveragePercent)} %)`,
      coverageWithoutJetPercent >= 93 && coverageWithoutJetPercent <= 97,
    );
  }
  for (const name of ['typical', 'rough']) {
    const { coveragePercent = NaN } = f(name);
    add(
      '4',
      `coverage with the allowance, ${name}`,
      '≥ 93 %',
      `${n2(coveragePercent)} %`,
      coveragePercent >= 93,
    );
  }
  const { medianHalfWidthOverBound } = f('typical');
  add(
    '6',
    'median half-width over 1.96 × median bound, typical',
    '≤ 1.6',
    n3(medianHalfWidthOverBound),
    medianHalfWidthOverBound <= 1.6,
  );
  return rows;
}

interface Quantiles {
  readonly median: number;
  readonly p5: number;
  readonly p95: number;
}

export function eventRows(events: Readonly<Record<string, Events>>): Row[] {
  const rows: Row[] = [];
  const e = (name: string): Events => {
    const found = events[name];
    if (found === undefined) throw new Error(`no campaign ${name}`);
    return found;
  };
  const q = (name: string, list: string): Quantiles => e(name)[list] as Quantiles;
  const faults = ({ missed, false: wrong, split, merged }: Events): number => missed + wrong + split + merged;
  for (const [name, perThousand] of [
    ['typical', 0],
    ['rough', 0.5],
    ['worst', 10],
  ] as const) {
    const s = e(name);
    rows.push({
      row: '7',
      what: `missed / false / split / merged, ${name}, ${s.fills} fills`,
      target: name === 'typical' ? '0 / 0 / 0 / 0' : name === 'rough' ? '≤ 1 in 2000' : '≤ 1 %',
      measured: `${s.missed} / ${s.false} / ${s.split} / ${s.merged}`,
      met: (1000 * faults(s)) / s.fills <= perThousand,
    });
  }
  const late = (what: string, list: string, most: number): void => {
    const seen = q('typical', list);
    rows.push({
      row: '8',
      what: `${what}, typical, 95 % of fills`,
      target: `≤ ${most} s`,
      measured: `${n2(seen.p95)} s (median ${n2(seen.median)})`,
      met: seen.p95 <= most,
    });
  };
  late('“maybe” after the valve', 'maybeAfter_s', 1.3);
  late('start confirmed', 'confirmedAfter_s', 3.1);
  late('stop announced', 'stopSaidAfter_s', 1.5);
  late('catch closed', 'closedAfter_s', 3.5);
  const t = e('typical');
  const maybes = (1000 * t.falseMaybe) / t.fills;
  rows.push({
    row: '8',
    what: 'false “maybe” and false “start” per 1000 typical fills',
    target: '≤ 25, 0',
    measured: `${n2(maybes)}, ${t.falseFilling}`,
    met: maybes <= 25 && t.falseFilling === 0,
  });
  for (const list of ['start_s', 'stop_s']) {
    const seen = q('typical', list);
    rows.push({
      row: '9',
      what: `${list === 'start_s' ? 'start' : 'stop'} error, 5-95 %, typical`,
      target: '-0.10 … +0.40 s',
      measured: `${n2(seen.p5)} … ${n2(seen.p95)} s`,
      met: seen.p5 >= -0.1 && seen.p95 <= 0.4,
    });
  }
  const duration = q('typical', 'duration_s').median;
  rows.push({
    row: '9',
    what: 'bias of the duration, typical, median',
    target: '< 0.15 s',
    measured: `${n3(duration)} s`,
    met: Math.abs(duration) < 0.15,
  });
  return rows;
}

export function printed(rows: readonly Row[]): string {
  const cells = rows.map(({ row, what, target, measured, met }) => [
    row,
    what,
    target,
    measured,
    met ? 'met' : 'SHORT',
  ]);
  const wide = [0, 1, 2, 3].map((i) => Math.max(...cells.map((cell) => cell[i]!.length)));
  return cells
    .map((cell) => cell.map((text, i) => (i < 4 ? text.padEnd(wide[i]!) : text)).join('  '))
    .join('\n');
}
