import { expect, test } from 'vitest';
import type { FinerCause, SettlingTest } from '../../../../web/contract.ts';
import { causeRows, findingFigures } from '../../../../web/wording/finding-numbers.ts';
import {
  causeText,
  findingInBrief,
  findingSentence,
  isFault,
  noFindingSentence,
  standingSentence,
  testWords,
  tipCaution,
} from '../../../../web/wording/finding.ts';
import { testsHeading, testsOffered, unseenSentence } from '../../../../web/wording/finding-next.ts';
import { findingNotes, ruleSentences } from '../../../../web/wording/finding-rule.ts';
import { findingToDraw, flowsOfFinding, markSentence } from '../../../../web/wording/finding-mark.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { noReference, sampleDiagnosis } from '../sample-rack.ts';
import { psi } from '../sample-sweep.ts';

const { us, metric } = shownUnits;

const everySaid: readonly FinerCause[] = [
  'no fault shown',
  'worn',
  'restricted',
  'leaking',
  'pump-limited',
  'dial-low',
  'dial-high',
  'check-valve',
  'dial-high-or-check-valve',
];

test('a worn tip is told with its size, against what, and nothing of statistics', () => {
  const worn = sampleDiagnosis({ said: 'worn' });
  expect(findingSentence(worn, us)).toBe('Worn: 9.0 %, give or take 1.4, over its own baseline.');
  expect(standingSentence(worn)).toContain('look again');
  expect(standingSentence(worn)).not.toContain('Replace');
});

test('so far off that it may be another tip, nothing is to be replaced: look at the tip first', () => {
  for (const said of ['worn', 'restricted'] as const) {
    const far = sampleDiagnosis({ said, standing: 'found-twice', warnings: ['far-from-reference'] });
    expect(standingSentence(far)).toMatch(/second sweep.*Is this the tip\?/);
    expect(standingSentence(far)).not.toMatch(/replace the tip|take out/i);
  }
});

test('"replace" is said only when a second sweep found the same, and the reference is named as a possible cause', () => {
  const twice = sampleDiagnosis({ said: 'worn', standing: 'found-twice' });
  expect(standingSentence(twice)).toMatch(/second sweep.*Replace the tip.*reference/);
  for (const said of everySaid)
    expect(standingSentence(sampleDiagnosis({ said, standing: 'look-again' }))).not.toMatch(/replace/i);
});

test('restricted is never said alone where pressure may be lost before the tip', () => {
  const lost = sampleDiagnosis({
    said: 'restricted',
    pressureMayBeLost: true,
    size: { of: 'constant-ratio', value: 0.91, expandedUncertainty95: 0.02 },
  });
  expect(findingSentence(lost, us)).toBe(
    'Restricted, or pressure lost before the tip: 9.0 %, give or take 2.0, under its own baseline.',
  );
  expect(findingInBrief(lost)).toContain('pressure lost before the tip');
  expect(causeText('restricted', { pressureMayBeLost: false })).toBe('restricted');
  const sound = sampleDiagnosis({ said: 'no fault shown', pressureMayBeLost: true });
  expect(findingSentence(sound, us)).toContain('pressure may be lost');
  expect(findingInBrief(sound)).toContain('pressure is lost');
});

test('no fault shown does not stand alone where a gauge at the wand found a loss', () => {
  const lost = { relative: 0.081, from: 'wand-gauge' } as const;
  const rated = { ...sampleDiagnosis({ said: 'worn' }).reference, from: 'rated' } as const;
  const sound = sampleDiagnosis({ said: 'no fault shown', reference: rated, flowLostBeforeTip: lost });
  expect(findingSentence(sound, us)).toBe(
    'No fault shown in the tip; but about 8 % of the flow is missing at the wand: lost on the way, or the dial shows too much.',
  );
  expect(findingInBrief(sound)).toMatch(/^No fault shown in the tip; about 8 % of the flow is missing/);
  // The same gauge where a loss and a dial can't be told apart: the caution stays with it, and neither is claimed.
  const either = sampleDiagnosis({
    said: 'no fault shown',
    reference: rated,
    flowLostBeforeTip: lost,
    pressureMayBeLost: true,
  });
  expect(findingSentence(either, us)).toBe(
    'No fault shown; but about 8 % of the flow is missing at the wand: lost on the way, or the dial shows too much.',
  );
  expect(findingInBrief(either)).toContain('unless pressure is lost');
  expect(findingNotes(either).join(' ')).not.toContain('is lost between');
  // Too little to matter, or this rig's own baseline, which lost as much: nothing stands beside it.
  for (const more of [
    { reference: rated, flowLostBeforeTip: { relative: 0.014, from: 'wand-gauge' } },
    { flowLostBeforeTip: lost },
  ] as const)
    expect(findingInBrief(sampleDiagnosis({ said: 'no fault shown', ...more }))).toBe('No fault shown');
});

test('a tip that hangs lower than the gauge gains: no loss below none is told', () => {
  const note = (relative: number) =>
    findingNotes(sampleDiagnosis({ said: 'worn', flowLostBeforeTip: { relative, from: 'hose' } })).join(' ');
  expect(note(-0.021)).toMatch(/^The tip gives about 2 % more /);
  for (const relative of [-0.004, 0.004]) expect(note(relative)).toMatch(/^Next to nothing of the flow/);
  expect(note(0.006)).toMatch(/^About 1 % of the flow is lost/);
});

test('one curve, two causes; and A or B without a size, for it would be the size of one of them', () => {
  const both = sampleDiagnosis({
    said: 'dial-high-or-check-valve',
    size: { of: 'offset_Pa', value: psi(6), expandedUncertainty95: psi(1) },
  });
  expect(findingSentence(both, us)).toBe(
    'Dial high or check valve: one curve, two causes; the tip gets 6.0 psi, give or take 1.0, less than the dial says.',
  );
  const tie = sampleDiagnosis({ said: 'worn', orElse: 'leaking' });
  expect(findingSentence(tie, us)).toBe('Worn, or leaking: both give this curve.');
  expect(ruleSentences(tie)).toHaveLength(2);
});

test('sizes are told in the units chosen', () => {
  const capped = sampleDiagnosis({
    said: 'pump-limited',
    size: { of: 'pump-pressure_Pa', value: 3.4e5, expandedUncertainty95: 0.08e5 },
  });
  expect(findingSentence(capped, metric)).toBe(
    'Pump-limited: the pump gives no more than 3.40 bar, give or take 0.08.',
  );
  const low = sampleDiagnosis({
    said: 'dial-low',
    size: { of: 'offset_Pa', value: psi(-4), expandedUncertainty95: psi(1.2) },
  });
  expect(findingSentence(low, us)).toBe(
    'Dial low: the tip gets 4.0 psi, give or take 1.2, more than the dial says.',
  );
  const leak = sampleDiagnosis({
    said: 'leaking',
    size: { of: 'leak-share', value: 0.06, expandedUncertainty95: 0.02 },
  });
  expect(findingSentence(leak, us)).toContain('6.0 %, give or take 2.0, more than the tip itself gives');
});

test('none of the causes we know, and none at all for want of a reference: then how to get one', () => {
  expect(findingSentence(sampleDiagnosis({ said: null }), us)).toBe(
    'None of the causes we know gives this curve.',
  );
  expect(noFindingSentence(noReference)).toMatch(/^No finding yet.*reference/);
  expect(noFindingSentence({ because: 'too-few-settings', settledBy: [] })).toContain(
    'Measure at more pressures',
  );
  expect(testWords[noReference.settledBy[0]!].how).toContain('stamped');
});

test('every cause has a sentence, a rule and words without a code in them; every test has a name and a way', () => {
  for (const said of everySaid) {
    for (const pressureMayBeLost of [true, false]) {
      const diagnosis = sampleDiagnosis({ said, pressureMayBeLost, standing: 'found-twice' });
      const texts = [
        findingSentence(diagnosis, us),
        findingInBrief(diagnosis),
        ...ruleSentences(diagnosis),
        standingSentence(diagnosis),
      ];
      for (const text of texts) expect(text).not.toMatch(/undefined|null|NaN|_|\[object/);
      expect(ruleSentences(diagnosis)[0]!.length).toBeGreaterThan(40);
    }
  }
  for (const kind of Object.keys(testWords) as SettlingTest[]) {
    expect(testWords[kind].name).toMatch(/^[A-Z]/);
    expect(testWords[kind].how).toMatch(/[.?]$/);
  }
});

test('a blank tip is asked for only with its cautions, and a tip is taken out only after pressure is off', () => {
  expect(testWords['blank-tip'].how).toMatch(/rating.*nobody.*bypass/);
  for (const said of ['worn', 'restricted', 'leaking'] as const)
    expect(tipCaution(sampleDiagnosis({ said }))).toMatch(/pump off, trigger open, pressure at zero/);
  expect(tipCaution(sampleDiagnosis({ said: 'dial-low' }))).toBe('');
  expect(tipCaution(sampleDiagnosis({ said: 'dial-low', orElse: 'worn' }))).not.toBe('');
});

test('no fault shown never stands above "too near the limit" without a word of it, and offers what would tell', () => {
  const reference = { ...sampleDiagnosis({ said: 'worn' }).reference, from: 'rated' } as const;
  const sound = sampleDiagnosis({
    said: 'no fault shown',
    reference,
    smallestChangeNamed: 0.0612,
    settledBy: ['take-a-baseline'],
  });
  const near = { verdict: 'cannot-tell-yet', limitRatio: 1.1 } as const;
  expect(findingSentence(sound, us, near)).toBe(
    'No fault shown, but it is too near the limit of 110 % of the stamp to tell yet.',
  );
  expect(findingSentence(sound, us, { ...near, verdict: 'above-limit' })).toContain(
    'over the limit of 110 %',
  );
  expect(findingSentence(sound, us, { ...near, verdict: 'below-limit' })).toBe(
    'No fault shown: it gives what the stamp on it says.',
  );
  const own = sampleDiagnosis({ said: 'no fault shown' });
  expect(findingSentence(own, us, near)).toBe(
    'No fault shown against its own baseline; but it is too near the limit of 110 % of the stamp to tell yet.',
  );
  expect(unseenSentence(sound)).toContain('less than about 6.2 %');
  expect(unseenSentence(sampleDiagnosis({ said: 'worn', smallestChangeNamed: 0.06 }))).toBe('');
  const offered = testsOffered(sound, { rated: near });
  expect(offered).toEqual(['second-sweep', 'more-catches', 'take-a-baseline']);
  expect(testsHeading(sound, offered)).toBe('What would settle it, in this order');
  // Nothing is to settle where it lies under the limit; a new tip is just getting its baseline.
  const later = testsOffered(sound, { rated: { ...near, verdict: 'below-limit' } });
  expect(testsHeading(sound, later)).toBe('For later sweeps');
  expect(testsOffered(sound, { occasion: 'new-tip' })).toEqual([]);
});

test('after the blank tip a leak is told with what to look at, not with "look again"', () => {
  const asked = sampleDiagnosis({ said: 'leaking', settledBy: ['blank-tip', 'second-sweep'] });
  expect(standingSentence(asked)).toContain('look again');
  const made = sampleDiagnosis({ said: 'leaking', settledBy: ['second-sweep'] });
  expect(standingSentence(made)).toMatch(/seal, the gasket and the threads; then catch again/);
});

test('a warning that stands elsewhere on the page is not told twice', () => {
  const worn = sampleDiagnosis({ said: 'worn', warnings: ['meter-not-checked'] });
  expect(findingNotes(worn)).toHaveLength(1);
  expect(findingNotes(worn, ['meter-not-checked'])).toHaveLength(0);
});

test('only a fault is drawn as one', () => {
  expect(isFault(sampleDiagnosis({ said: 'no fault shown' }))).toBe(false);
  expect(isFault(sampleDiagnosis({ said: 'worn' }))).toBe(true);
  expect(isFault(sampleDiagnosis({ said: null }))).toBe(true);
  expect(isFault(sampleDiagnosis({ said: 'check-valve' }))).toBe(false);
});

test('the figures: best cause first, how far behind the others are, the gate, the reference, the other leaks', () => {
  const diagnosis = sampleDiagnosis({ said: 'worn', withOtherLeak: 'leaking' });
  const rows = causeRows(diagnosis);
  expect(rows).toHaveLength(7);
  expect(rows[0]).toEqual({ cause: 'worn', aicc: '12.3', behind: 'best' });
  expect(rows.at(-1)).toMatchObject({ cause: 'no fault shown', behind: '49.7' });
  const figures = findingFigures(diagnosis, us).map(({ value }) => value);
  expect(figures.join(' ')).toMatch(/49\.7 points .*; a fault is named from 7\.0 points up/);
  expect(figures.join(' ')).toMatch(/0\.5 or 1\.5 .* leaking/);
});

test('a catch that stands apart is told of the sweep, not of nothing; a loss of next to nothing is not told as 0 %', () => {
  const notes = findingNotes(
    sampleDiagnosis({
      said: 'worn',
      warnings: ['stands-apart'],
      flowLostBeforeTip: { relative: 0.002, from: 'hose' },
    }),
  ).join(' ');
  expect(notes).toMatch(/^One catch stands apart.* the finding was made without it/);
  expect(notes).not.toContain('counts like');
  expect(notes).toMatch(/Next to nothing of the flow is lost/);
});

test('loss on the way is told with where it is from, or that it is not known', () => {
  const known = sampleDiagnosis({
    said: 'restricted',
    pressureMayBeLost: true,
    flowLostBeforeTip: { relative: 0.042, from: 'hose' },
  });
  expect(findingNotes(known).join(' ')).toMatch(/About 4 % .*worked out/);
  expect(findingNotes(sampleDiagnosis({ said: 'restricted', pressureMayBeLost: true })).join(' ')).toContain(
    'nobody told',
  );
});

test('beside the mark stands what it shows; for those who do not see it there is a sentence', () => {
  const worn = sampleDiagnosis({ said: 'worn' });
  const pressures = [psi(20), psi(40), psi(60)];
  expect(findingToDraw(worn, pressures, us)).toMatchObject({
    labels: ['9 % over'],
    referenceLabel: 'baseline',
  });
  expect(markSentence(worn, us)).toBe(' Marked at 40 psi: 9 % over.');
  const flows = flowsOfFinding(worn, pressures, [psi(20), psi(60)]);
  expect(Math.max(...flows)).toBeGreaterThanOrEqual(worn.marks[0]!.flow_m3_per_s);
});
