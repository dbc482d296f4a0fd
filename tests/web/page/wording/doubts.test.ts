import { expect, test } from 'vitest';
import { doubtSentence, trustOf } from '../../../../web/wording/doubts.ts';
import { catchRow } from '../../../../web/wording/table.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { sampleCatch } from '../sample-sweep.ts';

test('that every catch is doubtful is said in one line, with why and what to do', () => {
  const catches = [0, 1, 2].map((index) =>
    sampleCatch(index, 40, { warnings: ['simulated', 'coarse-steps'] }),
  );
  expect(doubtSentence(catches)).toBe(
    '3 of 3 catches doubtful: the scale shows coarse steps. Longer catches help.',
  );
});

test('void and struck catches are not counted, and without a doubt there is no line', () => {
  const gone = [
    sampleCatch(1, 40, { warnings: ['short-catch'], voidBecause: 'too-short', flow_m3_per_s: null }),
    sampleCatch(2, 40, { warnings: ['short-catch'], struck: true }),
  ];
  expect(doubtSentence([sampleCatch(0, 40, { warnings: ['timed-by-hand'] }), ...gone])).toBeNull();
  expect(doubtSentence([sampleCatch(0, 40, { warnings: ['short-catch'] }), ...gone])).toBe(
    '1 of 1 catch doubtful: a short catch.',
  );
});

test('what was done about a doubt is not part of the one line', () => {
  const catches = [sampleCatch(0, 40, { warnings: ['bumped-while-filling'] })];
  expect(doubtSentence(catches)).toBe('1 of 1 catch doubtful: the pail was bumped while it filled.');
});

test('of many reasons the two commonest are named', () => {
  const catches = [
    sampleCatch(0, 40, { warnings: ['short-catch', 'coarse-steps'] }),
    sampleCatch(1, 40, { warnings: ['coarse-steps', 'wind-or-touch'] }),
    sampleCatch(2, 40, { warnings: ['wind-or-touch', 'coarse-steps'] }),
  ];
  const said = doubtSentence(catches)!;
  expect(said).toContain('3 of 3 catches doubtful: the scale shows coarse steps; wind');
  expect(said).not.toContain('short');
});

test('what changes how far a recording can be trusted is in sight, with how many lines; the rest is folded', () => {
  const trust = trustOf(['simulated', 'lines-refused', 'capture-cut-short', 'water-temperature-assumed'], 7);
  expect(trust.inSight).toEqual([
    '7 lines could not be read. The others were used.',
    'The recording breaks off. All up to there was used.',
  ]);
  expect(trust.folded).toHaveLength(1);
  expect(trustOf(['lines-refused'], 0).inSight[0]).toContain('Some lines could not be read.');
});

test('a row knows that it is doubtful, void and struck ones are not', () => {
  const row = (more: Parameters<typeof sampleCatch>[2]) =>
    catchRow(sampleCatch(0, 40, { warnings: ['coarse-steps'], ...more }), shownUnits.us).doubtful;
  expect([row({}), row({ struck: true }), row({ warnings: ['simulated'] })]).toEqual([true, false, false]);
});
