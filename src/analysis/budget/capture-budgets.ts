import { sharedOffset_Pa } from '../curve/compare-with-rated.ts';
import type { FittedCurve } from '../sweep/analyse-curve.ts';
import type { AnalysedCatch, RatedComparison } from '../sweep/analysis.ts';
import type { CaptureBudgets } from './budget.ts';
import { catchBudget } from './catch-budget.ts';
import type { CatchBudgetFacts } from './catch-budget.ts';
import { nozzleConstantBudget, ratedBudget } from './nozzle-constant-budget.ts';

/** What an analysis leaves behind for its budgets: they are made only when somebody asks. */
export interface BudgetFacts {
  readonly catches: readonly AnalysedCatch[];
  readonly about: CatchBudgetFacts;
  /** Null where there is no curve. */
  readonly fitted: FittedCurve | null;
  readonly rated: RatedComparison | null;
}

/** The budgets of every catch with a flow, of k, and of measured over rated flow. */
export function captureBudgets({ catches, about, fitted, rated }: BudgetFacts): CaptureBudgets {
  const budgets = catches.map((caught) => catchBudget(caught, about));
  if (fitted === null) return { catches: budgets, nozzleConstant: null, ratioToRated: null };
  const { curve } = fitted;
  const nozzleConstant = nozzleConstantBudget(
    curve,
    fitted.catches.map((index) => budgets[index] ?? null),
    fitted.shared,
    about.help,
  );
  return {
    catches: budgets,
    nozzleConstant,
    ratioToRated: ratedBudget(
      curve,
      nozzleConstant,
      rated,
      fitted.dialZero?.standardUncertainty_Pa ?? sharedOffset_Pa(curve),
      about.help,
    ),
  };
}
