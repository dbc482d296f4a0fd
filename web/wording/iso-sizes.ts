/**
 * Sizes of tips by the colour code of ISO 10625. The pairs are NOT read from the standard: 01 to 06 and 08 were seen in a second-hand
 * list, the others are from memory; sizes whose colour is unsure (0067, 035) are left out. They are shown, never reckoned with.
 */
export interface IsoSize {
  readonly size: string;
  /** The colour's name, which always stands beside the swatch. */
  readonly colour: string;
  /** For the swatch alone. */
  readonly paint: string;
}

export const isoSizes: readonly IsoSize[] = [
  { size: '0075', colour: 'pink', paint: '#f29bb5' },
  { size: '01', colour: 'orange', paint: '#e8761c' },
  { size: '015', colour: 'green', paint: '#1c7a3d' },
  { size: '02', colour: 'yellow', paint: '#f2c500' },
  { size: '025', colour: 'lilac', paint: '#9a6fb0' },
  { size: '03', colour: 'blue', paint: '#1f4fa3' },
  { size: '04', colour: 'red', paint: '#c4201d' },
  { size: '05', colour: 'brown', paint: '#6b4226' },
  { size: '06', colour: 'grey', paint: '#8b8f92' },
  { size: '08', colour: 'white', paint: '#ffffff' },
  { size: '10', colour: 'light blue', paint: '#8ec5e8' },
  { size: '15', colour: 'light green', paint: '#a5d27c' },
  { size: '20', colour: 'black', paint: '#151515' },
];

/** @returns undefined for a size this list does not hold: it is shown as it was typed, without a swatch. */
export function isoSizeOf(size: string | null): IsoSize | undefined {
  return isoSizes.find((one) => one.size === size);
}
