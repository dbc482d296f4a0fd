import type { SweepSetup } from '../sweep-setup.ts';

/** Labels of the nozzles in a routine, as the capture's `!tip` marks have them: names of the two tips, numbers of the positions. */
export function routineLabels(setup: Pick<SweepSetup, 'tip' | 'routine'>): readonly string[] {
  const { routine, tip } = setup;
  if (routine === null) return [];
  if (routine.kind === 'tip-against-tip') return [tip.name, routine.otherTip.name];
  if (routine.kind === 'bag') return [tip.name, ...routine.otherTips.map(({ name }) => name)];
  return Array.from({ length: routine.positions }, (_, i) => String(i + 1));
}

/**
 * The label of every catch in order. Two tips: A B B A, A B B A, … as often as `catchesPerSetting` catches a tip need (made even: half a
 * round lets a drift through); a bag of tips likewise, forth and back. A boom: every position `catchesPerSetting` times before the pail is moved on, the first one again at the end.
 * Source of the order: measurement 11.10; a boom's repeat: job of the routine, no source.
 */
export function routineOrder(setup: Pick<SweepSetup, 'tip' | 'routine' | 'catchesPerSetting'>): string[] {
  const labels = routineLabels(setup);
  if (setup.routine === null) return [];
  if (setup.routine.kind !== 'boom') return rounds(labels, Math.ceil(setup.catchesPerSetting / 2));
  const once = labels.flatMap((label) => Array.from({ length: setup.catchesPerSetting }, () => label));
  return [...once, ...once.slice(0, setup.catchesPerSetting)];
}

/** So many rounds forth and back: A B B A, A B C C B A. */
export function rounds(labels: readonly string[], count: number): string[] {
  return Array.from({ length: count }, () => [...labels, ...[...labels].reverse()]).flat();
}

/** First entry of the order that the good catches so far do not cover; null when all are. */
export function nextLabel(order: readonly string[], good: ReadonlyMap<string, number>): string | null {
  const left = new Map(good);
  for (const label of order) {
    const have = left.get(label) ?? 0;
    if (have === 0) return label;
    left.set(label, have - 1);
  }
  return null;
}
