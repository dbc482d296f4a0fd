import { expect, test, vi } from 'vitest';
import { Beat } from '../../../../web/sound/beat.ts';
import { makeSounds } from '../../../../web/sound/announcer.ts';
import { Speaker, type SpeechLike } from '../../../../web/sound/speech.ts';
import { tonePatterns, TonePlayer, type ToneContext } from '../../../../web/sound/tones.ts';

function fakeContext() {
  const notes: { pitch: number; start: number; stop: number }[] = [];
  const clock = { currentTime: 0 };
  const parameter = () => ({ setValueAtTime: () => undefined, linearRampToValueAtTime: () => undefined });
  const context = {
    get currentTime() {
      return clock.currentTime;
    },
    state: 'running',
    destination: {},
    resume: () => Promise.resolve(),
    createGain: () => ({ gain: parameter(), connect: (next: unknown) => next }),
    createOscillator: () => {
      const note = { pitch: 0, start: 0, stop: 0 };
      return {
        frequency: { setValueAtTime: (pitch: number) => (note.pitch = pitch) },
        connect: (next: unknown) => next,
        start: (at: number) => (note.start = at),
        stop: (at: number) => {
          note.stop = at;
          notes.push(note);
        },
      };
    },
  };
  return { notes, clock, context: context as unknown as ToneContext };
}

test('the five that matter are told apart by pitch and by pattern', () => {
  const kinds = ['start-heard', 'enough', 'void', 'set-and-spray', 'done'] as const;
  const pitches = kinds.map((kind) =>
    tonePatterns[kind].filter(([pitch]) => pitch > 0).map(([pitch]) => pitch),
  );
  expect(new Set(pitches.map(String)).size).toBe(kinds.length);
  // Without pitch: how many notes and how long each, still different.
  const rhythms = kinds.map((kind) => tonePatterns[kind].map(([, length]) => length));
  expect(new Set(rhythms.map(String)).size).toBe(kinds.length);
});

test('tones are scheduled on the audio clock and never overlap', () => {
  const { notes, clock, context } = fakeContext();
  const player = new TonePlayer(() => context);
  player.arm();
  clock.currentTime = 5;
  player.play(tonePatterns.enough);
  player.play(tonePatterns['set-and-spray']);
  expect(notes).toHaveLength(5);
  expect(notes[0]!.start).toBeGreaterThan(5);
  for (const [index, note] of notes.slice(1).entries())
    expect(note.start).toBeGreaterThanOrEqual(notes[index]!.stop - 0.02);
});

test('a pattern that would come far too late is dropped', () => {
  const { notes, context } = fakeContext();
  const player = new TonePlayer(() => context);
  player.arm();
  for (let round = 0; round < 20; round += 1) player.play(tonePatterns.done);
  expect(notes.length).toBeLessThanOrEqual(12);
});

test('nothing sounds before Go', () => {
  const open = vi.fn(() => null);
  new TonePlayer(open).play(tonePatterns.done);
  expect(open).not.toHaveBeenCalled();
});

const voice = (localService: boolean, lang = 'en-GB') => ({ localService, lang }) as SpeechSynthesisVoice;

function fakeSpeech(voices: SpeechSynthesisVoice[]) {
  const spoken: SpeechSynthesisUtterance[] = [];
  const cancel = vi.fn();
  const synthesis: SpeechLike = {
    getVoices: () => voices,
    speak: (one) => spoken.push(one),
    cancel,
  };
  const timers: (() => void)[] = [];
  const callOff = vi.fn();
  const speaker = new Speaker({
    synthesis,
    utter: (text) => ({ text }) as SpeechSynthesisUtterance,
    later: (run) => {
      timers.push(run);
      return callOff;
    },
  });
  return { spoken, cancel, speaker, timers, callOff };
}

test('only a voice of this device speaks', () => {
  expect(fakeSpeech([voice(false)]).speaker.say('Enough.')).toBe(false);
  const { speaker, spoken } = fakeSpeech([voice(false), voice(true, 'de-DE'), voice(true)]);
  expect(speaker.say('Enough.')).toBe(true);
  expect(spoken[0]).toMatchObject({ text: 'Enough.', lang: 'en-GB' });
});

test('a new line replaces the one before, and one that never ends is cut off', () => {
  const { speaker, cancel, timers, callOff } = fakeSpeech([voice(true)]);
  speaker.say('one');
  speaker.say('two');
  expect(cancel).toHaveBeenCalledTimes(2);
  expect(callOff).toHaveBeenCalledOnce();
  timers[1]!();
  expect(cancel).toHaveBeenCalledTimes(3);
});

test('tones and voice can each be switched off', () => {
  const { notes, context } = fakeContext();
  const { speaker, spoken } = fakeSpeech([voice(true)]);
  const choices = { tones: false, voice: true };
  const sounds = makeSounds(new TonePlayer(() => context), speaker, () => choices);
  sounds.arm();
  sounds.tell('enough', 'Enough.', true);
  expect([notes.length, spoken.length]).toEqual([0, 1]);
  choices.tones = true;
  choices.voice = false;
  sounds.tell('enough', 'Enough.', true);
  expect([notes.length, spoken.length]).toEqual([3, 1]);
});

test('the beat is scheduled ahead on the audio clock, evenly, never twice, and stops when it is not asked for', () => {
  const { notes, clock, context } = fakeContext();
  const beat = new Beat(() => context);
  for (clock.currentTime = 0; clock.currentTime < 10; clock.currentTime += 0.25) beat.keep(0.8);
  const starts = notes.map(({ start }) => start);
  expect(starts.length).toBeGreaterThan(12);
  for (let i = 1; i < starts.length; i += 1) expect(starts[i]! - starts[i - 1]!).toBeCloseTo(0.8, 9);
  beat.keep(null);
  const sounded = notes.length;
  clock.currentTime += 5;
  beat.keep(null);
  expect(notes.length).toBe(sounded);
  // Asked for again after a pause it goes on from now, not with all its clicks at once.
  beat.keep(0.8);
  expect(notes.length - sounded).toBeLessThanOrEqual(2);
  expect(notes.at(-1)!.start).toBeGreaterThan(clock.currentTime);
  new Beat(() => null).keep(1);
});
