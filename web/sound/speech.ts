/**
 * A voice, where this device has one of its own. Extra to the tones: nothing ever waits for it. Only a local voice is used
 * (others need the network, and hang), the newest line replaces the one before, and a line that never ends is cut off.
 */

/** What is needed of `speechSynthesis`; a test gives its own. */
export interface SpeechLike {
  getVoices(): readonly SpeechSynthesisVoice[];
  speak(utterance: SpeechSynthesisUtterance): void;
  cancel(): void;
}

export interface SpeechSurroundings {
  readonly synthesis: SpeechLike | null;
  readonly utter: (text: string) => SpeechSynthesisUtterance;
  /** Runs after `wait_ms`; answers with how to call it off. */
  readonly later: (run: () => void, wait_ms: number) => () => void;
}

/** Lines are short; one that has not ended by then never will. */
const WATCHDOG_MS = 6000;

export class Speaker {
  readonly #surroundings: SpeechSurroundings;
  #callOff: () => void = () => undefined;

  constructor(surroundings: SpeechSurroundings) {
    this.#surroundings = surroundings;
  }

  /** The list of voices may come late, so it is asked each time. */
  get voice(): SpeechSynthesisVoice | null {
    const local = (this.#surroundings.synthesis?.getVoices() ?? []).filter((voice) => voice.localService);
    return local.find((voice) => voice.lang.toLowerCase().startsWith('en')) ?? null;
  }

  /** @returns whether a voice was asked to speak. */
  say(text: string): boolean {
    const { synthesis, utter, later } = this.#surroundings;
    const voice = this.voice;
    if (synthesis === null || voice === null) return false;
    this.#callOff();
    synthesis.cancel();
    const utterance = utter(text);
    utterance.voice = voice;
    utterance.lang = voice.lang;
    const callOff = later(() => synthesis.cancel(), WATCHDOG_MS);
    utterance.onend = callOff;
    utterance.onerror = callOff;
    this.#callOff = callOff;
    synthesis.speak(utterance);
    return true;
  }
}
