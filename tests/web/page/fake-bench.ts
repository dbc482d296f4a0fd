/** A bench worker that does nothing by itself: a test shows what it wants through it and reads which requests came. */
import type { BenchConnection } from '../../../web/client.ts';
import type { BenchSink, BenchView, BenchWorker, InstrumentView, Outcome } from '../../../web/contract.ts';

export interface Call {
  readonly name: keyof BenchWorker;
  readonly args: readonly unknown[];
}

type Answers = { [Name in keyof BenchWorker]?: Awaited<ReturnType<BenchWorker[Name]>> };

const done: Outcome<true> = { ok: true, value: true };

export class FakeBench {
  readonly calls: Call[] = [];
  /** What a request is answered with; everything not named here succeeds emptily. */
  readonly answers: Answers = {};
  sink: BenchSink | null = null;
  crash: (message: string) => void = () => undefined;

  readonly connect = (sink: BenchSink): Promise<BenchConnection> => {
    this.sink = sink;
    const crashed = new Promise<string>((resolve) => (this.crash = resolve));
    const hello = { appVersion: '0', estimatorVersion: '0', storage: done };
    return Promise.resolve({ worker: this.worker, hello, crashed });
  };

  readonly worker: BenchWorker = {
    hello: () => Promise.resolve({ appVersion: '0', estimatorVersion: '0', storage: done }),
    openSimulated: (...args) => this.#answer('openSimulated', args, done),
    setSpeed: (...args) => this.#answer('setSpeed', args, done),
    openSerial: (...args) => this.#answer('openSerial', args, done),
    closeInstrument: (...args) => this.#answer('closeInstrument', args, done),
    startCheck: (...args) => this.#answer('startCheck', args, done),
    dismissCheck: (...args) => this.#answer('dismissCheck', args, done),
    startRigCheck: (...args) => this.#answer('startRigCheck', args, done),
    answerRigCheck: (...args) => this.#answer('answerRigCheck', args, done),
    stopRigCheck: (...args) => this.#answer('stopRigCheck', args, done),
    dismissRigCheck: (...args) => this.#answer('dismissRigCheck', args, done),
    decideCheck: (...args) => this.#answer('decideCheck', args, done),
    startSweep: (...args) => this.#answer('startSweep', args, { ok: true, value: { sweepId: 'sweep-1' } }),
    planTips: (...args) =>
      this.#answer('planTips', args, {
        ok: true,
        value: { catchesPerTip: 4, catchStandardDeviation: 0.003, from: 'target', seenDifference: 0.009 },
      }),
    resumeSweep: (...args) => this.#answer('resumeSweep', args, { ok: true, value: { sweepId: args[0] } }),
    pause: (...args) => this.#answer('pause', args, done),
    goOn: (...args) => this.#answer('goOn', args, done),
    strike: (...args) => this.#answer('strike', args, done),
    strikeStarted: (...args) => this.#answer('strikeStarted', args, done),
    undoStrike: (...args) => this.#answer('undoStrike', args, done),
    endSweep: (...args) => this.#answer('endSweep', args, done),
    listSweeps: (...args) => this.#answer('listSweeps', args, { ok: true, value: [] }),
    openSweep: (...args) => this.#answer('openSweep', args, { ok: false, because: 'record-not-found' }),
    compareOtherWay: (...args) =>
      this.#answer('compareOtherWay', args, { ok: false, because: 'no-sweep-the-other-way' }),
    rack: (...args) => this.#answer('rack', args, { ok: true, value: { tips: [], rigs: [], unreadable: 0 } }),
    compareTips: (...args) =>
      this.#answer('compareTips', args, { ok: true, value: { against: args[2], pairs: [], curves: [] } }),
    saveTip: (...args) => this.#answer('saveTip', args, done),
    exportCapture: (...args) =>
      this.#answer('exportCapture', args, { ok: true, value: { name: 'a.capture', text: 'x' } }),
    analyseFile: (...args) => this.#answer('analyseFile', args, { ok: false, because: 'not-a-capture' }),
    analyseByHand: (...args) => this.#answer('analyseByHand', args, { ok: false, because: 'no-catches' }),
    keepByHand: (...args) =>
      this.#answer('keepByHand', args, { ok: true, value: { sweepId: 'hand-1', recordId: 'r-1' } }),
  };

  names(): string[] {
    return this.calls.map(({ name }) => name);
  }

  show(view: BenchView): void {
    this.sink?.view(view);
  }

  #answer<Name extends keyof BenchWorker>(
    name: Name,
    args: readonly unknown[],
    usual: Awaited<ReturnType<BenchWorker[Name]>>,
  ): Promise<Awaited<ReturnType<BenchWorker[Name]>>> {
    this.calls.push({ name, args });
    const answer = this.answers[name] as Awaited<ReturnType<BenchWorker[Name]>> | undefined;
    return Promise.resolve(answer ?? usual);
  }
}

export const readingScale: InstrumentView = {
  source: 'simulated',
  state: 'reading',
  kind: 'scale',
  simulated: true,
  speed: 20,
  readingsPerSecond: 10,
  mass_kg: 2,
  readings: 4000,
  linesRefused: 0,
  gaps: 0,
  lastGap: null,
  lastRefusedLine: null,
  because: null,
};
