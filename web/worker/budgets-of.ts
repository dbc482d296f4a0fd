import type { BudgetFacts } from '../../src/analysis/budget/capture-budgets.ts';
import type { CaptureBudgets } from '../contract.ts';

/** Budgets are looked at after the work is done: their part of the program is loaded then. */
export async function budgetsOf(facts: BudgetFacts): Promise<CaptureBudgets> {
  const { captureBudgets } = await import('../../src/analysis/budget/capture-budgets.ts');
  return captureBudgets(facts);
}

/** Budgets for a view that can't wait: null at first, and `changed` is called once they are there. */
export class LateBudgets {
  readonly #changed: () => void;
  #asked: BudgetFacts | null = null;
  #made: CaptureBudgets | null = null;

  constructor(changed: () => void) {
    this.#changed = changed;
  }

  of(facts: BudgetFacts | null): CaptureBudgets | null {
    if (facts === null || facts === this.#asked) return this.#made;
    this.#asked = facts;
    this.#made = null;
    void budgetsOf(facts).then((budgets) => {
      // A strike meanwhile has made these ones old.
      if (this.#asked !== facts) return;
      this.#made = budgets;
      this.#changed();
    });
    return null;
  }
}
