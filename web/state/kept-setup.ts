/** The tip, rig and plan typed last, kept in the browser, so that nobody types their own set-up twice. */
import { blankFields, type SetupFields } from './setup-fields.ts';
import type { TypedSetup } from './setup-form.svelte.ts';

export const KEPT_SETUP_KEY = 'catchbench.setup';

type Store = Pick<Storage, 'getItem' | 'setItem'>;

/** Longer is no name and no number of ours. */
const LONGEST_TEXT = 200;

const choices: { readonly [Name in keyof SetupFields]?: readonly string[] } = {
  control: ['turns-freely', 'clicks-or-shows'],
  wand: ['guided', 'hand-held'],
  order: ['random', 'as-listed'],
  protocol: ['each-catch', 'one-pour'],
  settingsFrom: ['prompts', 'sensor'],
  rigKind: ['held', 'pumped-while-spraying', 'pumped-up', 'hose-reel'],
  standsOnScale: ['pail', 'sprayer'],
  routine: ['one-tip', 'tip-against-tip', 'bag', 'boom'],
  gaugeAt: ['not-told', 'pump', 'wand'],
  occasion: ['sweep', 'new-tip', 'weekly-check'],
};

/** Fields that came later: a set-up kept before them is whole without. */
const laterFields: ReadonlySet<keyof SetupFields> = new Set([
  'protocol',
  'settingsFrom',
  'rigKind',
  'beat',
  'standsOnScale',
  'routine',
  'otherTip',
  'difference',
  'positions',
  'gaugeAt',
  'hoseLength',
  'hoseBore',
  'tipHeight',
  'weakestRating',
  'occasion',
]);

/** A store that fails costs the memory of it, nothing else. */
export class KeptSetup {
  readonly #store: Store | null;
  /** Holds for this visit also where there is no store. */
  #latest: TypedSetup | null;

  constructor(store: Store | null) {
    this.#store = store;
    this.#latest = readSetup(store);
  }

  get latest(): TypedSetup | null {
    return this.#latest;
  }

  /** The water's temperature is left out: it is another one tomorrow. */
  keep(typed: TypedSetup): void {
    this.#latest = { system: typed.system, fields: { ...typed.fields, water: '' } };
    try {
      this.#store?.setItem(KEPT_SETUP_KEY, JSON.stringify(this.#latest));
    } catch {
      // Storage is full or forbidden: it holds for this visit.
    }
  }
}

/** What stands in the store, if it is whole and ours; null else. */
function readSetup(store: Store | null): TypedSetup | null {
  let kept: unknown;
  try {
    kept = JSON.parse(store?.getItem(KEPT_SETUP_KEY) ?? 'null');
  } catch {
    return null;
  }
  if (!isRecord(kept) || !isRecord(kept['fields'])) return null;
  const { system, fields } = kept;
  if (system !== 'us' && system !== 'metric') return null;
  const begin = blankFields(system);
  const names = Object.keys(begin) as (keyof SetupFields)[];
  const of = (name: keyof SetupFields): unknown =>
    fields[name] ?? (laterFields.has(name) ? begin[name] : undefined);
  if (!names.every((name) => isFieldText(name, of(name)))) return null;
  return {
    system,
    fields: Object.fromEntries(names.map((name) => [name, of(name)])) as unknown as SetupFields,
  };
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function isFieldText(name: keyof SetupFields, value: unknown): boolean {
  if (typeof value !== 'string' || value.length > LONGEST_TEXT) return false;
  return choices[name]?.includes(value) ?? true;
}
