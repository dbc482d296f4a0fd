import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { guidedSweep } from '../../builders/guided-sweep.ts';
import { aSetup } from '../../builders/setup.ts';

export interface GuidedPour {
  readonly pours: number;
  readonly water_s: number;
  readonly done: boolean;
  /** Relative error and claimed half-width of each kept setting against what really ran in it. */
  readonly byMass: readonly (readonly [error: number, halfWidth: number])[];
  /** The same pour from the meter alone, the load cell taken out of the capture's header. */
  readonly byMeter: readonly (readonly [error: number, halfWidth: number])[];
  readonly kErrorInU: number;
}

/** The whole live sweep of five settings in one pour on the simulated bench, somebody turning the dial as told. */
export function guidedPour(
  seed: number,
  instrument: 'scale' | 'bench-board',
  wand: 'guided' | 'hand-held',
): GuidedPour {
  const setup = aSetup({
    protocol: 'one-pour',
    catchesPerSetting: 1,
    targetRelative: wand === 'guided' ? 0.005 : 0.01,
  });
  const sweep = guidedSweep({
    setup: { ...setup, rig: { ...setup.rig, wand } },
    seed,
    bench: {
      scenario: 'typical',
      instrument,
      ...(instrument === 'bench-board' && { meterPulsesPerCubicMetre: 455e3 }),
    },
  });
  const { bench, live } = sweep;
  // What has run by each quarter of a second, m³: kept as it goes, for the bench forgets pours that are over.
  const at_s: number[] = [0];
  const passed_m3: number[] = [0];
  sweep.run(900, () => {
    const [before_s, so_far] = [at_s.at(-1)!, passed_m3.at(-1)!];
    at_s.push(bench.now_s);
    passed_m3.push(so_far + (bench.meanFlow_m3_per_s(before_s, bench.now_s) ?? 0) * (bench.now_s - before_s));
    return false;
  });
  const passedBy = (t_s: number): number => {
    const i = Math.max(
      1,
      at_s.findIndex((one) => one >= t_s),
    );
    const share = (t_s - at_s[i - 1]!) / (at_s[i]! - at_s[i - 1]!);
    return passed_m3[i - 1]! + share * (passed_m3[i]! - passed_m3[i - 1]!);
  };
  const text = sweep.captureText();
  const truth = bench.truth.filter(({ stop_s }) => stop_s !== null);
  const k = live.picture?.curve.nozzleConstant_m3_per_s_per_sqrtPa ?? NaN;
  const half = live.picture?.nozzleConstantExpanded95_m3_per_s_per_sqrtPa ?? NaN;
  const score = (capture: string) => {
    const analyser = new CaptureAnalyser();
    const reader = new CaptureReader(analyser);
    reader.push(capture);
    reader.finish();
    return analyser.finish('a').analysis.catches.flatMap((c): (readonly [number, number])[] => {
      if (c.flow_m3_per_s === null || c.struck || c.setting_Pa === null) return [];
      // The setting itself: clear of the turns before and after, of which the borders may hold a part.
      const [from_s, to_s] = [c.start_s + 4, c.stop_s - 3.5];
      const real = (passedBy(to_s) - passedBy(from_s)) / (to_s - from_s);
      return [[c.flow_m3_per_s / real - 1, c.expandedUncertainty95_m3_per_s! / real]];
    });
  };
  return {
    pours: truth.length,
    water_s: truth.reduce((sum, { start_s, stop_s }) => sum + stop_s! - start_s, 0),
    done: live.phase === 'done',
    byMass: score(text),
    byMeter: instrument === 'bench-board' ? score(text.replace(/^# gramsPerCount.*\n/m, '')) : [],
    kErrorInU: (k - bench.trueNozzleConstant_m3_per_s_per_sqrtPa) / half,
  };
}
