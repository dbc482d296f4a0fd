/** Successive strokes that a hand-pumped catch has to hold (knapsack discharge test: collect 20 successive strokes, check-values 3.12). */
export const STROKES_WANTED = 20;
