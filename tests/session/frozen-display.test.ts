import { expect, it } from 'vitest';
import { guidedSweep } from '../builders/guided-sweep.ts';
import { aSetup, psi } from '../builders/setup.ts';

/** Seeds with which the one who listens closes a catch a little before the analysis does. */
it.each([15, 20, 23])(
  'on a display that freezes nothing is told of a catch before the analysis has closed it too (seed %i)',
  (seed) => {
    const setup = aSetup({ catchesPerSetting: 1, settings_Pa: psi(20, 40, 60) });
    const sweep = guidedSweep({ setup, seed, bench: { scenario: 'freezing-display' } });
    const seen = new Set<string | null>();
    sweep.run(250, ({ live }) => {
      for (const { voidBecause } of live.view().catches) seen.add(voidBecause);
      return false;
    });
    expect(seen).not.toContain('capture-ended-while-filling');
    const told = sweep.announcements.flatMap((a) => (a.kind === 'void' ? [a.because] : []));
    expect(told).not.toContain('capture-ended-while-filling');
    expect(sweep.announcements.some((a) => a.kind === 'kept')).toBe(true);
  },
);
