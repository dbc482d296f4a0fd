import { describe, expect, it } from 'vitest';
import { findPressurePlateaus } from '../../../src/analysis/sweep/pressure-plateaus.ts';
import { nearestPlanned, recogniseSettings } from '../../../src/analysis/sweep/recognise-settings.ts';
import { Random } from '../../../src/simulation/random.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';
import { analysed } from './analysed.ts';
import { shapeFaults } from './documented-shape.ts';

const DIAL_U = 1.5 * 6894.757293168;

/** Every announcement of a setting taken out: a recording of somebody who only turned the dial and sprayed. */
const unannounced = (text: string): string => text.replaceAll(/^\S+\t!setting .*\n/gm, '');

describe('settings recognised by the pressure that was read', () => {
  it('finds five settings ten psi apart in three catches each, whatever their order, in 200 seeded sweeps', () => {
    let right = 0;
    for (let seed = 1; seed <= 200; seed++) {
      const random = new Random(seed);
      const meant = [20, 60, 30, 50, 40, 20, 60, 30, 50, 40, 60, 20, 30, 40, 50];
      const read = psi(...meant).map((p) => p + DIAL_U * random.normal());
      const found = recogniseSettings(read, DIAL_U);
      if (found.ok && new Set(found.value).size === 5) right++;
    }
    // Three repeats of a knob good to 1.5 psi lie near enough to each other, and five groups apart, nearly always.
    expect(right).toBeGreaterThan(150);
  });

  it('refuses settings that run into each other, and says where', () => {
    const ladder = Array.from({ length: 12 }, (_, i) => 2e5 + i * 2e4);
    expect(recogniseSettings(ladder, DIAL_U)).toEqual({
      ok: false,
      because: 'settings-too-close',
      facts: { low_Pa: 2e5, high_Pa: 2e5 + 11 * 2e4 },
    });
    expect(recogniseSettings([201e3, 203e3, 300e3], 5e3)).toEqual({ ok: true, value: [202e3, 202e3, 300e3] });
    expect(() => recogniseSettings([1e5], NaN)).toThrow(RangeError);
  });

  it('names the planned setting that a pressure is meant to be, or none', () => {
    const planned = psi(20, 30, 40);
    expect(nearestPlanned(psi(41.5)[0]!, planned, DIAL_U)).toBe(planned[2]);
    expect(nearestPlanned(psi(35)[0]!, planned, DIAL_U)).toBeNull();
    expect(nearestPlanned(psi(60)[0]!, planned, DIAL_U)).toBeNull();
    expect(nearestPlanned(psi(60)[0]!, [], DIAL_U)).toBeNull();
  });

  it('draws the curve of a recording without any announced setting, and prints no setting nobody announced', () => {
    const sweep = guidedSweep({
      setup: aSetup({ catchesPerSetting: 2, targetRelative: 0.01 }),
      bench: { instrument: 'bench-board', pressureFullScale_Pa: 1034214 },
    });
    sweep.run(1500);
    const { analysis, picture } = analysed(unannounced(sweep.captureText()));
    expect(analysis.catches.length).toBeGreaterThanOrEqual(10);
    for (const c of analysis.catches)
      expect(c).toMatchObject({ setting_Pa: null, settingBecause: 'none-announced' });
    expect(shapeFaults(analysis)).toEqual([]);
    expect(picture!.settings.length).toBeGreaterThanOrEqual(5);
    const k = picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
    const truth = sweep.bench.trueNozzleConstant_m3_per_s_per_sqrtPa;
    expect(Math.abs(k - truth)).toBeLessThan(picture!.nozzleConstantExpanded95_m3_per_s_per_sqrtPa);
  }, 20_000);

  it('draws none without pressures, nor when one of the catches has none', () => {
    const sweep = guidedSweep({ setup: aSetup({ settings_Pa: psi(20, 60), catchesPerSetting: 1 }) });
    sweep.run(400);
    expect(analysed(unannounced(sweep.captureText())).analysis.curveBecause).toBe('no-settings');
  });

  it('finds the plateaus of a pressure that is turned up in steps, and one in a steady one', () => {
    const random = new Random(3);
    const time_s = Float64Array.from({ length: 800 }, (_, i) => i / 10);
    const noise = (): number => 400 * random.normal();
    const steps = time_s.map(
      (t) => (t < 25 ? 2e5 : t < 27 ? 2e5 + (t - 25) * 3e4 : t < 50 ? 2.6e5 : 3.1e5) + noise(),
    );
    const found = findPressurePlateaus(time_s, steps, 800, 0, 80);
    expect(found.map((p) => Math.round(p.pressure_Pa / 1e4))).toEqual([20, 26, 31]);
    expect(found[1]!.start_s).toBeGreaterThan(25.5);
    expect(found[1]!.start_s).toBeLessThan(27.5);
    const steady = time_s.map(() => 2e5 + noise());
    expect(findPressurePlateaus(time_s, steady, 800, 0, 80)).toHaveLength(1);
    expect(findPressurePlateaus([], [], 0, 0, 10)).toEqual([]);
  });
});
