/**
 * Tones for what is heard over a pump: told apart by pitch and by pattern, so that one of the two is enough.
 * They are scheduled on the audio clock, never by timers, and follow each other without overlap.
 */
import type { Announcement } from '../contract.ts';

/** One note: pitch in Hz (0 is a rest) and length in seconds. */
export type Note = readonly [pitch_Hz: number, length_s: number];

export const tonePatterns: Readonly<Record<Announcement['kind'], readonly Note[]>> = {
  // One short, middle: "I hear it."
  'start-heard': [[660, 0.16]],
  // Three quick, high: "Enough."
  enough: [
    [990, 0.12],
    [0, 0.06],
    [990, 0.12],
    [0, 0.06],
    [990, 0.12],
  ],
  kept: [],
  'pour-kept': [],
  'pressure-read': [],
  // Two rising, twice: "Turn, the water runs on."
  'turn-while-spraying': [
    [520, 0.12],
    [0, 0.03],
    [780, 0.14],
    [0, 0.08],
    [520, 0.12],
    [0, 0.03],
    [780, 0.14],
  ],
  // As when water is heard.
  'steady-again': [[660, 0.16]],
  // Two long, falling, low: "Void."
  void: [
    [330, 0.35],
    [0, 0.05],
    [220, 0.5],
  ],
  'not-water': [[260, 0.2]],
  // Two rising: "Next setting."
  'set-and-spray': [
    [520, 0.14],
    [0, 0.04],
    [780, 0.2],
  ],
  'empty-pail': [
    [520, 0.14],
    [0, 0.04],
    [390, 0.14],
    [0, 0.04],
    [520, 0.14],
  ],
  // As when the pail is to be emptied.
  'move-pail': [
    [520, 0.14],
    [0, 0.04],
    [390, 0.14],
    [0, 0.04],
    [520, 0.14],
  ],
  // Two rising, held: "Go on?"
  'more-catches': [
    [520, 0.14],
    [0, 0.04],
    [780, 0.4],
  ],
  'refill-tank': [
    [520, 0.14],
    [0, 0.04],
    [390, 0.14],
    [0, 0.04],
    [520, 0.14],
  ],
  // Like "empty the pail", and lower at the end: it can't go on so.
  'pail-too-small': [
    [520, 0.14],
    [0, 0.04],
    [390, 0.14],
    [0, 0.04],
    [260, 0.3],
  ],
  'instrument-lost': [
    [330, 0.3],
    [0, 0.05],
    [220, 0.3],
    [0, 0.15],
    [330, 0.3],
    [0, 0.05],
    [220, 0.3],
  ],
  'instrument-back': [
    [440, 0.12],
    [0, 0.04],
    [660, 0.16],
  ],
  // One short, bright: a check goes on.
  check: [[880, 0.14]],
  'rig-check': [[880, 0.14]],
  paused: [[440, 0.3]],
  resumed: [[588, 0.3]],
  struck: [[300, 0.15]],
  // Four rising: "Done."
  done: [
    [523, 0.14],
    [659, 0.14],
    [784, 0.14],
    [1047, 0.4],
  ],
};

const LOUDNESS = 0.4;
/** Edges are ramped, or they click. */
const RAMP_S = 0.012;
/** Behind by more than this (a bench at 20x), a new pattern is dropped rather than told too late. */
const MOST_BEHIND_S = 1.5;

/** What is needed of an AudioContext; a test gives its own. */
export type ToneContext = Pick<
  AudioContext,
  'currentTime' | 'destination' | 'createOscillator' | 'createGain' | 'resume' | 'state'
>;

export class TonePlayer {
  readonly #open: () => ToneContext | null;
  #context: ToneContext | null = null;
  #freeAt_s = 0;

  /** @param open makes the audio context, or null where there is none; called once, inside a press. */
  constructor(open: () => ToneContext | null) {
    this.#open = open;
  }

  arm(): void {
    this.#context ??= this.#open();
    if (this.#context?.state === 'suspended') this.#context.resume().catch(() => undefined);
  }

  /** What the beat is scheduled on; null before `arm` or where there is no sound. */
  get context(): ToneContext | null {
    return this.#context;
  }

  play(notes: readonly Note[]): void {
    const context = this.#context;
    if (context === null || notes.length === 0) return;
    const now_s = context.currentTime;
    if (this.#freeAt_s - now_s > MOST_BEHIND_S) return;
    let at_s = Math.max(now_s + 0.02, this.#freeAt_s);
    for (const [pitch_Hz, length_s] of notes) {
      if (pitch_Hz > 0) schedule(context, pitch_Hz, at_s, length_s);
      at_s += length_s;
    }
    this.#freeAt_s = at_s + 0.1;
  }
}

export function schedule(
  context: ToneContext,
  pitch_Hz: number,
  at_s: number,
  length_s: number,
  loudness = LOUDNESS,
): void {
  const oscillator = context.createOscillator();
  const gain = context.createGain();
  oscillator.frequency.setValueAtTime(pitch_Hz, at_s);
  gain.gain.setValueAtTime(0, at_s);
  gain.gain.linearRampToValueAtTime(loudness, at_s + RAMP_S);
  gain.gain.setValueAtTime(loudness, at_s + length_s - RAMP_S);
  gain.gain.linearRampToValueAtTime(0, at_s + length_s);
  oscillator.connect(gain).connect(context.destination);
  oscillator.start(at_s);
  oscillator.stop(at_s + length_s + RAMP_S);
}
