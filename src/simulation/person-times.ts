/** Reaction to a prompt, one turn of the dial, emptying a pail: all ranges in seconds. */
export const personTimes = {
  reaction_s: [0.5, 2],
  turn_s: [1, 3],
  aim_s: [0.5, 1.5],
  emptying_s: [6, 12],
  reading_s: [2, 5],
  /** Pump off, trigger open, pressure at zero, tip off, tip on, pump on. */
  changingTip_s: [15, 30],
} as const;
