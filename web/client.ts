import * as Comlink from 'comlink';
import { refused } from '../src/base/outcome.ts';
import type { BenchSink, BenchWorker } from './contract.ts';

export interface BenchConnection {
  readonly worker: BenchWorker;
  readonly hello: Awaited<ReturnType<BenchWorker['hello']>>;
  /** Resolves when the worker has crashed: nothing measured and stored is lost, but measuring has stopped. */
  readonly crashed: Promise<string>;
}

// One reference for the page's life: a proxy collected during an await would drop the call for good (Comlink issue 692).
let connection: Promise<BenchConnection> | null = null;

/** Starts the one worker and gives it the page's sink. Later calls return the same connection; after a failed start they try anew. */
export function connectBench(sink: BenchSink): Promise<BenchConnection> {
  if (connection !== null) return connection;
  const starting = start(sink);
  connection = starting;
  starting.catch(() => {
    if (connection === starting) connection = null;
  });
  return starting;
}

async function start(sink: BenchSink): Promise<BenchConnection> {
  const thread = new Worker(new URL('./worker/entry.ts', import.meta.url), { type: 'module', name: 'bench' });
  let tellCrash: (message: string) => void = () => undefined;
  const crashed = new Promise<string>((resolve) => (tellCrash = resolve));
  thread.addEventListener('error', (event) => {
    tellCrash(event.message || 'the worker could not start');
  });
  const remote = Comlink.wrap<BenchWorker>(thread) as unknown as BenchWorker;
  try {
    const hello = await Promise.race([remote.hello(Comlink.proxy(sink)), crashed.then(fail)]);
    return { worker: guarded(remote, crashed), hello, crashed };
  } catch (error) {
    thread.terminate();
    throw error;
  }
}

function fail(message: string): never {
  throw new Error(message);
}

/** After a crash every call answers with a refusal instead of waiting for ever. */
function guarded(remote: BenchWorker, crashed: Promise<string>): BenchWorker {
  const gone = crashed.then(() => refused('worker-stopped'));
  return new Proxy(remote, {
    get(target, name) {
      if (name === 'then') return undefined;
      const method = Reflect.get(target, name) as (...args: unknown[]) => Promise<unknown>;
      return (...args: unknown[]) => Promise.race([method(...args), gone]);
    },
  });
}
