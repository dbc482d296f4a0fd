import type { BenchView } from '../contract.ts';

/** What is shown before the worker has told anything. */
export const nothingOpen: BenchView = {
  instrument: {
    source: 'none',
    state: 'closed',
    kind: null,
    simulated: false,
    speed: null,
    readingsPerSecond: null,
    mass_kg: null,
    readings: 0,
    linesRefused: 0,
    gaps: 0,
    lastGap: null,
    lastRefusedLine: null,
    because: null,
  },
  sweep: null,
};
