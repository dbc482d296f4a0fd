import { describe, expect, it, vi } from 'vitest';
import { readPort } from '../../../web/worker/device/read-port.ts';
import { SerialSource } from '../../../web/worker/device/serial-source.ts';
import type { SourceSink } from '../../../web/worker/device/source.ts';
import { PortDouble, SerialDouble } from '../../builders/port-double.ts';

const text = (bytes: Uint8Array): string => String.fromCharCode(...bytes);

describe('the read loop', () => {
  it('takes a new reader after a recoverable error, tells a gap and goes on', async () => {
    const port = new PortDouble();
    await port.open({ baudRate: 9600, bufferSize: 65536 });
    const got: string[] = [];
    const reading = readPort(port, (b) => got.push(text(b)), (because) => got.push(`<${because}>`)); // prettier-ignore
    port.send('one ');
    await vi.waitFor(() => expect(got).toHaveLength(1));
    for (const name of ['BufferOverrunError', 'BreakError', 'FramingError', 'ParityError', 'UnknownError']) {
      port.stumble(name);
      await vi.waitFor(() => expect(got.at(-1)).toMatch(/^</));
      port.send('more ');
      await vi.waitFor(() => expect(got.at(-1)).toBe('more '));
    }
    expect(got.filter((g) => g.startsWith('<'))).toEqual([
      '<buffer-overflow>',
      '<line-error>',
      '<line-error>',
      '<line-error>',
      '<bytes-lost>',
    ]);
    await reading.stop();
    expect(port.readable?.locked).toBe(false);
  });

  it('ends as lost when the device goes, and gives the lock back', async () => {
    const port = new PortDouble();
    await port.open({ baudRate: 9600, bufferSize: 65536 });
    const reading = readPort(port, () => undefined, () => undefined); // prettier-ignore
    port.lose();
    await expect(reading.ended).resolves.toBe('lost');
  });

  it('gives up on a driver that only makes errors instead of spinning for ever', async () => {
    const port = new PortDouble();
    await port.open({ baudRate: 9600, bufferSize: 65536 });
    let gaps = 0;
    const reading = readPort(
      port,
      () => undefined,
      () => {
        gaps += 1;
        queueMicrotask(() => port.stumble('UnknownError'));
      },
    );
    port.stumble('UnknownError');
    await expect(reading.ended).resolves.toBe('lost');
    expect(gaps).toBeLessThanOrEqual(20);
  });

  it('takes an error of a listener for what it is, not for a pulled cable', async () => {
    const port = new PortDouble();
    await port.open({ baudRate: 9600, bufferSize: 65536 });
    const reading = readPort(
      port,
      () => {
        throw new Error('a bug of ours');
      },
      () => undefined,
    );
    port.send('one');
    await expect(reading.ended).rejects.toThrow('a bug of ours');
    expect(port.readable?.locked).toBe(false);
    await expect(reading.stop()).resolves.toBeUndefined();
  });

  it('can be stopped and the port closed at once', async () => {
    const port = new PortDouble();
    await port.open({ baudRate: 9600, bufferSize: 65536 });
    const reading = readPort(port, () => undefined, () => undefined); // prettier-ignore
    await reading.stop();
    await expect(reading.ended).resolves.toBe('stopped');
    await expect(port.close()).resolves.toBeUndefined();
  });
});

function aSource(
  serial: SerialDouble,
  retry_ms = 1,
  portIndex = 0,
): { source: SerialSource; sink: SourceSink; log: string[] } {
  const log: string[] = [];
  const source = new SerialSource({
    serial,
    portIndex,
    baudRate: 9600,
    description: { kind: 'scale', bareUnit: 'g', averagedReadings: null },
    clock_s: () => 0,
    retry_ms,
  });
  const sink: SourceSink = {
    chunk: (chunk) => log.push(text(chunk.bytes)),
    gap: (because) => log.push(`<${because}>`),
    lost: () => log.push('<lost>'),
    back: () => log.push('<back>'),
  };
  return { source, sink, log };
}

describe('a serial instrument', () => {
  it('is opened with a large buffer at the baud rate asked for', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink } = aSource(serial);
    expect(await source.start(sink)).toEqual({ ok: true, value: true });
    expect(port.openedWith).toEqual({ baudRate: 9600, bufferSize: 65536 });
    await source.close();
    expect(port.openedWith).toBeNull();
  });

  it('comes back as a new port object after an unplug and reads on', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink, log } = aSource(serial);
    await source.start(sink);
    port.send('before');
    await vi.waitFor(() => expect(log).toEqual(['before']));
    serial.unplug(port);
    await vi.waitFor(() => expect(log).toContain('<lost>'));
    const again = new PortDouble();
    serial.plug(again);
    await vi.waitFor(() => expect(log).toContain('<back>'));
    again.send('after');
    await vi.waitFor(() => expect(log.at(-1)).toBe('after'));
    await source.close();
  });

  it('does not take another kind of device for the lost one', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink, log } = aSource(serial);
    await source.start(sink);
    serial.unplug(port);
    await vi.waitFor(() => expect(log).toContain('<lost>'));
    const other = new PortDouble({ usbVendorId: 9, usbProductId: 9 });
    serial.plug(other);
    const again = new PortDouble();
    serial.plug(again);
    await vi.waitFor(() => expect(log).toContain('<back>'));
    expect(other.timesOpened).toBe(0);
    await source.close();
  });

  it('leaves a port that opens and then fails more and more time, until a byte comes', async () => {
    vi.useFakeTimers();
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink, log } = aSource(serial, 250);
    await source.start(sink);
    const open = port.open.bind(port);
    port.open = async (options) => {
      await open(options);
      queueMicrotask(() => port.lose());
    };
    port.lose();
    await vi.advanceTimersByTimeAsync(10_000);
    // 0, 250, 500, 1000 and then every 2000 ms.
    expect(port.timesOpened).toBeGreaterThan(4);
    expect(port.timesOpened).toBeLessThanOrEqual(10);
    port.open = open;
    await vi.advanceTimersByTimeAsync(2000);
    expect(log.at(-1)).toBe('<back>');
    port.send('byte');
    await vi.advanceTimersByTimeAsync(0);
    port.lose();
    await vi.advanceTimersByTimeAsync(0);
    expect(log.slice(-3)).toEqual(['byte', '<lost>', '<back>']);
    await source.close();
    vi.useRealTimers();
  });

  it('tells no loss when it is closed while a lost port is being closed', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink, log } = aSource(serial);
    await source.start(sink);
    let letGo: () => void = () => undefined;
    const closing = vi
      .spyOn(port, 'close')
      .mockImplementationOnce(() => new Promise((resolve) => (letGo = resolve)));
    serial.unplug(port);
    await vi.waitFor(() => expect(closing).toHaveBeenCalled());
    await source.close();
    letGo();
    await new Promise((resolve) => setTimeout(resolve, 5));
    expect(log).toEqual([]);
  });

  it('does not take a second scale of the same make, which was there all along, for the lost one', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    const second = new PortDouble();
    serial.plug(port);
    serial.plug(second);
    const { source, sink, log } = aSource(serial);
    await source.start(sink);
    serial.unplug(port);
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(log).toEqual(['<lost>']);
    const again = new PortDouble();
    serial.plug(again);
    await vi.waitFor(() => expect(log.at(-1)).toBe('<back>'));
    expect([second.timesOpened, again.timesOpened]).toEqual([0, 1]);
    await source.close();
  });

  it('opens the port that was picked and no other in its place', async () => {
    const serial = new SerialDouble();
    const port = new PortDouble();
    serial.plug(port);
    const { source, sink } = aSource(serial, 1, 7);
    expect(await source.start(sink)).toMatchObject({ ok: false, because: 'no-port-picked' });
    expect(port.timesOpened).toBe(0);
  });

  it('says so when another program has the port, and when none was picked', async () => {
    const serial = new SerialDouble();
    const { source, sink } = aSource(serial);
    expect(await source.start(sink)).toMatchObject({ ok: false, because: 'no-port-picked' });
    const port = new PortDouble();
    port.busy = true;
    serial.plug(port);
    expect(await source.start(sink)).toMatchObject({ ok: false, because: 'port-busy-or-gone' });
  });
});
