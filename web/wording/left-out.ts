/** A catch that the page itself strikes out because it is too short: told alike while it runs and in the table. */
import { LEFT_OUT_AS_SHORT } from '../../src/base/shortest-catch.ts';

export const leftOutState = 'left out';

/** @returns whether nobody struck it: it was left out as too short. */
export function isLeftOut(struckReason: string | null): boolean {
  return struckReason === LEFT_OUT_AS_SHORT;
}

export const leftOutCaption = `Left out: ${LEFT_OUT_AS_SHORT}.`;
