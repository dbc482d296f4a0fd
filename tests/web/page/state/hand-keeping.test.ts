import { expect, test } from 'vitest';
import type { HandCatch, KeptByHand } from '../../../../web/contract.ts';
import { HandKeeping } from '../../../../web/state/hand-keeping.svelte.ts';
import { HandTiming, isShort } from '../../../../web/state/hand-timing.svelte.ts';
import { sampleSetup } from '../sample-sweep.ts';

const caught = (duration_s: number): HandCatch => ({
  setting_Pa: 3e5,
  duration_s,
  volume_m3: 1e-3,
  markSpacing_m3: 1e-4,
});

test('each write corrects the record of the one before, never two at once, and of a hurry only the newest is written', async () => {
  const written: { catches: number; earlier: string | null }[] = [];
  let inHand = 0;
  const keeping = new HandKeeping();
  const write = async (
    _: unknown,
    catches: readonly HandCatch[],
    earlier: KeptByHand | null,
  ): Promise<KeptByHand> => {
    expect(++inHand).toBe(1);
    await Promise.resolve();
    inHand--;
    written.push({ catches: catches.length, earlier: earlier?.recordId ?? null });
    return { sweepId: 's', recordId: `r${written.length}` };
  };
  const all = [caught(10), caught(11), caught(12)];
  await Promise.all([1, 2, 3].map((count) => keeping.keep(sampleSetup, all.slice(0, count), write)));
  await keeping.keep(sampleSetup, [], write);
  expect(written).toEqual([
    { catches: 1, earlier: null },
    { catches: 3, earlier: 'r1' },
    { catches: 0, earlier: 'r2' },
  ]);
  expect(keeping.state).toBe('kept');
});

test('a write that failed is said, and the next one corrects the last that held', async () => {
  const keeping = new HandKeeping();
  await keeping.keep(sampleSetup, [caught(10)], () => Promise.resolve({ sweepId: 's', recordId: 'held' }));
  await keeping.keep(sampleSetup, [caught(10), caught(9)], () => Promise.resolve(null));
  expect(keeping.state).toBe('not-kept');
  let earlier: KeptByHand | null = null;
  await keeping.keep(sampleSetup, [caught(10)], (_, __, before) => {
    earlier = before;
    return Promise.resolve(before);
  });
  expect(earlier).toEqual({ sweepId: 's', recordId: 'held' });
});

test('nothing is written before there was a catch', async () => {
  const keeping = new HandKeeping();
  await keeping.keep(sampleSetup, [], () => Promise.reject(new Error('asked')));
  expect(keeping.state).toBe('nothing');
});

test('a discarded timing comes back as it was, running or stopped, until the next start', () => {
  const hand = new HandTiming();
  hand.press(1000);
  hand.discard();
  expect(hand.phase).toBe('ready');
  hand.undoDiscard();
  expect([hand.phase, hand.elapsed_s(5000)]).toEqual(['timing', 4]);
  hand.press(13_000);
  hand.discard();
  hand.undoDiscard();
  expect([hand.phase, hand.duration_s]).toEqual(['reading', 12]);
  hand.discard();
  hand.press(20_000);
  expect(hand.discarded).toBeNull();
  hand.press(22_000);
  hand.keep(3e5, 1e-3, 1e-4);
  expect([hand.discarded, hand.catches.length]).toEqual([null, 1]);
});

test('under eight seconds is short', () => {
  expect([isShort(caught(7.9)), isShort(caught(8))]).toEqual([true, false]);
});
