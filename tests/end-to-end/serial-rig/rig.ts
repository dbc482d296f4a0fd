/**
 * Node's side of the serial rig: makes its folder, starts instruments, and says how to start the browser.
 * How it works: README.md here. Needs Linux, root, gcc, python3 and an unused text console.
 */
import { spawn, spawnSync, type ChildProcessWithoutNullStreams } from 'node:child_process';
import { EventEmitter, once } from 'node:events';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const HERE = fileURLToPath(new URL('.', import.meta.url));
/** Rigs that run at once on a machine hear each other's plugs: each takes consoles and a device major of its own. */
const RIG_NUMBERS = 14;

export interface InstrumentSettings {
  /** 0..3: the port is called ttyACM0..3. */
  readonly port?: number;
  /** USB ids in hex; an empty vendor makes a port that is no USB device. */
  readonly vendor?: string;
  readonly product?: string;
  readonly name?: string;
  /** An empty serial number makes a device whose permission dies when it is unplugged. */
  readonly serial?: string;
  /** Bytes leave at the speed the page opened with, in a USB adapter's packets. */
  readonly paced?: boolean;
}

export interface PortConfiguration {
  readonly baud: number;
  readonly bits: number;
  readonly parity: 'none' | 'even' | 'odd';
  readonly stop: number;
}

export interface InstrumentEvent {
  readonly event: 'ready' | 'opened' | 'configured' | 'lines' | 'closed' | 'written' | 'dropped' | 'done';
  readonly [fact: string]: unknown;
}

/** Why the rig can't run here, in words; null when it can. */
export function whyNoRig(): string | null {
  if (process.platform !== 'linux') return 'it needs Linux';
  if (process.getuid?.() !== 0) return 'it needs root (a mount namespace and hot-plug messages)';
  for (const file of ['/usr/lib/chromium/chromium', '/usr/bin/gcc', '/sys/class/tty/tty63']) {
    if (!existsSync(file)) return `there is no ${file}`;
  }
  for (const [tool, ...args] of [
    ['python3', '--version'],
    ['unshare', '--mount', 'true'],
    ['setpriv', '--version'],
  ]) {
    if (spawnSync(tool!, args).status !== 0) return `${tool!} can't be run here`;
  }
  return null;
}

/** The shim is compiled where it is used, when it is missing or older than its source. */
function compiledShim(): string {
  const source = join(HERE, 'port-shim.c');
  const made = join(HERE, 'port-shim.so');
  if (existsSync(made) && statSync(made).mtimeMs >= statSync(source).mtimeMs) return made;
  const making = `${made}.${String(process.pid)}.so`;
  const compiler = spawnSync('gcc', ['-O2', '-shared', '-fPIC', '-o', making, source, '-ldl']);
  if (compiler.status !== 0) throw new Error(`The shim does not compile:\n${compiler.stderr.toString()}`);
  renameSync(making, made);
  return made;
}

/** One program that plays a serial device. Emits every `InstrumentEvent` by its name, and `bytes` for what the page wrote. */
export class Instrument extends EventEmitter {
  readonly log: InstrumentEvent[] = [];
  /** Everything the page wrote. */
  written = Buffer.alloc(0);
  readonly #program: ChildProcessWithoutNullStreams;

  constructor(folder: string, settings: InstrumentSettings & { readonly rig: number }) {
    super();
    this.#program = spawn('python3', [join(HERE, 'instrument.py'), folder, JSON.stringify(settings)]);
    this.#program.stderr.pipe(process.stderr);
    this.#program.stdin.on('error', () => {
      // The program has ended: its exit tells why.
    });
    createInterface(this.#program.stdout).on('line', (line) => {
      const told = JSON.parse(line) as InstrumentEvent;
      this.log.push(told);
      if (told.event === 'written') {
        const bytes = Buffer.from(String(told['bytes']), 'base64');
        this.written = Buffer.concat([this.written, bytes]);
      }
      this.emit(told.event, told);
    });
  }

  /** Resolves with the first event of this name told from `since` (an index into `log`) on, waiting if it is still to come. */
  async told(event: InstrumentEvent['event'], since = 0): Promise<InstrumentEvent> {
    const already = this.log.slice(since).find((entry) => entry.event === event);
    if (already !== undefined) return already;
    const [entry] = (await once(this, event)) as [InstrumentEvent];
    return entry;
  }

  get running(): boolean {
    return this.#program.exitCode === null && this.#program.signalCode === null;
  }

  send(bytes: Uint8Array | string): void {
    this.#order({ do: 'send', bytes: Buffer.from(bytes).toString('base64') });
  }

  /** Hang-up, then the hot-plug event; either can be left out. */
  async unplug(how: { readonly hangUp?: boolean; readonly announce?: boolean } = {}): Promise<void> {
    await this.#obeyed({ do: 'unplug', ...how });
  }

  async plug(): Promise<void> {
    await this.#obeyed({ do: 'plug' });
  }

  /** Another program holds the port, until `release`. */
  async hold(): Promise<void> {
    await this.#obeyed({ do: 'hold' });
  }

  async release(): Promise<void> {
    await this.#obeyed({ do: 'release' });
  }

  /** The next read of the page begins with a break on the line. */
  async breakOnLine(): Promise<void> {
    await this.#obeyed({ do: 'mark', bytes: Buffer.from([0xff, 0, 0]).toString('base64') });
  }

  async stop(): Promise<void> {
    if (!this.running) return;
    const over = once(this.#program, 'exit');
    this.#order({ do: 'quit' });
    const killer = setTimeout(() => this.#program.kill('SIGKILL'), 3000);
    await over;
    clearTimeout(killer);
  }

  #order(order: Record<string, unknown>): void {
    if (this.running) this.#program.stdin.write(JSON.stringify(order) + '\n');
  }

  async #obeyed(order: Record<string, unknown>): Promise<void> {
    const since = this.log.length;
    this.#order(order);
    await this.told('done', since);
  }
}

/** The folder that browser and instruments share. `origin` may use every serial port without being asked. */
export class SerialRig {
  readonly folder = mkdtempSync(join(tmpdir(), 'serial-rig-'));
  readonly #rig = process.pid % RIG_NUMBERS;
  readonly #instruments: Instrument[] = [];

  constructor(origin: string, options: { readonly nothingGranted?: boolean } = {}) {
    const policy = join(this.folder, 'policy/policies/managed');
    for (const part of ['udev/data', 'dev', 'wires']) mkdirSync(join(this.folder, part), { recursive: true });
    mkdirSync(policy, { recursive: true });
    writeFileSync(join(this.folder, 'udev/control'), '');
    writeFileSync(join(this.folder, 'drivers'), `acm /dev/ttyACM ${String(240 + this.#rig)} 0-255 serial\n`);
    if (existsSync('/etc/chromium/master_preferences')) {
      copyFileSync('/etc/chromium/master_preferences', join(this.folder, 'policy/master_preferences'));
    }
    writeFileSync(
      join(policy, 'serial.json'),
      JSON.stringify(
        options.nothingGranted
          ? { SerialBlockedForUrls: [origin] }
          : { SerialAllowAllPortsForUrls: [origin] },
      ),
    );
  }

  async plugIn(settings: InstrumentSettings = {}): Promise<Instrument> {
    const port = settings.port ?? this.#instruments.length;
    const instrument = new Instrument(this.folder, {
      vendor: '1209',
      product: '0001',
      name: 'Test instrument',
      serial: `RIG${String(port)}`,
      ...settings,
      port,
      rig: this.#rig,
    });
    this.#instruments.push(instrument);
    await instrument.told('ready');
    return instrument;
  }

  /** What Playwright must be told to start the browser inside the rig. */
  launch(): { readonly executablePath: string; readonly env: Record<string, string> } {
    const environment = Object.entries(process.env).filter(
      (pair): pair is [string, string] => pair[1] !== undefined,
    );
    return {
      executablePath: join(HERE, 'launch-chromium'),
      env: {
        ...Object.fromEntries(environment),
        SERIAL_RIG: this.folder,
        SERIAL_RIG_SHIM: compiledShim(),
      },
    };
  }

  async close(): Promise<void> {
    await Promise.all(this.#instruments.map((instrument) => instrument.stop()));
    rmSync(this.folder, { recursive: true, force: true });
  }
}
