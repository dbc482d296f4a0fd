import { describe, expect, it } from 'vitest';
import { checkSetup } from '../../../src/session/plan.ts';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import { analyseText } from '../../../web/worker/analyse-text.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

function aBag(names: readonly string[]): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: 2,
    routine: {
      kind: 'bag',
      otherTips: names.map((name) => ({ name, ratedFlow_m3_per_s: null, ratedPressure_Pa: null })),
    },
  });
}

describe('a bag of tips on the simulated bench', () => {
  it('is caught forth and back, and tells which can’t be told apart', async () => {
    // The third is the first one's twin, the second and fourth are 3 % more and 4 % less.
    const sweep = guidedSweep({ setup: aBag(['b', 'c', 'd']), bench: { nozzleShares: [1, 1.03, 1, 0.96] } });
    sweep.run(3000);
    expect(sweep.live.phase).toBe('done');
    const labels = sweep.live.view().catches.map((c) => c.label);
    expect(labels).toEqual(['grey tip 7', 'b', 'c', 'd', 'd', 'c', 'b', 'grey tip 7']);
    const { several } = sweep.live.view().routine!;
    if (several?.kind !== 'set' || several.compared === null) throw new Error('no set');
    expect(several.compared.ties.map((tie) => [...tie].sort())).toEqual([['c', 'grey tip 7']]);
    expect(several.compared.repeat).toBeNull();
    const again = await analyseText('sweep', [sweep.captureText()]);
    expect(again.ok && again.value.several).toEqual(several);
  });

  it('asks for each change with the pressure off, and not where the same tip stays on', () => {
    const sweep = guidedSweep({ setup: aBag(['b', 'c']) });
    sweep.run(3000);
    const changes = sweep.announcements.flatMap((a) =>
      a.kind === 'set-and-spray' && a.nozzle?.of === 'tips' ? [`${a.nozzle.label} ${a.nozzle.change}`] : [],
    );
    expect(changes).toEqual([
      'grey tip 7 first',
      'b change',
      'c change',
      'c same',
      'b change',
      'grey tip 7 change',
    ]);
  });

  it('refuses a bag of two, of nine, and one tip in it twice', () => {
    const because = (names: readonly string[]) => {
      const checked = checkSetup(aBag(names));
      return checked.ok ? 'ok' : checked.because;
    };
    expect(because(['b'])).toBe('tips-too-few-or-many');
    expect(because('bcdefghi'.split(''))).toBe('tips-too-few-or-many');
    expect(because(['b', 'B '])).toBe('same-tip-twice');
    expect(because(['b', 'c'])).toBe('ok');
  });
});
