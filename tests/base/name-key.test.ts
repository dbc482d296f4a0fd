import { describe, expect, it } from 'vitest';
import { nameKey } from '../../src/base/name-key.ts';

describe('names', () => {
  it.each([
    ['Left knapsack', ' left  KNAPSACK '],
    ['caf\u00e9', 'CAFE\u0301'],
  ])('%j and %j are one', (a, b) => expect(nameKey(a)).toBe(nameKey(b)));

  it.each([
    ['left', 'right'],
    ['tip 1', 'tip1'],
  ])('%j and %j are two', (a, b) => expect(nameKey(a)).not.toBe(nameKey(b)));
});
