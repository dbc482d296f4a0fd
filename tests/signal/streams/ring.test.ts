import { expect, test } from 'vitest';
import { Ring } from '../../../src/signal/streams/ring.ts';

test('a ring keeps the newest items and counts the ones it lost', () => {
  const ring = new Ring<number>(3);
  for (let item = 1; item <= 5; item += 1) ring.push(item);
  expect(ring.toArray()).toEqual([3, 4, 5]);
  expect([ring.length, ring.overflowed, ring.at(0), ring.at(2), ring.at(3), ring.at(-1)]).toEqual([
    3,
    2,
    3,
    5,
    undefined,
    undefined,
  ]);
});

test('a drained ring is empty and goes on', () => {
  const ring = new Ring<string>(2);
  ring.push('a');
  expect(ring.drain()).toEqual(['a']);
  expect(ring.length).toBe(0);
  ring.push('b');
  ring.push('c');
  expect(ring.drain()).toEqual(['b', 'c']);
  expect(ring.overflowed).toBe(0);
});

test('a ring of no places is refused', () => {
  expect(() => new Ring(0)).toThrow(RangeError);
});
