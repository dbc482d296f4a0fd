import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { BenchView, SerialRequest } from '../../../web/contract.ts';
import { BenchService } from '../../../web/worker/bench-service.ts';
import type { BenchStore } from '../../../web/worker/storage/bench-store.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { PortDouble, SerialDouble } from '../../builders/port-double.ts';
import { aSetup } from '../../builders/setup.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const scale: SerialRequest = {
  portIndex: 0,
  kind: 'scale',
  baudRate: 9600,
  bareUnit: null,
  averagedReadings: null,
  gramsPerCount: null,
  pulsesPerLitre: null,
};

let serial: SerialDouble;
let port: PortDouble;
let views: BenchView[];
let service: BenchService;
let store: BenchStore;

beforeEach(async () => {
  serial = new SerialDouble();
  port = new PortDouble();
  serial.plug(port);
  vi.stubGlobal('navigator', { serial });
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval', 'performance'] });
  views = [];
  store = memoryStore();
  service = new BenchService(() => Promise.resolve({ store, storage: { ok: true, value: true } }));
  await service.hello({
    view: (view) => views.push(view),
    trace: () => undefined,
    announce: () => undefined,
  });
});

afterEach(async () => {
  await service.closeInstrument();
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

async function hear(...lines: string[]): Promise<BenchView['instrument']> {
  for (const line of lines) {
    port.send(`${line}\r\n`);
    await vi.advanceTimersByTimeAsync(120);
  }
  return views.at(-1)!.instrument;
}

const repeat = (line: string, times: number): string[] => Array.from({ length: times }, () => line);

describe('an instrument on a wire', () => {
  it('is believed after several lines of one shape, not before', async () => {
    await service.openSerial(scale);
    expect((await hear('half', ...repeat('  512.0 g', 3))).readings).toBe(0);
    expect(await service.startSweep(aSetup())).toMatchObject({ ok: false, because: 'no-readings-yet' });
    const heard = await hear(...repeat('  512.0 g', 4));
    expect(heard).toMatchObject({ state: 'reading', mass_kg: 0.512, because: null, lastRefusedLine: null });
    expect(await service.startSweep(aSetup())).toMatchObject({ ok: true });
    await service.endSweep();
  });

  it('at the wrong baud rate gives the likely cause and a look at what came, and no number', async () => {
    await service.openSerial(scale);
    const noise = '\x80\xfe\x00\x98\xe6x\xf8\x18';
    const heard = await hear(...repeat(noise, 45));
    expect(heard.because).toBe('wrong-baud-likely');
    expect(heard).toMatchObject({ readings: 0, mass_kg: null });
    expect(heard.lastRefusedLine).toBe(noise);
  });

  it('that prints sentences of another kind of device is refused in words', async () => {
    await service.openSerial(scale);
    const heard = await hear(...repeat('$GPGGA,123519,4807.038,N*47', 45));
    expect(heard).toMatchObject({ because: 'not-an-instrument-we-read', readings: 0, mass_kg: null });
  });

  it('that prints a number in a unit nobody knows gives no number', async () => {
    await service.openSerial(scale);
    const heard = await hear(...repeat('  512.0 catty', 45));
    expect(heard).toMatchObject({ because: 'not-an-instrument-we-read', readings: 0, mass_kg: null });
  });

  it('that says nothing is told to be silent, and reads as soon as it speaks', async () => {
    await service.openSerial(scale);
    await vi.advanceTimersByTimeAsync(5000);
    expect(views.at(-1)!.instrument).toMatchObject({ state: 'silent', because: 'no-readings-yet' });
    expect(await hear('x', ...repeat('  1.500 kg', 7))).toMatchObject({
      state: 'reading',
      mass_kg: 1.5,
      because: null,
    });
  });

  it('voids the catch and waits when readings stop, then goes on', async () => {
    await service.openSerial(scale);
    await hear('x', ...repeat('  1.500 kg', 10));
    await service.startSweep(aSetup());
    await vi.advanceTimersByTimeAsync(5000);
    expect(views.at(-1)!.sweep!.phase).toBe('waiting-for-instrument');
    expect(views.at(-1)!.instrument).toMatchObject({ state: 'silent', because: 'readings-stopped' });
    await hear(...repeat('  1.500 kg', 3));
    expect(views.at(-1)!.sweep!.phase).toBe('setting');
    await service.endSweep();
  });

  it('is lost and comes back within one sweep', async () => {
    await service.openSerial(scale);
    await hear('x', ...repeat('  1.500 kg', 10));
    await service.startSweep(aSetup());
    serial.unplug(port);
    await vi.advanceTimersByTimeAsync(500);
    expect(views.at(-1)!.instrument.state).toBe('lost');
    expect(views.at(-1)!.sweep!.phase).toBe('waiting-for-instrument');
    port = new PortDouble();
    serial.plug(port);
    await vi.advanceTimersByTimeAsync(3000);
    await hear('half a li', ...repeat('  1.500 kg', 4));
    expect(views.at(-1)!.instrument.state).toBe('reading');
    expect(views.at(-1)!.sweep!.phase).toBe('setting');
    await service.endSweep();
  });

  it('has what came so far kept at once when the person does something', async () => {
    await service.openSerial(scale);
    await hear('x', ...repeat('  1.500 kg', 10));
    const started = await service.startSweep(aSetup());
    if (!started.ok) throw new Error(started.because);
    port.send('  1.501 kg\r\n');
    await vi.advanceTimersByTimeAsync(10);
    await service.pause();
    await vi.advanceTimersByTimeAsync(0);
    const kept = await store.captureText(started.value.sweepId);
    expect(kept.ok && kept.value.join('')).toContain('1.501 kg');
    await service.endSweep();
  });

  it('is opened, started and closed one after the other, however fast the person asks', async () => {
    const simulated = { scenario: 'clean', seed: 1, speed: 1, instrument: 'scale', tipFlowAt275790Pa_m3_per_s: null } as const; // prettier-ignore
    const [first, second] = await Promise.all([service.openSerial(scale), service.openSimulated(simulated)]);
    expect([first.ok, second.ok, port.openedWith]).toEqual([true, true, null]);
    await service.openSerial(scale);
    await hear('x', ...repeat('  1.500 kg', 10));
    const answers = await Promise.all([
      service.startSweep(aSetup()),
      service.startSweep(aSetup()),
      service.closeInstrument(),
    ]);
    expect(answers.map((answer) => (answer.ok ? 'ok' : answer.because))).toEqual([
      'ok',
      'sweep-running',
      'sweep-running',
    ]);
    const listed = await service.listSweeps();
    expect(listed.ok && listed.value).toHaveLength(1);
    expect(port.openedWith).not.toBeNull();
    await service.endSweep();
  });

  it('starts no sweep while it is lost, although it had readings before', async () => {
    await service.openSerial(scale);
    await hear('x', ...repeat('  1.500 kg', 10));
    serial.unplug(port);
    await vi.advanceTimersByTimeAsync(500);
    expect(await service.startSweep(aSetup())).toMatchObject({ ok: false, because: 'no-readings-yet' });
  });

  it('of the other kind than chosen is said so', async () => {
    await service.openSerial({ ...scale, kind: 'bench-board', baudRate: 115200, gramsPerCount: 0.002 });
    const heard = await hear('x', ...repeat('  1.500 kg', 8));
    expect(heard).toMatchObject({ because: 'another-kind-of-instrument', readings: 0 });
  });
});
