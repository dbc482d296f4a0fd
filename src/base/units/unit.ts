/** One way to write a quantity: what people read, and the way to SI and back. Pure functions; nothing rounds. */
export interface Unit {
  readonly symbol: string;
  readonly toSi: (shown: number) => number;
  readonly fromSi: (si: number) => number;
}

/** A unit that is a plain multiple of the SI unit. */
export function multiple(symbol: string, inSi: number): Unit {
  return Object.freeze({
    symbol,
    toSi: (shown: number) => shown * inSi,
    fromSi: (si: number) => si / inSi,
  });
}
