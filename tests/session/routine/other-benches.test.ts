import { describe, expect, it } from 'vitest';
import type { SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

function twoTips(rig: Partial<SweepSetup['rig']> = {}): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: 2,
    rig: { ...aSetup().rig, ...rig },
    routine: {
      kind: 'tip-against-tip',
      otherTip: { name: 'grey tip 8', ratedFlow_m3_per_s: null, ratedPressure_Pa: null },
      wantedDifference: 0.05,
    },
  });
}

describe('two tips on other benches', () => {
  it.each([
    [
      'a hose reel',
      { kind: 'hose-reel' },
      { rig: { kind: 'hose-reel', standsOnScale: 'pail', strokePeriod_s: null } },
    ],
    ['a board with a pressure sensor', {}, { instrument: 'bench-board', pressureFullScale_Pa: psi(150)[0]! }],
    [
      'a flow meter alone',
      {},
      { instrument: 'bench-board', loadCell: false, meterPulsesPerCubicMetre: 455_000 },
    ],
  ] as const)('with %s the ratio holds the truth', (_, rig, bench) => {
    const sweep = guidedSweep({
      setup: twoTips(rig),
      bench: { nozzleShares: [1, 1.03], ...bench } as Partial<SimulatedBenchOptions>,
    });
    sweep.run(3000, (s) => s.live.prompt.kind === 'more-catches');
    const { several, plan } = sweep.live.view().routine!;
    expect(plan.map((p) => p.done)).toEqual([2, 2]);
    if (several?.kind !== 'two' || several.compared === null) throw new Error('no comparison');
    expect(Math.abs(several.compared.ratio - 1.03)).toBeLessThan(several.compared.expandedUncertainty95);
  });
});
