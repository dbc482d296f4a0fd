/** Tones always, speech where there is a voice; each can be switched off. */
import type { Announcement } from '../contract.ts';
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
}

export function makeSounds(player: TonePlayer, speaker: Speaker, choices: () => SoundChoices): Sounds {
  return {
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
