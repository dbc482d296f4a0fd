export interface StepFinder {
  push(mass_kg: number): void;
  /** Step of the grid that the readings lie on, kg; 0 while none is found (or the readings are fine-grained). */
  readonly step_kg: number;
}

const REMEMBERED = 40;
const LEAST_SEEN = 6;
const OFTEN = 3;
const EQUAL_KG = 1e-8;
const ON_GRID = 0.05;

/**
 * Finds the step of a display from its readings: a scale may print 505.0 and 510.0 and nothing between.
 * A grid shows itself by equal differences between readings, or between those differences; and all differences are whole multiples
 * of it. Fine-grained counts give 0. Once a smaller step is found it stays.
 */
export function createStepFinder(): StepFinder {
  const differences_kg: number[] = [];
  let last_kg: number | null = null;
  let step_kg = 0;
  let news = 0;

  function look(): void {
    const sorted = [...differences_kg].sort((a, b) => a - b);
    const gaps = sorted.map((difference, i) => difference - (sorted[i - 1] ?? 0));
    const candidates = [...sorted, ...gaps].filter((value) => value > 1e-7).sort((a, b) => a - b);
    for (let i = 0; i + OFTEN - 1 < candidates.length; i++) {
      const candidate = candidates[i] ?? 0;
      if ((candidates[i + OFTEN - 1] ?? 0) - candidate > EQUAL_KG) continue;
      if (step_kg > 0 && candidate > step_kg - EQUAL_KG) return;
      const off = sorted.filter(
        (value) => Math.abs(value / candidate - Math.round(value / candidate)) > ON_GRID,
      );
      if (off.length > 0) continue;
      step_kg = candidate;
      return;
    }
  }

  return {
    push(mass_kg) {
      if (last_kg !== null && mass_kg !== last_kg) {
        const difference_kg = Math.abs(mass_kg - last_kg);
        if (difference_kg > 1e-7) {
          differences_kg.push(difference_kg);
          if (differences_kg.length > REMEMBERED) differences_kg.shift();
          // Looking costs a sort: often at first, seldom once there is much to look at.
          const often = step_kg === 0 && differences_kg.length < REMEMBERED;
          if (++news >= (often ? 1 : 20) && differences_kg.length >= LEAST_SEEN) {
            news = 0;
            look();
          }
        }
      }
      last_kg = mass_kg;
    },
    get step_kg() {
      return step_kg;
    },
  };
}
