import { tQuantile } from '../../base/statistics/distributions.ts';
import { combineUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import type { CombinedUncertainty } from '../../base/statistics/welch-satterthwaite.ts';
import { MOST_DEGREES_OF_FREEDOM } from '../flow/catch-uncertainty.ts';
import type { Budget, BudgetLine, BudgetResult, SharedPart } from './budget.ts';
import { endless } from './shared-degrees.ts';

/** A budget of these lines. Formula: JCGM 100:2008, 5.1.2 (independent inputs), G.4.1, G.6.4. Unit of the result in `unit`. */
export function sumLines(
  about: { readonly result: BudgetResult; readonly value: number; readonly unit: string },
  lines: readonly BudgetLine[],
): Budget {
  const whole = combineLines(lines);
  const degreesOfFreedom = Math.min(MOST_DEGREES_OF_FREEDOM, whole.degreesOfFreedom);
  const coverageFactor = tQuantile(0.975, degreesOfFreedom);
  const of = (scope: BudgetLine['scope']): number =>
    combineLines(lines.filter((line) => line.scope === scope)).standardUncertainty;
  return {
    ...about,
    lines,
    ownStandardUncertainty: of('own'),
    sharedStandardUncertainty: of('shared'),
    standardUncertainty: whole.standardUncertainty,
    degreesOfFreedom,
    coverageFactor,
    expandedUncertainty95: coverageFactor * whole.standardUncertainty,
    helps: [],
  };
}

/** Root sum of squares and Welch-Satterthwaite of the lines that are included. */
export function combineLines(lines: readonly BudgetLine[]): CombinedUncertainty {
  return combineUncertainty(
    lines
      .filter((line) => line.included)
      .map(({ contribution, degreesOfFreedom }) => ({
        standardUncertainty: contribution,
        degreesOfFreedom: endless(degreesOfFreedom),
      })),
  );
}

/** What a shared part does to a result of this size. */
export function sharedLine(part: SharedPart, value: number): BudgetLine {
  const contribution = Math.abs(part.relative * value);
  return {
    input: part.input,
    value: part.value,
    unit: part.unit,
    standardUncertainty: part.standardUncertainty,
    distribution: part.distribution,
    sensitivity: part.standardUncertainty > 0 ? contribution / part.standardUncertainty : 0,
    degreesOfFreedom: part.degreesOfFreedom,
    scope: 'shared',
    contribution,
    included: true,
  };
}
