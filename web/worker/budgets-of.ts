import type { BudgetFacts } from '../../src/analysis/budget/capture-budgets.ts';
import type { CaptureBudgets } from '../contract.ts';

/** Budgets are looked at after the work is done: their part of the program is loaded then. */
export async function budgetsOf(facts: BudgetFacts): Promise<CaptureBudgets> {
  const { captureBudgets } = await import('../../src/analysis/budget/capture-budgets.ts');
  return captureBudgets(facts);
}
