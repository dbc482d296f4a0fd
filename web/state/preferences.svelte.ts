import { shownUnits, type ShownUnits, type UnitSystem } from '../wording/units.ts';

export type Theme = 'day' | 'night' | 'sun';

export const limitRatios = [1.05, 1.07, 1.1, 1.15] as const;
export type LimitRatio = (typeof limitRatios)[number];

/** Also read by public/first-light.js before the first paint. */
export const PREFERENCES_KEY = 'catchbench.preferences';

type Store = Pick<Storage, 'getItem' | 'setItem'>;

/** The person's own options, kept in the browser. A store that fails costs the memory of them, nothing else. */
export class Preferences {
  system = $state<UnitSystem>('us');
  /** While the page is printed: paper is day, whatever light the screen has. */
  onPaper = $state(false);
  tones = $state(true);
  voice = $state(true);
  /** Flow over the reference at which a tip counts as worn: a habit of the trade, 1.10 unless chosen. */
  limitRatio = $state<LimitRatio>(1.1);
  #theme = $state<Theme>('day');
  readonly #store: Store | null;

  constructor(store: Store | null) {
    this.#store = store;
    const kept = this.#read();
    if (kept['system'] === 'us' || kept['system'] === 'metric') this.system = kept['system'];
    if (kept['theme'] === 'day' || kept['theme'] === 'night' || kept['theme'] === 'sun')
      this.theme = kept['theme'];
    if (typeof kept['tones'] === 'boolean') this.tones = kept['tones'];
    if (typeof kept['voice'] === 'boolean') this.voice = kept['voice'];
    const limit = limitRatios.find((one) => one === kept['limitRatio']);
    if (limit !== undefined) this.limitRatio = limit;
  }

  get theme(): Theme {
    return this.onPaper ? 'day' : this.#theme;
  }

  set theme(theme: Theme) {
    this.#theme = theme;
  }

  get units(): ShownUnits {
    return shownUnits[this.system];
  }

  change(
    change: Partial<{
      system: UnitSystem;
      theme: Theme;
      tones: boolean;
      voice: boolean;
      limitRatio: LimitRatio;
    }>,
  ): void {
    Object.assign(this, change);
    const { system, theme, tones, voice, limitRatio } = this;
    try {
      this.#store?.setItem(PREFERENCES_KEY, JSON.stringify({ system, theme, tones, voice, limitRatio }));
    } catch {
      // Storage is full or forbidden: the choice holds for this visit.
    }
  }

  #read(): Record<string, unknown> {
    try {
      const kept: unknown = JSON.parse(this.#store?.getItem(PREFERENCES_KEY) ?? '{}');
      return typeof kept === 'object' && kept !== null ? { ...kept } : {};
    } catch {
      return {};
    }
  }
}
