import { LiveSweep } from '../../src/session/live-sweep.ts';
import type { Announcement } from '../../src/session/prompt.ts';
import type { SweepCommand } from '../../src/session/sweep-command.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import type { GapReason } from '../../src/base/because.ts';
import { createDecoder } from '../../src/signal/streams/decoder.ts';
import { seeded } from './seeded.ts';

/** A sweep fed by hand, ten lines a second of a one-gram scale: for what no simulated person would do. */
export class HandFedSweep {
  readonly live: LiveSweep;
  readonly said: Announcement[] = [];
  now_s = 0;
  grams: number;
  readonly #decoder = createDecoder({ kind: 'scale', bareUnit: 'g', averagedReadings: 1 });
  readonly #noise = seeded(4);

  constructor(setup: SweepSetup, order: readonly number[], startsAt_g = 1000) {
    this.grams = startsAt_g;
    this.live = new LiveSweep({
      setup,
      order,
      header: { instrument: 'scale', unit: 'g', averagedReadings: 1, wand: setup.rig.wand, unknown: {} },
    });
    this.take(this.live.begin(0));
  }

  take(commands: readonly SweepCommand[]): void {
    for (const command of commands) if (command.kind === 'announce') this.said.push(command.announcement);
  }

  /** Water (or a hand) at so many grams a second; 0 is quiet. */
  run(seconds: number, grams_per_s = 0): this {
    for (let i = 0; i < Math.round(seconds * 10); i += 1) {
      this.now_s += 0.1;
      this.grams += grams_per_s / 10;
      const jet_g = grams_per_s === 0 ? 0 : 5;
      this.line((this.grams + jet_g + this.#noise() - 0.5).toFixed(0));
    }
    return this;
  }

  line(text: string): void {
    const raw = { arrival_s: this.now_s, line: text, cut: false };
    this.take(this.live.accept(raw, this.#decoder.decode(raw)));
  }

  /** Lines without a number, as a display shows them under or over its range. */
  dashes(seconds: number): this {
    for (let i = 0; i < seconds * 10; i += 1) {
      this.now_s += 0.1;
      this.line('  ------');
    }
    return this;
  }

  lose(because: GapReason = 'device-lost'): this {
    this.#decoder.gap(this.now_s, because);
    this.take(this.live.gap(this.now_s, because));
    return this;
  }

  back(): this {
    this.take(this.live.instrumentBack(this.now_s));
    return this;
  }

  get kinds(): string[] {
    return this.said.map((a) => a.kind);
  }
}
