export interface StepFinder {
  push(mass_kg: number): void;
  /** Smallest non-zero difference seen again and again, kg; 0 while none is found (or the readings are fine-grained). */
  readonly step_kg: number;
}

const REMEMBERED = 40;
const SAME_WITHIN = 0.02;
const OFTEN = 3;

/**
 * Finds the step of a display from its readings: a scale may print 505.0 and 510.0 and nothing between.
 * A grid shows itself by equal differences; fine-grained counts have none, and give 0. Once a smaller step is found it stays.
 */
export function createStepFinder(): StepFinder {
  const differences_kg: number[] = [];
  let last_kg: number | null = null;
  let step_kg = 0;
  let news = 0;

  function look(): void {
    const sorted = [...differences_kg].sort((a, b) => a - b);
    for (let i = 0; i + OFTEN - 1 < sorted.length; i++) {
      const low = sorted[i] ?? 0;
      const high = sorted[i + OFTEN - 1] ?? 0;
      if (high - low <= SAME_WITHIN * low) {
        if (step_kg === 0 || low < step_kg * (1 - SAME_WITHIN)) step_kg = low;
        return;
      }
    }
  }

  return {
    push(mass_kg) {
      if (last_kg !== null && mass_kg !== last_kg) {
        const difference_kg = Math.abs(mass_kg - last_kg);
        if (difference_kg > 1e-7) {
          differences_kg.push(difference_kg);
          if (differences_kg.length > REMEMBERED) differences_kg.shift();
          // Looking costs a sort: often at first, seldom once a grid is known.
          if (++news >= (step_kg === 0 && differences_kg.length < REMEMBERED ? 1 : 20)) {
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
