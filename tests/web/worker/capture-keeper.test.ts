import { describe, expect, it, vi } from 'vitest';
import { CaptureKeeper } from '../../../web/worker/capture-keeper.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';

function keeper(refuse: () => boolean): { keeper: CaptureKeeper; chunks: string[]; trouble: string[] } {
  const chunks: string[] = [];
  const trouble: string[] = [];
  const store: Partial<BenchStore> = {
    addReadings: (_, chunk) => {
      if (refuse()) return Promise.resolve({ ok: false, because: 'storage-full' });
      chunks.push(chunk.text);
      return Promise.resolve({ ok: true, value: true });
    },
    captureText: () => Promise.resolve({ ok: true, value: chunks }),
  };
  return {
    keeper: new CaptureKeeper(store as BenchStore, 'a', [], 0, (because) => trouble.push(because)),
    chunks,
    trouble,
  };
}

const line = (s: number): string => `${s.toFixed(1)}\t512 g\n`;

describe('the keeper of a running capture', () => {
  it('hands about a second of lines to the store at a time, in order', async () => {
    const { keeper: kept, chunks } = keeper(() => false);
    for (let i = 0; i < 50; i += 1) kept.append(line(i / 10), i / 10);
    expect(chunks.length).toBeLessThanOrEqual(5);
    const text = await kept.text();
    expect(text.split('\n')).toHaveLength(51);
    expect(chunks.join('')).toBe(text);
  });

  it('hands a line over within a second by the wall clock when no other follows', async () => {
    vi.useFakeTimers();
    const { keeper: kept, chunks } = keeper(() => false);
    kept.append(line(0), 0);
    await vi.advanceTimersByTimeAsync(900);
    expect(chunks).toEqual([]);
    await vi.advanceTimersByTimeAsync(200);
    expect(chunks).toEqual([line(0)]);
    expect(vi.getTimerCount()).toBe(0);
    vi.useRealTimers();
  });

  it('holds everything in memory when the store refuses, and says why', async () => {
    const { keeper: kept, chunks, trouble } = keeper(() => true);
    for (let i = 0; i < 30; i += 1) kept.append(line(i / 10), i / 10);
    expect((await kept.text()).split('\n')).toHaveLength(31);
    expect(chunks).toEqual([]);
    expect(trouble[0]).toBe('storage-full');
  });

  it('lets go of the oldest after two hours without a store, and marks it as a gap', async () => {
    const { keeper: kept } = keeper(() => true);
    for (let s = 0; s < 7300; s += 1) {
      kept.append(line(s), s);
      kept.flush();
    }
    const text = await kept.text();
    expect(text.startsWith('100.0\t!gap buffer-overflow\n100.0\t512 g\n')).toBe(true);
    expect(text.endsWith(line(7299))).toBe(true);
  });
});
