import { describe, expect, it } from 'vitest';
import { SettingByPressure } from '../../src/session/setting-by-pressure.ts';
import { analyseText } from '../../web/worker/analyse-text.ts';
import { guidedSweep } from '../builders/guided-sweep.ts';
import { aSetup, psi } from '../builders/setup.ts';

const setup = aSetup({
  settings_Pa: psi(20, 40, 60),
  catchesPerSetting: 2,
  settingsFrom: 'sensor',
  targetRelative: 0.01,
});
const board = { instrument: 'bench-board', pressureFullScale_Pa: 1034214 } as const;

describe('settings told by a pressure sensor', () => {
  it('asks for about a pressure, recognises it in the running catch, writes it down itself, and the capture says the same', async () => {
    const sweep = guidedSweep({ setup, bench: board });
    sweep.run(900);
    expect(sweep.live.phase).toBe('done');
    expect(sweep.live.view().plan.map((p) => p.done)).toEqual([2, 2, 2]);
    expect(sweep.announcements.find((a) => a.kind === 'set-and-spray')).toMatchObject({ about: true });
    const read = sweep.announcements.filter((a) => a.kind === 'pressure-read');
    expect(read).toHaveLength(sweep.live.analysis!.catches.length);
    const again = await analyseText('sweep', [sweep.captureText()]);
    expect(again.ok && again.value.analysis).toEqual(sweep.live.analysis);
    const { analysis, picture } = sweep.live;
    for (const c of analysis!.catches) expect(Math.abs(c.pressure_Pa! / c.setting_Pa! - 1)).toBeLessThan(0.3);
    const k = picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
    expect(Math.abs(k - sweep.bench.trueNozzleConstant_m3_per_s_per_sqrtPa)).toBeLessThan(
      picture!.nozzleConstantExpanded95_m3_per_s_per_sqrtPa,
    );
  });

  it('keeps a catch at a pressure that is not on the plan under its own pressure, and still asks for the planned one', () => {
    const sweep = guidedSweep({ setup, bench: board, hears: () => false });
    sweep.bench.setDial(psi(30)[0]!);
    sweep.run(8);
    sweep.bench.openTrigger();
    sweep.run(60, (s) => s.live.phase === 'shut-off');
    sweep.bench.closeTrigger();
    sweep.run(10, (s) => s.live.analysis?.catches.length === 1);
    const [c] = sweep.live.analysis!.catches;
    expect(sweep.announcements).toContainEqual(
      expect.objectContaining({ kind: 'pressure-read', setting_Pa: null }),
    );
    expect(c!.voidBecause).toBeNull();
    expect(Math.abs(c!.setting_Pa! - c!.pressure_Pa!)).toBeLessThan(2e3);
    expect(sweep.live.view().plan.map((p) => p.done)).toEqual([0, 0, 0]);
    expect(sweep.live.prompt).toMatchObject({ kind: 'set-and-spray', about: true });
  });

  it('waits until the pressure is steady, and says nothing while it rises', () => {
    const header = { instrument: 'bench-board', pressureFullScale_Pa: 1e6, unknown: {} } as const;
    const byPressure = new SettingByPressure(header, setup);
    const told: (number | null)[] = [];
    for (let t = 0; t < 12; t += 0.1) {
      const pressure_Pa = psi(40)[0]! * Math.min(1, t / 6);
      byPressure.reading(t, 0.1 + (0.8 * pressure_Pa) / 1e6);
      told.push(byPressure.steady(0)?.setting_Pa ?? null);
    }
    const first = told.findIndex((setting) => setting !== null);
    expect(first / 10).toBeGreaterThan(6.5);
    expect(first / 10).toBeLessThan(8.5);
    expect(told[first]).toBe(psi(40)[0]);
    expect(new SettingByPressure(header, setup).steady(0)).toBeNull();
  });
});
