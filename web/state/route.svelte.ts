export const places = ['bench', 'log'] as const;
export type Place = (typeof places)[number];

export function placeOf(hash: string): Place {
  return places.find((place) => hash === `#/${place}`) ?? 'bench';
}

/** Which place is shown, from the hash address. Anything unknown is the Bench. */
export class Route {
  place = $state<Place>('bench');

  constructor(view: Pick<Window, 'location' | 'addEventListener'>) {
    this.place = placeOf(view.location.hash);
    view.addEventListener('hashchange', () => (this.place = placeOf(view.location.hash)));
  }
}
