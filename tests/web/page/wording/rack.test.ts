import { describe, expect, test } from 'vitest';
import { habits } from '../../../../src/analysis/comparison/habits.ts';
import { limitRatios, Preferences } from '../../../../web/state/preferences.svelte.ts';
import {
  addressOfCompare,
  addressOfRack,
  addressOfTip,
  rackAddressOf,
} from '../../../../web/state/rack-address.ts';
import { notAlikeSentence, pairSentence } from '../../../../web/wording/compared.ts';
import {
  delaySentence,
  driftRow,
  driftSentence,
  forecastSentence,
  jumpSentences,
  limitsSentence,
} from '../../../../web/wording/drift.ts';
import { habitSource, habitSources } from '../../../../web/wording/habit-source.ts';
import { isoSizeOf, isoSizes } from '../../../../web/wording/iso-sizes.ts';
import {
  lastCheckText,
  referenceText,
  sizeName,
  tipFinding,
  tipsInOrder,
} from '../../../../web/wording/rack.ts';
import { withLimit } from '../../../../web/wording/result.ts';
import { rigCheckLines } from '../../../../web/wording/rig-checks-made.ts';
import {
  anchorSentence,
  leftOutSentences,
  noTipOrRigSentence,
  ownSentences,
  rigFigures,
  shareRow,
  shareSentence,
} from '../../../../web/wording/tip-or-rig.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { NOW_MS, sampleDrift, samplePair, sampleRack, sampleTip, sampleTipOrRig } from '../sample-rack.ts';
import { SAMPLE_K, samplePicture, sampleSweep } from '../sample-sweep.ts';

const { us, metric } = shownUnits;
const names: Readonly<Record<string, string>> = { a: 'Old brass', b: 'Tip 7' };
const name = (key: string): string => names[key] ?? key;

describe('addresses of the Rack', () => {
  test.each(['measured:a/b,c', 'simulated:50 % Düse', 'measured:compare', 'measured:season'])(
    'a key of any letters leads to its own tip and back: %s',
    (key) => {
      for (const source of ['book', 'simulated-season'] as const) {
        expect(rackAddressOf(addressOfTip(source, key))).toEqual({ source, kind: 'tip', key });
        expect(rackAddressOf(addressOfCompare(source, [key, 'measured:b']))).toEqual({
          source,
          kind: 'compare',
          keys: [key, 'measured:b'],
        });
      }
    },
  );

  test('what can’t be read, or compares less than two, is the list', () => {
    for (const hash of ['#/rack', '#/rack/', '#/rack/%E0%A4%A', '#/rack/compare/only', '#/rack/compare/'])
      expect(rackAddressOf(hash)).toEqual({ source: 'book', kind: 'list' });
    expect(rackAddressOf(addressOfRack('simulated-season'))).toEqual({
      source: 'simulated-season',
      kind: 'list',
    });
  });
});

describe('two tips', () => {
  test('different: by how much and with what ±; alike: the bound, rounded up so that it stays true', () => {
    expect(pairSentence(samplePair('a', 'b', 1.031, 0.006), name, shownUnits.us)).toBe(
      'Old brass gives 3.1 % more than Tip 7, give or take 0.6.',
    );
    expect(pairSentence(samplePair('a', 'b', 0.95, 0.02), name, shownUnits.us)).toContain('less than Tip 7');
    const alike = samplePair('a', 'b', 1.002, 0.00951);
    // 1.002 · 1.00951 = 1.01153 : 1.153 %, which 1.1 % would deny.
    expect(pairSentence(alike, name, shownUnits.us)).toBe(
      'Old brass and Tip 7: no difference larger than 1.2 %.',
    );
  });

  test('what was not alike is said with what it cost; a refusal says why', () => {
    const pair = {
      ...samplePair('a', 'b', 1.031, 0.006),
      notAlike: ['another-rig', 'another-water'] as const,
    };
    expect(notAlikeSentence(pair)).toMatch(/another rig.*±.*other water.*±/);
    expect(notAlikeSentence(samplePair('a', 'b', 1, 0.01))).toBe('');
    const refused = { ...pair, compared: null, comparedBecause: 'no-curve' as const, at: [] };
    expect(pairSentence(refused, name, shownUnits.us)).toBe(
      'Old brass and Tip 7 can’t be compared. There is no curve yet.',
    );
  });
});

test('a difference that changes with the pressure is told at both ends, and by no single figure', () => {
  const at = [20, 60].map((psi, i) => ({
    pressure_Pa: psi * 6894.757,
    ratio: i === 0 ? 1.03 : 1.09,
    expandedUncertainty95: 0.006,
  }));
  expect(pairSentence({ ...samplePair('a', 'b', 1.06, 0.006), at }, name, shownUnits.us)).toBe(
    'Against Tip 7, Old brass gives 3.0 % more at 20 psi, 9.0 % more at 60 psi: it changes with the pressure.',
  );
});

describe('over the weeks', () => {
  test('quiet: so many checks and no drift; worn: since when, where it stands', () => {
    expect(driftSentence(sampleDrift(0))).toBe(
      '14 checks since the baseline, and no drift beyond what the checks themselves scatter.',
    );
    const worn = sampleDrift(0.0065);
    expect(driftSentence(worn)).toMatch(
      /^Drifted: beyond the limit from .* on, and still is; .* \+8\.\d %\.$/,
    );
  });

  test('a check that does not count is named over the chart, and is not taken for the last word', () => {
    const worn = sampleDrift(0.0065);
    const odd = { ...worn.points.at(-1)!, deviation: -0.21, signals: false };
    const withLast = (more: object) =>
      driftSentence({ ...worn, points: [...worn.points.slice(0, -1), { ...odd, ...more }] });
    expect(withLast({ leftOutBecause: 'is-this-the-tip' })).toMatch(
      /and still is; .* The check of .* gave −21\.0 %, give or take 0\.9 and does not count: is this the tip\?$/,
    );
    expect(withLast({ leftOutBecause: 'is-this-the-tip', isThisTip: false })).toMatch(
      /it was another tip\.$/,
    );
    expect(withLast({ leftOutBecause: 'check-other-instrument' })).toMatch(/another instrument\.$/);
    const early = worn.points.map((point, i) =>
      i === 3 ? { ...point, leftOutBecause: 'is-this-the-tip' as const } : point,
    );
    expect(driftSentence({ ...worn, points: early })).toMatch(/is this the tip\?$/);
    expect(driftRow(early[3]!, worn).note).toContain('does not count: is this the tip?');
  });

  test('a forecast names the day, its span, and that the limit is the person’s', () => {
    const worn = sampleDrift(0.0065);
    expect(forecastSentence(worn)).toMatch(/0\.65 % a week.*reaches \+10 % about/);
    const far = { ...worn, forecast: { week: 30, earliest: 25, latest: 40, perWeek: 0.003 } };
    expect(forecastSentence(far)).toMatch(/between .* and /);
    const open = { ...worn, forecast: { week: 30, earliest: 25, latest: null, perWeek: 0.003 } };
    expect(forecastSentence(open)).toContain('no latest day can be told');
    expect(forecastSentence({ ...sampleDrift(0), limitRatio: 1.05 })).toMatch(/\+5 % can’t be told/);
  });

  test('a jump that stays is told once, with the day since when', () => {
    const [jump] = sampleDrift(0, 9).rigJumps;
    const weeks = [0, 1, 2].map((week) => ({ ...jump!, at_ms: jump!.at_ms + week * 7 * 86_400_000 }));
    const told = jumpSentences({ ...sampleDrift(0, 9), rigJumps: weeks });
    expect(told).toHaveLength(1);
    expect(told[0]).toMatch(/^Since /);
  });

  test('a jump that all tips share is the rig’s, not wear', () => {
    const [jump] = jumpSentences(sampleDrift(0, 9));
    expect(jump).toMatch(/all 4 tips .* \+3\.1 %, give or take 0\.8\. That is the rig .* not wear/);
    const chart = sampleDrift(0, 9);
    expect(driftRow(chart.points[8]!, chart).note).toBe('the rig');
    expect(driftRow(chart.points[2]!, chart).note).toBe('');
  });

  test('without limits it says why; with them how long a wear stays unseen', () => {
    const chart = sampleDrift(0.0065);
    expect(limitsSentence(chart)).toBe('');
    expect(limitsSentence({ ...chart, limitsBecause: 'no-degrees-of-freedom' })).toContain(
      'No limits are drawn yet',
    );
    expect(delaySentence(chart)).toMatch(/0\.5 %.*half a per cent a week.*5 weeks.*6\./);
    expect(delaySentence({ ...chart, delay_weeks: null })).toBe('');
  });
});

describe('tip or rig', () => {
  const { tips } = sampleRack();
  const four = tips.slice(0, 4);

  test('one sentence: which share is the rig’s, since when; a tip that is off by itself is named', () => {
    const found = sampleTipOrRig(four);
    expect(shareSentence(found)).toMatch(
      /^About three quarters of what these 4 tips give too little is the rig’s doing, since /,
    );
    expect(ownSentences(found, () => 'Old brass')).toEqual([
      'Old brass is off by itself: +8.8 %, give or take 1.6.',
    ]);
  });

  test.each([
    [0.98, 0.94, /^About a third/],
    [0.96, 0.94, /^About two thirds/],
    [0.97, 0.94, /^About half/],
  ])('the rig at %f of %f in all: %s', (rig, all, said) => {
    const found = sampleTipOrRig(four);
    const half = { standardUncertainty: 0.003, expandedUncertainty95: 0.006 };
    const shared = {
      ...found,
      tips: found.tips.map((tip) => ({
        ...tip,
        deviation: { value: all, ...half },
        rigPart: { value: rig, ...half },
        tipPart: { value: 1 + all - rig, ...half },
      })),
    };
    expect(shareSentence(shared)).toMatch(said);
  });

  test('absolute or since a day is said; nothing seen is said; and what would settle it', () => {
    const found = sampleTipOrRig(four, { since: 'absolute', sinceFrom_ms: null });
    expect(shareSentence(found)).toContain('against the stamps on the tips');
    const quiet = {
      ...found,
      tips: found.tips.map((tip) => ({
        ...tip,
        deviation: { value: 1.001, standardUncertainty: 0.005, expandedUncertainty95: 0.01 },
      })),
    };
    expect(shareSentence(quiet)).toContain('nothing to blame');
    expect(anchorSentence({ ...found, anchored: null })).toMatch(/gauge at the wand.*drawer.*settle/);
    expect(noTipOrRigSentence({ because: 'no-reference' })).toContain('can’t be told');
    expect(leftOutSentences(found, () => 'Reel D')).toEqual([]);
    const leftOut = [{ key: 'd', shows: 'leaking' }] as const;
    expect(leftOutSentences({ leftOut }, () => 'Reel D')).toEqual([
      'Reel D leaks, by its own finding: left out, for it says nothing of the rig.',
    ]);
    expect(noTipOrRigSentence({ because: 'tips-and-rig-disagree' })).not.toContain('curve settled');
    expect(shareRow(found.tips[1]!)).toMatchObject({ tipPart: '+8.8 %, give or take 1.6', blame: 'the tip' });
    expect(rigFigures(found, us).map(({ value }) => value)[0]).toBe('−2.4 psi, give or take 1.1');
  });
});

describe('a tip in the list', () => {
  const { tips, rigs } = sampleRack();

  test('what it is held against, when it was last checked, its finding in one line', () => {
    expect(referenceText(tips[0]!, us, 'en-GB')).toBe(
      'baseline of 1 sweep, 20 Aug 2026 · rated 0.32 gal/min at 40 psi',
    );
    expect(referenceText(tips[4]!, us)).toBe('nothing to hold it against yet');
    expect(lastCheckText(tips[0]!, 'en-GB')).toBe('last check 26 Nov 2026');
    expect(lastCheckText({ ...tips[0]!, sweeps: [] })).toBe('never measured');
    expect(tips.map(tipFinding).slice(0, 3)).toEqual([
      'No fault shown',
      'Worn, 9 %; found twice',
      'Restricted, or pressure lost before the tip, 9 %; measure it again',
    ]);
    expect(tipFinding(tips[4]!)).toBe('No finding yet');
  });

  test('newest first or by name with numbers in their order; a part of a name finds it', () => {
    const some = [
      sampleTip('Tip 10', SAMPLE_K),
      sampleTip('Tip 2', SAMPLE_K),
      sampleTip('Never', SAMPLE_K, { sweeps: [] }),
    ];
    expect(tipsInOrder(some, '', 'name').map((tip) => tip.name)).toEqual(['Never', 'Tip 2', 'Tip 10']);
    expect(tipsInOrder(some, '', 'newest').at(-1)!.name).toBe('Never');
    expect(tipsInOrder(some, ' TIP 1', 'name').map((tip) => tip.name)).toEqual(['Tip 10']);
  });

  test('a size is told with its colour’s name; one that is not in the list as it was typed; unsure ones are left out', () => {
    expect(sizeName('03')).toBe('size 03, blue');
    expect(sizeName('99')).toBe('size 99');
    expect(sizeName(null)).toBe('');
    expect(isoSizes.every(({ colour, paint }) => colour !== '' && /^#[0-9a-f]{6}$/.test(paint))).toBe(true);
    expect([isoSizeOf('0067'), isoSizeOf('035')]).toEqual([undefined, undefined]);
  });

  test('checks of a rig, a line each, in the units chosen', () => {
    expect(rigCheckLines(rigs[0]!.checks, us, 'en-GB')).toEqual([
      'Rig check, 19 Nov 2026: at no pressure the dial showed 2.0 psi, give or take 1.4.',
      'Rig check, 19 Nov 2026: a blank tip at 45 psi let through 0.041 fl oz/min, give or take 0.016.',
    ]);
    expect(rigCheckLines(rigs[0]!.checks, metric)[0]).toContain('bar');
    expect(NOW_MS).toBeGreaterThan(0);
  });
});

describe('the limit for wear', () => {
  test('each choice has a source; a kept choice comes back, an absurd one does not', () => {
    for (const limit of limitRatios) expect(habitSource(limit)).toMatch(/label or law/);
    expect(habitSources).toEqual(habits);
    for (const { limit, source } of habits)
      if (limit !== 0.1) expect(habitSource(1 + limit)).toContain(source);
    const store = new Map([['catchbench.preferences', '{"limitRatio":1.05}']]);
    const kept = new Preferences({
      getItem: (key) => store.get(key) ?? null,
      setItem: (key, value) => store.set(key, value),
    });
    expect(kept.limitRatio).toBe(1.05);
    kept.change({ limitRatio: 1.15 });
    expect(store.get('catchbench.preferences')).toContain('"limitRatio":1.15');
    expect(new Preferences({ getItem: () => '{"limitRatio":7}', setItem: () => undefined }).limitRatio).toBe(
      1.1,
    );
  });

  test('over or under a limit only with the whole ±', () => {
    const rated = {
      ...samplePicture(sampleSweep().catches).rated!,
      ratio: 1.06,
      ratioExpandedUncertainty95: 0.02,
    };
    expect(withLimit(rated, 1.05).verdict).toBe('cannot-tell-yet');
    expect(withLimit(rated, 1.1).verdict).toBe('below-limit');
    expect(withLimit({ ...rated, ratio: 1.08 }, 1.05)).toMatchObject({
      verdict: 'above-limit',
      limitRatio: 1.05,
    });
  });
});
