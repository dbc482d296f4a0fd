import { expect, test } from 'vitest';
import { everyBecause } from '../../../../src/base/because.ts';
import { becauseSentences, sentenceOfText, wholeSentence } from '../../../../web/wording/because.ts';

test('every code of the closed union has its sentence, and there are no others', () => {
  expect(Object.keys(becauseSentences).sort()).toEqual([...everyBecause].sort());
});

test.each(everyBecause.map((because) => [because]))(
  '%s says what happened in a plain sentence',
  (because) => {
    const { what, kept, todo } = becauseSentences[because];
    for (const part of [what, kept, todo].filter((text) => text !== '')) {
      expect(part).toMatch(/^[“A-Z0-9].*[.?]$/s);
      // Codes and programmers' words do not reach a person.
      expect(part).not.toMatch(/null|undefined|NaN|[a-z]-[a-z]+-[a-z]+|exception|IndexedDB/);
    }
    expect(what).not.toBe('');
  },
);

test('no two codes say the same thing happened', () => {
  const said = everyBecause.map((because) => becauseSentences[because].what);
  expect(new Set(said).size).toBe(said.length);
});

test('a void catch says what was kept', () => {
  expect(wholeSentence('lifted-while-filling')).toBe(
    'The pail was lifted while it filled. This catch gives no flow. Its readings and all earlier catches are kept. Leave it standing until told.',
  );
});

test('a text that is no code has no sentence, whatever objects inherit', () => {
  expect(sentenceOfText('toString')).toBeNull();
  expect(sentenceOfText('too-short')?.what).toContain('Too little water');
});
