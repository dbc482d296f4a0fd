import type { Chunk } from '../signal/reading.ts';
import type { Random } from './random.ts';
import type { Scenario } from './scenario.ts';

const CUT_CHANCE = 0.15;

/** The way to the host: latency of the bridge, stalls that hold back all that follows, and lines cut anywhere. */
export class UsbLine {
  private readonly random: Random;
  private readonly cuts: Random;
  private last_s = 0;
  private waiting: Chunk[] = [];

  constructor(
    private readonly scenario: Scenario,
    random: Random,
  ) {
    this.random = random.stream('usb');
    this.cuts = random.stream('cuts');
  }

  /** Arrival on the host's clock of what left at `sent_s`. Never decreases. */
  arrival_s(sent_s: number): number {
    const latency_s = this.random.within(this.scenario.latency_s);
    const stall_s = this.random.uniform(0.06, 0.14);
    const stalls = this.random.chance(this.scenario.stallChance);
    this.last_s = Math.max(this.last_s, sent_s + latency_s + (stalls ? stall_s : 0));
    return this.last_s;
  }

  /** Send printable text whose last byte leaves at `sent_s`; now and then it comes in two pieces. */
  send(text: string, sent_s: number): void {
    const at = this.cuts.chance(CUT_CHANCE) ? Math.floor(this.cuts.uniform(1, text.length)) : text.length;
    this.waiting.push({ arrival_s: this.arrival_s(sent_s), bytes: bytesOf(text.slice(0, at)) });
    if (at < text.length) {
      this.last_s += this.cuts.within(this.scenario.latency_s) / 4;
      this.waiting.push({ arrival_s: this.last_s, bytes: bytesOf(text.slice(at)) });
    }
  }

  /** What has arrived by `t_s`; bytes of one moment are one chunk. */
  take(t_s: number): Chunk[] {
    const chunks: Chunk[] = [];
    let together: Chunk[] = [];
    let taken = 0;
    for (const piece of this.waiting) {
      if (piece.arrival_s > t_s) break;
      taken += 1;
      if (together[0] !== undefined && together[0].arrival_s !== piece.arrival_s) {
        chunks.push(joined(together));
        together = [];
      }
      together.push(piece);
    }
    if (together.length > 0) chunks.push(joined(together));
    this.waiting = this.waiting.slice(taken);
    return chunks;
  }
}

function joined(pieces: readonly Chunk[]): Chunk {
  const bytes = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.bytes.length, 0));
  let filled = 0;
  for (const piece of pieces) {
    bytes.set(piece.bytes, filled);
    filled += piece.bytes.length;
  }
  return { arrival_s: pieces[0]?.arrival_s ?? 0, bytes };
}

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (letter) => letter.charCodeAt(0));
}
