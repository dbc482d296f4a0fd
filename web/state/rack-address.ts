/**
 * Where in the Rack one stands, from the address: `#/rack`, `#/rack/KEY`, `#/rack/compare/KEY,KEY`; the invented season has `season/`
 * after `rack/`. A key holds a colon, so neither word can be one.
 */
import type { RackSource } from '../contract.ts';

export type RackAddress = { readonly source: RackSource } & (
  | { readonly kind: 'list' }
  | { readonly kind: 'tip'; readonly key: string }
  /** The first is the one that the others are held against. */
  | { readonly kind: 'compare'; readonly keys: readonly string[] }
);

const SEASON = 'season';
const COMPARE = 'compare';

function decoded(text: string): string | null {
  try {
    return decodeURIComponent(text);
  } catch {
    return null;
  }
}

/** Anything that can't be read is the list. */
export function rackAddressOf(hash: string): RackAddress {
  const parts = hash.replace(/^#\/rack\/?/, '').split('/');
  const source = parts[0] === SEASON ? 'simulated-season' : 'book';
  const [first = '', second = ''] = source === 'book' ? parts : parts.slice(1);
  if (first === COMPARE) {
    const keys = second.split(',').map(decoded);
    const known = keys.filter((key) => key !== null && key !== '') as string[];
    return known.length < 2 ? { source, kind: 'list' } : { source, kind: 'compare', keys: known };
  }
  const key = decoded(first);
  return key === null || key === '' ? { source, kind: 'list' } : { source, kind: 'tip', key };
}

const base = (source: RackSource): string => (source === 'book' ? '#/rack' : `#/rack/${SEASON}`);

export function addressOfRack(source: RackSource): string {
  return base(source);
}

export function addressOfTip(source: RackSource, key: string): string {
  return `${base(source)}/${encodeURIComponent(key)}`;
}

export function addressOfCompare(source: RackSource, keys: readonly string[]): string {
  return `${base(source)}/${COMPARE}/${keys.map(encodeURIComponent).join(',')}`;
}
