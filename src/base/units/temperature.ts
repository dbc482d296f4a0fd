import type { Unit } from './unit.ts';

/**
 * Temperature. Inside it is °C where the name says `_degC` (the water's density formula is in °C); kelvin is not used.
 *
 * A temperature and a DIFFERENCE of temperatures convert differently: 1 °C of doubt is 1.8 °F of doubt, not 33.8 °F.
 * These are for temperatures; for a doubt use `degFDifference_from_degC`.
 */
export const temperatureUnits = Object.freeze({
  degC: Object.freeze({ symbol: '°C', toSi: (c: number) => c, fromSi: (c: number) => c }),
  degF: Object.freeze({
    symbol: '°F',
    toSi: (f: number) => (f - 32) / 1.8,
    fromSi: (c: number) => c * 1.8 + 32,
  }),
}) satisfies Record<string, Unit>;
export type TemperatureUnit = keyof typeof temperatureUnits;

/** A difference (or a ±) in °C, told in °F. */
export function degFDifference_from_degC(difference_degC: number): number {
  return difference_degC * 1.8;
}
