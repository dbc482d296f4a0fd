import * as Comlink from 'comlink';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { BenchSink } from '../../../web/contract.ts';
import { tellCrashes } from '../../../web/worker/tell-crashes.ts';

/** A worker thread as the page sees it: messages and, when it crashes, an error event. */
class WorkerDouble extends EventTarget {
  static made: WorkerDouble[] = [];
  readonly port: MessagePort;
  terminated = false;
  readonly #own: MessagePort;

  constructor() {
    super();
    const { port1, port2 } = new MessageChannel();
    this.port = port1;
    this.#own = port2;
    port2.addEventListener('message', ({ data }: MessageEvent<unknown>) =>
      this.dispatchEvent(new MessageEvent('message', { data })),
    );
    port2.start();
    WorkerDouble.made.push(this);
  }

  postMessage(message: unknown, transfer: Transferable[] = []): void {
    this.#own.postMessage(message, transfer as MessagePort[]);
  }

  crash(message: string): void {
    this.dispatchEvent(Object.assign(new Event('error'), { message }));
  }

  terminate(): void {
    this.terminated = true;
    this.port.close();
  }
}

const sink: BenchSink = { view: () => undefined, trace: () => undefined, announce: () => undefined };

afterEach(() => {
  for (const worker of WorkerDouble.made) worker.terminate();
  vi.unstubAllGlobals();
});

describe('the page’s end of the worker', () => {
  it('tries again after a start that failed, keeps a start that worked, and hears of a crash', async () => {
    vi.stubGlobal('Worker', WorkerDouble);
    const { connectBench } = await import('../../../web/client.ts');
    const failing = connectBench(sink);
    WorkerDouble.made[0]!.crash('no such file');
    await expect(failing).rejects.toThrow('no such file');
    expect(WorkerDouble.made[0]!.terminated).toBe(true);

    const trying = connectBench(sink);
    expect(WorkerDouble.made).toHaveLength(2);
    const hello = { appVersion: '1', estimatorVersion: '1', storage: { ok: true, value: true } };
    Comlink.expose(
      { hello: () => hello, pause: () => new Promise(() => undefined) },
      WorkerDouble.made[1]!.port,
    );
    const connection = await trying;
    expect(connection.hello).toEqual(hello);
    expect(await connectBench(sink)).toBe(connection);
    expect(WorkerDouble.made).toHaveLength(2);

    const pending = connection.worker.pause();
    WorkerDouble.made[1]!.crash('a bug of ours');
    expect(await connection.crashed).toBe('a bug of ours');
    expect(await pending).toMatchObject({ ok: false, because: 'worker-stopped' });
  });
});

describe('the worker’s end', () => {
  it('throws anew what a promise failed with unheard, so that the worker’s error event tells it', () => {
    vi.useFakeTimers();
    const scope = new EventTarget();
    tellCrashes(scope as unknown as Parameters<typeof tellCrashes>[0]);
    scope.dispatchEvent(
      Object.assign(new Event('unhandledrejection'), { reason: new Error('a bug of ours') }),
    );
    expect(() => vi.runAllTimers()).toThrow('a bug of ours');
    vi.useRealTimers();
  });
});
