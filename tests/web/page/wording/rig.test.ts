import { expect, test } from 'vitest';
import { cautionList, rigCautions } from '../../../../web/wording/cautions.ts';
import { captionOf, nextLine, promptLine } from '../../../../web/wording/prompts.ts';
import { otherWaySentence, rigSentences, rigTable } from '../../../../web/wording/rig.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import type { Prompt, RigResult, WayCompared } from '../../../../web/contract.ts';

const { us, metric } = shownUnits;
const at40 = { setting_Pa: 275790.29, turnAwayFirst: true, sameAgain: false };
const asked = (
  kind: 'held' | 'pumped-up' | 'pumped-while-spraying',
  standsOnScale: 'pail' | 'sprayer',
): Prompt => ({
  kind: 'set-and-spray',
  ...at40,
  rig: { kind, standsOnScale },
});

test('each kind of rig is asked in its own words, the usual one as always', () => {
  expect(promptLine({ kind: 'set-and-spray', ...at40 }, us, null)).toBe(
    'Turn the dial to 40 psi. Spray into the pail.',
  );
  expect(promptLine(asked('pumped-up', 'pail'), us, null)).toBe('Pump up to 40 psi. Spray into the pail.');
  expect(promptLine(asked('pumped-while-spraying', 'pail'), us, null)).toBe(
    'Pump to the beat, at 40 psi. Spray into the pail.',
  );
  expect(promptLine(asked('held', 'sprayer'), us, null)).toBe(
    'Turn the dial to 40 psi. Spray, clear of the scale.',
  );
});

test('a tank is refilled to what was typed, a hose is given its time, and a sprayer is held still', () => {
  expect(promptLine({ kind: 'refill-tank', fill_m3: 0.012 }, metric, null)).toBe(
    'Pressure off. Refill the tank to 12 L and set the sprayer back.',
  );
  expect(captionOf({ kind: 'refill-tank', fill_m3: 0.012 }, metric)).toBe(
    'Pressure off. Refill the tank to 12 L and set the sprayer back.',
  );
  expect(nextLine({ kind: 'refill-tank', fill_m3: 0.012 }, null, us, 3, false)).toContain(
    'The sweep goes on by itself',
  );
  expect(promptLine({ kind: 'keep-spraying', setting_Pa: 1e5, swelling: true }, us, 20)).toBe(
    'The hose still swells. Keep spraying.',
  );
  expect(
    promptLine({ kind: 'hold-still', rig: { kind: 'held', standsOnScale: 'sprayer' } }, us, null),
  ).toContain('sprayer is settling');
  expect(promptLine({ kind: 'shut-off', because: 'tank-low' }, us, null)).toBe(
    'Shut off. The tank is nearly empty.',
  );
});

test('a falling can is told in rows with their own ±, strokes and a hose in theirs', () => {
  const row = { since_s: 2.4, given_m3: 7.5e-5, flow_m3_per_s: 2e-5, expandedUncertainty95_m3_per_s: 3e-7 };
  const falling: RigResult = {
    kind: 'pumped-up',
    standsOnScale: 'pail',
    strokePeriod_s: null,
    catches: [{ kind: 'falling', rows: [row, row, row] }, null],
  };
  const table = rigTable(falling, [{ setting_Pa: 2e5 }, { setting_Pa: 2e5 }], metric)!;
  expect(table.rows).toHaveLength(3);
  expect(table.rows[0]).toEqual(['1', '2 bar', 'start', '2.4 s', '75 mL', '1.200', '0.018']);
  const strokes: RigResult = {
    kind: 'pumped-while-spraying',
    standsOnScale: 'pail',
    strokePeriod_s: 1.5,
    catches: [{ kind: 'strokes', strokes: 23, beat_s: 1.5, rhythm_s: null, strokeScatter: 0.031 }],
  };
  expect(rigTable(strokes, [{ setting_Pa: null }], us)!.rows).toEqual([['1', '–', '23', '–', '3.1 %']]);
  expect(rigSentences({ rig: strokes }, us)[0]).toContain('every 1.5 s');
  const hose: RigResult = {
    kind: 'hose-reel',
    standsOnScale: 'pail',
    strokePeriod_s: null,
    catches: [{ kind: 'hose', steadyAfter_s: null, lackingShare: 0.02 }],
  };
  expect(rigTable(hose, [{ setting_Pa: 1e5 }], metric)!.rows).toEqual([['1', '1 bar', 'not steady']]);
  expect(rigSentences({ rig: null }, us)).toEqual([]);
  expect(rigSentences({ rig: falling }, us)[0]).toContain('in the table below');
  // Cut into points of the curve there are no rows, and no table.
  const points: RigResult = { ...falling, catches: [null, null, null] };
  expect(rigTable(points, [], us)).toBeNull();
  expect(rigSentences({ rig: points }, us)).toEqual([]);
  const steady = { kind: 'hose', steadyAfter_s: 21, lackingShare: 0.001 } as const;
  expect(rigSentences({ rig: { ...hose, catches: [steady, steady] } }, us)).toEqual([
    'The flow told is the steady one, after the hose has swollen.',
  ]);
  expect(rigSentences({ rig: { ...hose, catches: [steady, ...hose.catches] } }, us)[0]).toMatch(
    /the steady one, .*; but where the table says “not steady” it still swelled/,
  );
  expect(rigSentences({ rig: hose }, us)[0]).toMatch(/^The hose still swelled .*may not be the steady one/);
});

test('leak or mist is said with its ±, and what can’t be water is called so', () => {
  const found = (lostShare: number, verdict: WayCompared['verdict']): WayCompared => ({
    leaves: 'sprayer',
    lostShare,
    lostShareExpanded95: 0.012,
    degreesOfFreedom: 8,
    verdict,
    settings: [],
  });
  expect(otherWaySentence(found(0.034, 'leak-or-mist'))).toContain(
    '3.4 %, give or take 1.2, does not reach the pail',
  );
  expect(otherWaySentence(found(0.001, 'none-seen'))).toContain(
    'No leak or mist is seen: 0.1 %, give or take 1.2',
  );
  expect(otherWaySentence(found(-0.05, 'more-arrives'))).toContain('can’t be water');
});

test('a pumped-up can and a sprayer on the scale have their own cautions, which never replace the others', () => {
  expect(rigCautions['pumped-up'].join(' ')).toMatch(
    /pressure vessel.*never above its rating.*release the pressure/,
  );
  expect(rigCautions['on-scale'].join(' ')).toContain('Release the pressure before the tank is opened');
  expect(cautionList[0]).toContain('label is the law');
});
