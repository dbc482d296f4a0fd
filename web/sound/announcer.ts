/** Tones always, speech where there is a voice; each can be switched off. */
import type { Announcement } from '../contract.ts';
import { Beat } from './beat.ts';
import { Speaker, type SpeechLike } from './speech.ts';
import { tonePatterns, TonePlayer } from './tones.ts';

export interface SoundChoices {
  readonly tones: boolean;
  readonly voice: boolean;
}

export interface Sounds {
  arm(): void;
  tell(kind: Announcement['kind'], spoken: string, voiceToo: boolean): void;
  hasVoice(): boolean;
  /** Keeps the beat of a hand pump going, or stops it: asked with each view, several times a second. */
  beat(period_s: number | null): void;
}

export function makeSounds(player: TonePlayer, speaker: Speaker, choices: () => SoundChoices): Sounds {
  const beat = new Beat(() => player.context);
  return {
    beat: (period_s) => beat.keep(choices().tones ? period_s : null),
    arm: () => player.arm(),
    hasVoice: () => speaker.voice !== null,
    tell: (kind, spoken, voiceToo) => {
      const { tones, voice } = choices();
      if (tones) player.play(tonePatterns[kind]);
      if (voice && voiceToo) speaker.say(spoken);
    },
  };
}

/** The browser's own sound, as far as it has any. */
export function browserSounds(view: Window & typeof globalThis, choices: () => SoundChoices): Sounds {
  const player = new TonePlayer(() => ('AudioContext' in view ? new view.AudioContext() : null));
  const synthesis: SpeechLike | null = 'speechSynthesis' in view ? view.speechSynthesis : null;
  const speaker = new Speaker({
    synthesis,
    utter: (text) => new view.SpeechSynthesisUtterance(text),
    later: (run, wait_ms) => {
      const timer = view.setTimeout(run, wait_ms);
      return () => view.clearTimeout(timer);
    },
  });
  return makeSounds(player, speaker, choices);
}
