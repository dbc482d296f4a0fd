/** A result's budgets as files: JSON in SI with the unit beside every figure, and a table for a spreadsheet. */
import type { Budget, BudgetLine } from '../contract.ts';
import type { ResultData } from './result-data.ts';

interface NamedBudget {
  /** `nozzle-constant`, `ratio-to-rated`, or `catch` with its number. */
  readonly of: string;
  readonly catchNumber: number | null;
  readonly setting_Pa: number | null;
  readonly budget: Budget;
}

export function namedBudgets({ budgets, catches }: ResultData): NamedBudget[] {
  if (budgets === null) return [];
  const named = (of: string, budget: Budget | null): NamedBudget[] =>
    budget === null ? [] : [{ of, catchNumber: null, setting_Pa: null, budget }];
  return [
    ...named('nozzle-constant', budgets.nozzleConstant),
    ...named('ratio-to-rated', budgets.ratioToRated),
    ...budgets.catches.flatMap((budget, index) =>
      budget === null
        ? []
        : [
            {
              of: 'catch',
              catchNumber: index + 1,
              setting_Pa: catches[index]?.setting_Pa ?? null,
              budget,
            },
          ],
    ),
  ];
}

export function budgetJson(data: ResultData): string {
  return `${JSON.stringify(
    {
      format: 'catchbench-budget 1',
      tip: data.tipName,
      simulated: data.simulated,
      confidence: 0.95,
      knownDegreesOfFreedom: 1e6,
      budgets: namedBudgets(data),
    },
    null,
    2,
  )}\n`;
}

const columns: readonly (keyof BudgetLine)[] = [
  'input',
  'scope',
  'included',
  'value',
  'unit',
  'standardUncertainty',
  'distribution',
  'sensitivity',
  'degreesOfFreedom',
  'contribution',
];

/** One row an input; then one row with what they come to. Commas, CRLF, as RFC 4180 has it. */
export function budgetCsv(data: ResultData): string {
  const head = ['simulated', 'tip', 'of', 'catchNumber', 'setting_Pa', 'result', 'resultUnit', ...columns];
  const rows = namedBudgets(data).flatMap(({ of, catchNumber, setting_Pa, budget }) => {
    const about = [data.simulated, data.tipName, of, catchNumber, setting_Pa, budget.value, budget.unit];
    return [
      ...budget.lines.map((line) => [...about, ...columns.map((column) => line[column])]),
      [
        ...about,
        'combined',
        '',
        true,
        budget.value,
        budget.unit,
        budget.standardUncertainty,
        `expanded 95 %: ${budget.expandedUncertainty95}`,
        1,
        budget.degreesOfFreedom,
        budget.standardUncertainty,
      ],
    ];
  });
  return [head, ...rows].map((row) => `${row.map(cell).join(',')}\r\n`).join('');
}

/** A text that a spreadsheet would take for a formula gets an apostrophe; numbers stay numbers. */
function cell(value: string | number | boolean | null): string {
  if (value === null) return '';
  if (typeof value !== 'string') return String(value);
  const safe = /^[\s]*[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** A file name out of a tip's name: letters and figures, nothing a disk could mind. */
export function budgetFileName(tipName: string, ending: 'json' | 'csv'): string {
  const plain = tipName
    .normalize('NFKD')
    .replaceAll(/[^A-Za-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 40);
  return `budget-${plain === '' ? 'tip' : plain}.${ending}`;
}
