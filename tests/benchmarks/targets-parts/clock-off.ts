import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { figures, mean, type Pair } from '../accuracy-parts/figures.ts';

/** A bench board whose clock is off by 0.3 %: whole captures through reader and analyser, flows against the truth in the header. */
export function clockOff(fills: number, seedBase: number) {
  const pairs: Pair[] = [];
  const ratios: number[] = [];
  let missed = 0;
  for (let seed = seedBase, left = fills; left > 0; seed++, left -= 20) {
    const text = simulateCapture({
      scenario: 'clock-off',
      seed,
      fills: Math.min(20, left),
      instrument: { kind: 'bench-board' },
    });
    const analyser = new CaptureAnalyser();
    const reader = new CaptureReader(analyser);
    if (!reader.push(text).ok) throw new Error('a simulated capture is read');
    const { analysis } = analyser.finish('clock-off');
    const truth = JSON.parse(/^# truth: (.*)$/m.exec(text)?.[1] ?? '[]') as {
      start_s: number;
      stop_s: number;
      flow_m3_per_s: number;
    }[];
    if (analysis.clockRatio !== null) ratios.push(Math.abs(analysis.clockRatio - 1));
    for (const fill of truth) {
      const middle_s = (fill.start_s + fill.stop_s) / 2;
      const found = analysis.catches.find((c) => c.start_s < middle_s && c.stop_s > middle_s);
      if (found?.flow_m3_per_s == null || found.expandedUncertainty95_m3_per_s == null) {
        missed++;
        continue;
      }
      const q = fill.flow_m3_per_s;
      pairs.push([found.flow_m3_per_s / q - 1, found.expandedUncertainty95_m3_per_s / q]);
    }
  }
  return {
    fills: pairs.length,
    missed,
    clockFoundOffPercent: 100 * mean(ratios),
    biasPercent: 100 * mean(pairs.map(([error]) => error)),
    ...figures(pairs),
  };
}
