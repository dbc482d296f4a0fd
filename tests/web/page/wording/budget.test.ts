import { expect, test } from 'vitest';
import { budgetInputs } from '../../../../src/analysis/budget/budget.ts';
import type { Budget, BudgetLine } from '../../../../web/contract.ts';
import { budgetCsv, budgetFileName, budgetJson, namedBudgets } from '../../../../web/state/budget-file.ts';
import { resultOfSweep } from '../../../../web/state/result-data.ts';
import {
  biggestSentence,
  budgetRows,
  inputName,
  otherHelps,
  togetherText,
} from '../../../../web/wording/budget.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { doneSweep } from '../sample-sweep.ts';

const line = (more: Partial<BudgetLine>): BudgetLine => ({
  input: 'jet-push',
  value: 0,
  unit: 'kg',
  standardUncertainty: 0.001,
  distribution: 'rectangular',
  sensitivity: 4e-5,
  degreesOfFreedom: 1e6,
  scope: 'own',
  contribution: 4e-8,
  included: true,
  ...more,
});
const missed = line({
  input: 'spray-missed',
  value: null,
  unit: '1',
  distribution: 'one-sided',
  contribution: 0,
  included: false,
  scope: 'shared',
});
const budget: Budget = {
  result: 'flow',
  value: 2.5e-5,
  unit: 'm³/s',
  lines: [
    line({
      input: 'water-temperature',
      unit: '°C',
      value: 20,
      standardUncertainty: 1,
      contribution: 5e-9,
      scope: 'shared',
    }),
    line({ contribution: 4e-8 }),
    line({
      input: 'scatter-of-readings',
      unit: 'kg/s',
      value: 0.025,
      contribution: 1e-8,
      degreesOfFreedom: 4,
      distribution: 'scatter',
    }),
    missed,
  ],
  ownStandardUncertainty: 4.1e-8,
  sharedStandardUncertainty: 5e-9,
  standardUncertainty: 4.153e-8,
  degreesOfFreedom: 1190,
  coverageFactor: 1.962,
  expandedUncertainty95: 8.15e-8,
  helps: [
    { help: 'three-catches', acts: 'jet-push', amount: 3, expandedUncertainty95: 4.8e-8 },
    { help: 'guide-wand', acts: 'jet-push', amount: null, expandedUncertainty95: 3.5e-8 },
  ],
};
const us = shownUnits.us;

test('the biggest part is named in one plain sentence with what would reduce it', () => {
  expect(biggestSentence(budget, us)).toBe(
    'Give or take 0.33 % in all. Biggest part: the push of the jet (± 0.31 %). With the mean of three such catches it would be ± 0.19 % in all.',
  );
  const [, guide] = budget.helps;
  expect(biggestSentence({ ...budget, helps: [guide!] }, us)).toContain(
    'With the wand in a guide that stands on the ground it would be ± 0.14 % in all.',
  );
});

test('two parts of nearly one size are both named, and advice stands without a figure where none can be had', () => {
  const lines = [
    line({ input: 'scale-factor', contribution: 4e-8 }),
    line({ input: 'pail-marks', contribution: 3.5e-8 }),
  ];
  expect(biggestSentence({ ...budget, lines, helps: [] }, us)).toBe(
    'Give or take 0.33 % in all. Biggest parts: the check of the scale (± 0.31 %) and the marks of the pail (± 0.27 %). A heavier known mass, put on more often, makes it smaller.',
  );
});

test('of an instrument that nobody checked it is said where the ± stands, in the table, and first under what would help', () => {
  for (const [input, named] of [
    ['unchecked-scale', 'The scale'],
    ['unchecked-meter', 'The flow meter'],
  ] as const) {
    const unchecked: Budget = {
      ...budget,
      lines: [...budget.lines, { ...missed, input, distribution: 'unknown' }],
    };
    expect(biggestSentence(unchecked, us)).toBe(
      `${biggestSentence(budget, us)} ${named} was not checked: what it is off by is not in that.`,
    );
    expect(budgetRows(unchecked, us).at(-1)).toMatchObject({
      part: 'not in the ±',
      doubt: 'not known',
      known: 'nobody can say',
      effect: 'low or high',
    });
    expect(otherHelps(unchecked, us)[0]).toContain('would be known');
    expect(otherHelps(unchecked, us).slice(1)).toEqual(otherHelps(budget, us));
  }
});

test('other helps are told with what they would leave', () => {
  expect(otherHelps(budget, us)).toEqual([
    'With the mean of three such catches: ± 0.19 % instead of 0.33 %.',
    'With the wand in a guide that stands on the ground: ± 0.14 % instead of 0.33 %.',
  ]);
});

test('every input has a name in plain words, and the table has the biggest first and what is not counted last', () => {
  for (const input of budgetInputs) {
    expect(inputName({ input, scope: 'own' })).toMatch(/^[a-z ]+$/);
  }
  expect(inputName({ input: 'setting', scope: 'shared' })).not.toBe(
    inputName({ input: 'setting', scope: 'own' }),
  );
  const rows = budgetRows(budget, us);
  expect(rows.map((row) => row.name)).toEqual([
    'the push of the jet',
    'unsteady readings',
    'the temperature of the water',
    'spray that missed the pail',
  ]);
  expect(rows[1]).toMatchObject({
    value: '25 g/s',
    known: 'seen to scatter',
    degreesOfFreedom: '4.0',
    scope: 'own',
  });
  expect(rows[2]).toMatchObject({
    value: '68 °F',
    doubt: '± 1.8 °F',
    scope: 'shared',
    degreesOfFreedom: '∞',
  });
  expect(rows[3]).toMatchObject({ part: 'not in the ±', doubt: 'not known', effect: 'reads low' });
  expect(togetherText(budget)).toBe(
    '0.17 % as one standard deviation, over 500 degrees of freedom, times 1.96: ± 0.33 %',
  );
});

const data = {
  ...resultOfSweep({
    ...doneSweep(),
    budgets: { catches: [budget, null], nozzleConstant: budget, ratioToRated: null },
  }),
  tipName: '=HYPERLINK("x"), left',
};

test('the saved budget is JSON with every unit beside its figure', () => {
  const saved = JSON.parse(budgetJson(data)) as { format: string; simulated: boolean; budgets: unknown[] };
  expect(saved).toMatchObject({ format: 'catchbench-budget 1', simulated: true, tip: data.tipName });
  expect(saved.budgets).toHaveLength(2);
  expect(saved.budgets[1]).toMatchObject({
    of: 'catch',
    catchNumber: 1,
    budget: { unit: 'm³/s', value: 2.5e-5 },
  });
  expect(namedBudgets({ ...data, budgets: null })).toEqual([]);
});

test('the saved table has no formula in any cell, and quotes what needs it', () => {
  const text = budgetCsv(data);
  const rows = text.trimEnd().split('\r\n');
  expect(rows).toHaveLength(1 + 2 * (budget.lines.length + 1));
  expect(rows[1]).toContain(`"'=HYPERLINK(""x""), left"`);
  for (const start of ['=', '+', '-', '@']) {
    expect(budgetCsv({ ...data, tipName: `${start}1` })).toContain(`,'${start}1,`);
  }
  expect(rows[1]!.split(',').at(-1)).toBe('5e-9');
  expect(text).not.toContain('null');
});

test('a file is named after the tip with nothing in it that a disk could mind', () => {
  expect(budgetFileName('../../ left: "knapsack" ', 'json')).toBe('budget-left-knapsack.json');
  expect(budgetFileName('日本', 'csv')).toBe('budget-tip.csv');
});
