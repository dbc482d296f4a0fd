import { expect, test } from 'vitest';
import {
  captionOf,
  nextActionLabel,
  nextLine,
  promptLine,
  spokenOf,
} from '../../../../web/wording/prompts.ts';
import { sentenceOf } from '../../../../web/wording/because.ts';
import { keptFigure } from '../../../../web/wording/logbook.ts';
import {
  limitSentence,
  ratedSentence,
  resultSentence,
  trueNozzleConstantText,
  truthSentence,
} from '../../../../web/wording/result.ts';
import { conditionsToBlame } from '../../../../web/wording/conditions.ts';
import { bigFigure } from '../../../../web/wording/running.ts';
import { catchRow } from '../../../../web/wording/table.ts';
import { shownUnits, unbroken } from '../../../../web/wording/units.ts';
import { gpm, psi, SAMPLE_K, sampleCatch, samplePicture, sampleSweep } from '../sample-sweep.ts';

const { us, metric } = shownUnits;
const ask = { kind: 'set-and-spray', setting_Pa: psi(40) } as const;

test('the setting is asked for in the person’s units', () => {
  const prompt = { ...ask, turnAwayFirst: false, sameAgain: false };
  expect(promptLine(prompt, us, null)).toBe('Set 40 psi. Spray into the pail.');
  expect(promptLine(prompt, metric, null)).toBe('Set 2.758 bar. Spray into the pail.');
});

test('a re-set at the same pressure is turned away first', () => {
  expect(promptLine({ ...ask, turnAwayFirst: true, sameAgain: true }, us, null)).toContain(
    'away and back to 40 psi',
  );
});

test('seconds left are whole and never none', () => {
  const prompt = { kind: 'keep-spraying', setting_Pa: psi(40) } as const;
  expect(promptLine(prompt, us, 6.4)).toBe('Keep spraying. About 6 seconds more.');
  expect(promptLine(prompt, us, 0.2)).toBe('Keep spraying. About 1 second more.');
  expect(promptLine(prompt, us, null)).toBe('Keep spraying.');
});

const spraying = { kind: 'keep-spraying', setting_Pa: psi(40) } as const;
const next = { kind: 'set-and-spray', setting_Pa: psi(30), turnAwayFirst: true, sameAgain: false } as const;

test('“that is all” is said only before the last catch', () => {
  expect(nextLine(spraying, { kind: 'done' }, us, 1, false)).toBe('Then shut off, and that is all.');
  expect(nextLine({ kind: 'hold-still' }, { kind: 'done' }, us, 1, false)).toBe('Then that is all.');
  expect(nextLine(spraying, null, us, 7, false)).not.toContain('all');
});

test('the second line goes on from the first: nobody who has shut off is told to shut off', () => {
  expect(nextLine(spraying, next, us, 7, false)).toBe('Then shut off, and turn the dial to 30 psi.');
  for (const now of [{ kind: 'hold-still' }, { kind: 'shut-off', because: 'enough' }] as const) {
    expect(nextLine(now, next, us, 7, false)).toBe('Then turn the dial to 30 psi.');
    const again = { ...next, sameAgain: true };
    expect(nextLine(now, again, us, 7, false)).toBe('Then turn the dial away and back to 30 psi.');
    expect(nextLine(now, { ...again, turnAwayFirst: false }, us, 7, false)).toBe('Then once more at 30 psi.');
  }
});

test('on the way into a pause and in it no setting and no spraying is asked for', () => {
  expect(nextLine({ kind: 'shut-off', because: 'paused' }, next, us, 7, true)).not.toContain('psi');
  expect(nextLine({ kind: 'hold-still' }, next, us, 7, true)).toBe('');
  for (const now of [{ kind: 'paused' }, { kind: 'done' }] as const)
    expect(nextLine(now, null, us, 7, false)).toBe('');
  expect(nextLine({ kind: 'empty-pail', because: 'will-not-fit' }, null, us, 7, false)).not.toMatch(/spray/i);
});

test('a pail too small is said with its setting and what can be done, on the screen and aloud', () => {
  const small = { kind: 'pail-too-small', setting_Pa: psi(60) } as const;
  expect(promptLine(small, us, null)).toBe(
    'This pail or scale can’t take a catch at 60 psi, not even empty.',
  );
  expect(nextLine(small, null, us, 7, false)).toMatch(/another scale.*end the sweep/);
  expect(captionOf(small, us)).toMatch(/60 psi.*another scale, or end here/);
});

test('a void caption names the reason, an unknown one stays plain', () => {
  expect(captionOf({ kind: 'void', because: 'lifted-while-filling' }, us)).toBe(
    'Void. The pail was lifted while it filled. Leave it standing until told.',
  );
  expect(captionOf({ kind: 'void', because: 'never heard of' }, us)).toBe('Void. This catch gives no flow.');
});

test('what to do is said with the first doubtful catch, and with a void one: wind, and a display that freezes', () => {
  const kept = { kind: 'kept', setting_Pa: psi(40), flow_m3_per_s: gpm(0.41), expanded_m3_per_s: gpm(0.02) };
  expect(captionOf({ ...kept, kind: 'kept', warnings: ['wind-or-touch'] }, us)).toMatch(
    /Shelter the pail\.$/,
  );
  const froze = /another scale, or switch its filter off/;
  expect(captionOf({ ...kept, kind: 'kept', warnings: ['display-froze'] }, us)).toMatch(froze);
  expect(captionOf({ kind: 'void', because: 'display-frozen' }, us)).toMatch(froze);
  expect(captionOf({ ...kept, kind: 'kept', warnings: ['flow-not-steady'] }, us)).toMatch(
    /Foam that stays means product: stop and rinse\.$/,
  );
});

test('foam that stays is told for what it means where the flow was not steady', () => {
  expect(sentenceOf('flow-not-steady').todo).toContain('Foam that stays means product: stop and rinse.');
});

test('a catch left out as too short is told alike while it runs and in the table; one that was struck is not', () => {
  expect(captionOf({ kind: 'void', because: 'too-short', leftOut: true }, us)).toBe(
    'Left out: shorter than 8 s. Spray until you hear “enough”.',
  );
  expect(captionOf({ kind: 'void', because: 'stopped-by-person', leftOut: true }, us)).toBe(
    'Left out: shorter than 8 s.',
  );
  const row = (struckReason: string) => catchRow(sampleCatch(0, 40, { struck: true, struckReason }), us);
  expect(row('shorter than 8 s')).toMatchObject({ state: 'left out', why: 'shorter than 8 s' });
  expect(row('wand moved')).toMatchObject({ state: 'struck out', why: 'wand moved' });
});

test('while water runs, or is turned, the page never says that there is none', () => {
  const none = /no flow/;
  const turn = { kind: 'turn-while-spraying', setting_Pa: psi(30), again: false } as const;
  for (const prompt of [spraying, turn])
    for (const flow_m3_per_s of [null, gpm(0.3)]) {
      const running = { ...sampleSweep().running!, flow_m3_per_s, expanded_m3_per_s: null };
      expect(bigFigure(sampleSweep({ prompt, running }), us).value).not.toMatch(none);
    }
});

test('the voice says units as words', () => {
  expect(spokenOf('Kept: 0.412 gal/min, at 40 psi.', us)).toBe('Kept: 0.412 gallons a minute, at 40 p s i.');
});

test('a kept catch is told with digits cut to its ±', () => {
  const kept = {
    kind: 'kept',
    setting_Pa: psi(40),
    flow_m3_per_s: gpm(0.41283),
    expanded_m3_per_s: gpm(0.0201),
    warnings: ['simulated'],
  } as const;
  expect(captionOf(kept, us)).toBe('Kept: 0.413 gal/min, give or take 0.020, at 40 psi.');
  expect(captionOf({ ...kept, warnings: ['simulated', 'coarse-steps'] }, us)).toBe(
    'Kept: 0.413 gal/min, give or take 0.020, at 40 psi. Doubtful: the scale shows coarse steps. Longer catches help.',
  );
});

test('the one button pauses, goes on, and has nothing to do at the end', () => {
  expect([nextActionLabel('filling'), nextActionLabel('paused'), nextActionLabel('done')]).toEqual([
    'Pause',
    'Go on',
    null,
  ]);
});

test('the big figure is the flow so far while water runs and the pressure while it is to be set', () => {
  expect(bigFigure(sampleSweep(), us)).toMatchObject({
    value: '0.340',
    plusMinus: '0.003',
    tone: 'measured',
  });
  const asking = sampleSweep({ running: null, prompt: { ...ask, turnAwayFirst: false, sameAgain: false } });
  expect(bigFigure(asking, us)).toMatchObject({ value: '40', plusMinus: null, tone: 'asked' });
});

test('no figure stands there before there is a ±', () => {
  const running = { ...sampleSweep().running!, expanded_m3_per_s: null };
  expect(bigFigure(sampleSweep({ running }), us).value).toBe('measuring');
});

const catches = [20, 40, 60].map((setting, index) => sampleCatch(index, setting));

test('the result is one sentence at the rated pressure where the sweep reaches it, else at the middle setting', () => {
  const picture = samplePicture(catches);
  const rated = { ...picture.rated!, ratedPressure_Pa: psi(50) };
  expect(resultSentence('Tip 7', { ...picture, rated }, us)).toMatch(
    /^Tip 7 gives 0\.38\d gal\/min, give or take 0\.005, at 50 psi\.$/,
  );
  const unrated = { ...picture, rated: null, ratedBecause: 'outside-measured-range' } as const;
  expect(resultSentence('Tip 7', unrated, us)).toMatch(
    /^Tip 7 gives 0\.340 gal\/min, give or take 0\.005, at 40 psi\.$/,
  );
});

test('the Log tells the same flow at the same pressure as the headline, and no k', () => {
  const picture = samplePicture(catches);
  const kept = {
    nozzleConstant_m3_per_s_per_sqrtPa: picture.curve.nozzleConstant_m3_per_s_per_sqrtPa,
    nozzleConstantExpanded95_m3_per_s_per_sqrtPa: picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa,
    toldPressure_Pa: psi(40),
  };
  expect(resultSentence('Tip 7', picture, us)).toBe(`Tip 7 gives ${keptFigure(kept, us)}.`);
  expect(keptFigure({ ...kept, nozzleConstant_m3_per_s_per_sqrtPa: null }, us)).toBe('No curve yet.');
});

test.each([
  ['below-limit', 'under the limit of 110 %.'],
  ['above-limit', 'over the limit of 110 %. Replace it'],
  ['cannot-tell-yet', 'too near the limit of 110 % to tell yet. Turn the pump off'],
] as const)(
  'the verdict %s is told in words, and what to do; where the limit comes from one step deeper',
  (verdict, said) => {
    const rated = { ...samplePicture(catches).rated!, verdict };
    expect(ratedSentence(rated, us, false)).toContain(`106 % of rated, give or take 3, at 40 psi: ${said}`);
    expect(ratedSentence(rated, us)).toContain(
      `106 % of rated, give or take 3 with the doubt of the dial itself, at 40 psi: ${said}`,
    );
    expect(ratedSentence(rated, us)).not.toContain('source');
    const read = { standardUncertainty_Pa: psi(0.3), corrected: true };
    expect(ratedSentence(rated, us, true, { ...read, shown_Pa: psi(3) })).toContain(
      'give or take 3 with the 3 psi that the dial shows at no pressure taken off, at 40 psi',
    );
    expect(ratedSentence(rated, us, true, { ...read, shown_Pa: psi(-2) })).toContain('the −2 psi that');
    const pin = { ...read, shown_Pa: 0, corrected: false };
    const near = { ...rated, verdict: 'cannot-tell-yet' } as const;
    expect(ratedSentence(near, us)).toMatch(/does the dial show zero\?$/);
    expect(ratedSentence(near, us, true, pin)).toMatch(/rests on a pin.*gauge to the wand\.$/);
    expect(ratedSentence(near, us, true, { ...read, shown_Pa: psi(3) })).toMatch(
      /read at no pressure already/,
    );
    expect(limitSentence(rated)).toContain('Agricultural Engineering 2018');
  },
);

test('the simulated truth is a flow at a pressure, said to be inside or outside the ±, as it is', () => {
  const picture = samplePicture(catches);
  expect(truthSentence(SAMPLE_K * 1.004, picture, us)).toBe(
    '0.341 gal/min; measured: 0.340, give or take 0.005, at 40 psi; 0.4 % under the truth, inside the ±.',
  );
  expect(truthSentence(SAMPLE_K * 1.1, picture, us)).toContain('outside the ±; that happens about once');
  expect(trueNozzleConstantText(SAMPLE_K, picture, us)).toMatch(/^0\.05\d+ gal\/min per √psi$/);
});

test('outside the ± chance is not named where the conditions do it', () => {
  const picture = samplePicture(catches);
  const mist = conditionsToBlame({ conditions: 'mist-lost', catches });
  const said = truthSentence(SAMPLE_K * 1.1, picture, us, mist);
  expect(said).toContain('what was chosen for this bench (mist: part of the spray drifts');
  expect(said).not.toContain('once in twenty');
  expect(truthSentence(SAMPLE_K * 1.004, picture, us, mist)).toMatch(/inside the ±\.$/);
  expect(conditionsToBlame({ conditions: 'foam', catches })).toContain('foam');
  expect(conditionsToBlame({ conditions: 'typical', catches })).toBeNull();
  expect(conditionsToBlame({ conditions: null, catches })).toBeNull();
  const windy = catches.map((one) => ({ ...one, warnings: ['wind-or-touch'] as const }));
  expect(conditionsToBlame({ conditions: 'windy', catches: windy })).toContain('windy');
  expect(conditionsToBlame({ conditions: 'windy', catches: [...windy, catches[0]!] })).toBeNull();
});

test('a full pail shows what stands in it, and a pause shows no flow', () => {
  const full = sampleSweep({ running: null, prompt: { kind: 'empty-pail', because: 'will-not-fit' } });
  expect(bigFigure(full, us)).toMatchObject({ value: '14 lb in the pail', tone: 'none' });
  expect(bigFigure(sampleSweep({ running: null, prompt: { kind: 'paused' } }), us).value).toBe('paused');
});

test('what holds for the whole sweep is not said in every row', () => {
  const row = catchRow(sampleCatch(0, 40, { warnings: ['timed-by-hand', 'simulated'] }), us);
  expect([row.state, row.why]).toEqual(['good', '']);
});

test('a figure and its unit stay on one line', () => {
  expect(unbroken('Set 2.5 bar. 1.2 L/min, 104 %', metric)).toBe(
    'Set 2.5\u00a0bar. 1.2\u00a0L/min, 104\u00a0%',
  );
});

test('in one pour the turn is asked for while the water runs, and nobody is told to shut off before the last', () => {
  const turn = { kind: 'turn-while-spraying', setting_Pa: psi(30), again: false } as const;
  expect(promptLine(turn, us, null)).toBe('Turn to 30 psi. Keep spraying.');
  expect(promptLine({ ...turn, again: true }, us, null)).toBe(
    'No change heard yet: turn to 30 psi. Keep spraying.',
  );
  expect(nextLine(spraying, turn, us, 5, false)).toBe('Then turn to 30 psi. The water runs on.');
  expect(nextLine(turn, next, us, 5, false)).toContain('Do not shut off');
  const missed = { ...turn, missed: true } as const;
  expect(promptLine(missed, us, null)).toBe('Turn to 30 psi. Keep spraying.');
  expect(nextLine(missed, next, us, 5, false)).toContain('more water would not help enough');
  // What is spoken while the water runs stays short.
  expect(captionOf(missed, us)).toBe('Turn to 30 psi. Keep spraying.');
  const last = { kind: 'shut-off', because: 'longest-catch' } as const;
  expect(nextLine(last, { kind: 'done' }, us, 5, false)).toBe('Then that is all.');
  const turning = sampleSweep({ running: null, prompt: turn });
  expect(bigFigure(turning, us)).toMatchObject({ value: '30', tone: 'asked' });
});

test('what a pour gave, and what the sensor read, are told shortly', () => {
  expect(captionOf({ kind: 'pour-kept', kept: 5, missing: 0 }, us)).toBe('Kept: 5 settings.');
  expect(captionOf({ kind: 'pour-kept', kept: 1, missing: 2 }, us)).toBe(
    'Kept: 1 setting. 2 will be asked for again.',
  );
  const read = { kind: 'pressure-read', pressure_Pa: psi(41.23) } as const;
  expect(captionOf({ ...read, setting_Pa: psi(40) }, us)).toBe('Reads 41.2 psi: counts as 40 psi.');
  expect(captionOf({ ...read, setting_Pa: null }, us)).toBe('Reads 41.2 psi: not on the plan. It is kept.');
  const about = { ...ask, turnAwayFirst: true, sameAgain: false, about: true } as const;
  expect(promptLine(about, us, null)).toBe('Set about 40 psi. Spray into the pail.');
});
