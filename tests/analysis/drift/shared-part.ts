import type { BudgetInput, SharedPart } from '../../../src/analysis/budget/budget.ts';

/** What all catches of a sweep share, by nothing but its size. */
export function shared(input: BudgetInput, relative: number, value: number | null = null): SharedPart {
  return {
    input,
    value,
    unit: '1',
    standardUncertainty: relative,
    distribution: 'normal',
    degreesOfFreedom: Infinity,
    relative,
  };
}
