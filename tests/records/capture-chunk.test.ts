import { describe, expect, it } from 'vitest';
import { joinChunks } from '../../src/records/capture-chunk.ts';

const chunk = (sequence: number) => ({
  sequence,
  text: `${sequence}.0000\t  512.0 g\n${sequence}.5000\t  513.0 g\n`,
});

describe('chunks of a capture', () => {
  it('are joined by sequence number, whatever the order they come in', () => {
    const { texts, missing } = joinChunks([chunk(2), chunk(0), chunk(1)]);
    expect(texts).toEqual([chunk(0).text, chunk(1).text, chunk(2).text]);
    expect(missing).toEqual([]);
  });

  it('have a gap mark where some are missing, at the time of the first line after', () => {
    const { texts, missing } = joinChunks([chunk(0), chunk(3), chunk(4)]);
    expect(texts).toEqual([chunk(0).text, '3.0000\t!gap lines-lost\n', chunk(3).text, chunk(4).text]);
    expect(missing).toEqual([{ first: 1, last: 2 }]);
  });

  it('have a gap mark in front when the first is missing', () => {
    const { texts, missing } = joinChunks([chunk(1)]);
    expect(texts).toEqual(['1.0000\t!gap lines-lost\n', chunk(1).text]);
    expect(missing).toEqual([{ first: 0, last: 0 }]);
  });

  it('are nothing when there are none', () => {
    expect(joinChunks([])).toEqual({ texts: [], missing: [] });
  });
});
