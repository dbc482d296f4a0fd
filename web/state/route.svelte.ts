export const places = ['bench', 'rack', 'log'] as const;
export type Place = (typeof places)[number];

export function placeOf(hash: string): Place {
  return places.find((place) => hash === `#/${place}` || hash.startsWith(`#/${place}/`)) ?? 'bench';
}

/** The sweep that is open in the Log, so that the browser's Back leads from it to the list; null for the list. */
export function entryOf(hash: string): string | null {
  const [, entry = ''] = /^#\/log\/(.+)$/.exec(hash) ?? [];
  try {
    return entry === '' ? null : decodeURIComponent(entry);
  } catch {
    return null;
  }
}

export function addressOfEntry(sweepId: string): string {
  return `#/log/${encodeURIComponent(sweepId)}`;
}

/** Which place is shown, from the hash address. Anything unknown is the Bench. */
export class Route {
  place = $state<Place>('bench');
  entry = $state<string | null>(null);
  /** The whole address, for a place that reads more from it. */
  hash = $state('');

  constructor(view: Pick<Window, 'location' | 'addEventListener'>) {
    const look = (): void => {
      this.place = placeOf(view.location.hash);
      this.entry = entryOf(view.location.hash);
      this.hash = view.location.hash;
    };
    look();
    view.addEventListener('hashchange', look);
  }
}
