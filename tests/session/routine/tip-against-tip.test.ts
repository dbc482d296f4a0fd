import { describe, expect, it } from 'vitest';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import { analyseText } from '../../../web/worker/analyse-text.ts';
import { guidedSweep, type GuidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

function twoTips(changes: Partial<SweepSetup> = {}, wantedDifference = 0.02): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: 4,
    routine: {
      kind: 'tip-against-tip',
      otherTip: { name: 'grey tip 8', ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
      wantedDifference,
    },
    ...changes,
  });
}

const labels = (sweep: GuidedSweep): (string | undefined)[] =>
  sweep.live
    .view()
    .catches.filter((c) => !c.struck && c.voidBecause === null)
    .map((c) => c.label);

describe('two tips against each other on the simulated bench', () => {
  it.each([3, 5, 8])(
    'runs A B B A twice by itself and finds the ratio within its own ± (seed %i)',
    (seed) => {
      const sweep = guidedSweep({ setup: twoTips(), seed });
      sweep.run(3000);
      expect(sweep.live.phase).toBe('done');
      const [a, b] = ['grey tip 7', 'grey tip 8'];
      expect(labels(sweep)).toEqual([a, b, b, a, a, b, b, a]);
      const { several } = sweep.live.view().routine!;
      if (several?.kind !== 'two' || several.compared === null) throw new Error('no comparison');
      const truth = sweep.bench.nozzleShare({ of: 'tips', index: 1 });
      expect(several).toMatchObject({ tip: b, against: a });
      expect(Math.abs(several.compared.ratio - truth)).toBeLessThan(several.compared.expandedUncertainty95);
      expect(several.compared.expandedUncertainty95).toBeLessThan(0.02);
      expect(sweep.live.picture).toBeNull();
      expect(sweep.live.analysis!.curveBecause).toBe('several-tips');
    },
  );

  it('gives the same from its saved capture as it shows', async () => {
    for (const instrument of ['scale', 'bench-board'] as const) {
      const sweep = guidedSweep({ setup: twoTips({ catchesPerSetting: 2 }), bench: { instrument } });
      sweep.run(2000);
      const again = await analyseText('sweep', [sweep.captureText()]);
      expect(again.ok && again.value.analysis).toEqual(sweep.live.analysis);
      expect(again.ok && again.value.several).toEqual(sweep.live.view().routine!.several);
      expect(again.ok && again.value.labels).toEqual(sweep.live.view().catches.map((c) => c.label));
    }
  });

  it('asks for a change of tip only where the tip changes, and never for a turn of the dial', () => {
    const sweep = guidedSweep({ setup: twoTips() });
    sweep.run(3000);
    const asked = sweep.announcements.flatMap((a) => (a.kind === 'set-and-spray' ? [a] : []));
    const changes = asked.map((a) => (a.nozzle?.of === 'tips' ? a.nozzle.change : null));
    expect(changes).toEqual(['first', 'change', 'same', 'change', 'same', 'change', 'same', 'change']);
    expect(asked.every((a) => !a.turnAwayFirst)).toBe(true);
  });
});
