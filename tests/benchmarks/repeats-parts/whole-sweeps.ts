import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import type { TruthLine } from '../../../src/simulation/simulated-capture.ts';
import type { ScenarioName } from '../../../src/simulation/scenario.ts';

export interface WholeDesign {
  readonly scenario: ScenarioName;
  readonly protocol: 're-set' | 'set-once';
  /** Full scale of a board's sensor, psi; absent: a scale, pressure as the dial says. */
  readonly sensor_psi?: number;
}

export interface WholeScore {
  readonly sweeps: number;
  readonly catches: number;
  readonly lost: number;
  readonly k: Figures;
  /** Means of three catches against what they were: set once or pressure read, the mean of their true flows; re-set, the flow at the mark. */
  readonly meansOfThree: Figures;
  readonly singleCatches: Figures;
  readonly rejectedAt5Percent: number;
  readonly outlierPercent: number;
  readonly doubtsWorseThanStatedPercent: number;
}
interface Figures {
  readonly n: number;
  readonly coveragePercent: number;
  readonly rmsErrorPercent: number;
  readonly medianHalfWidthPercent: number;
}

const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);

/** Whole sweeps, 5 settings x 3 catches: simulated instrument, lines, detector, estimator, curve. Truth from the capture's header. */
export function wholeSweeps(design: WholeDesign, sweeps: number, seedBase: number): WholeScore {
  const k: Pair[] = [];
  const means: Pair[] = [];
  const singles: Pair[] = [];
  let [lost, rejected, outliers, worse, fitted] = [0, 0, 0, 0, 0];
  for (let seed = seedBase; seed < seedBase + sweeps; seed++) {
    const { analysis, picture, truth } = oneSweep(design, seed);
    if (picture === null) throw new Error(`no curve, seed ${seed}`);
    fitted++;
    // The pump fades a little during a fill: k of the windows is that of their true mean flows at the true pressures.
    const kTrue = mean(truth.map((t) => t.flow_m3_per_s / Math.sqrt(t.truePressure_Pa!)));
    k.push([
      picture.curve.nozzleConstant_m3_per_s_per_sqrtPa / kTrue - 1,
      picture.nozzleConstantExpanded95_m3_per_s_per_sqrtPa / kTrue,
    ]);
    if ((picture.curve.lackOfFit?.pValue ?? 1) < 0.05) rejected++;
    if (picture.outlier !== null) outliers++;
    if (analysis.warnings.includes('dial-repeats-worse-than-stated')) worse++;
    const truthOf = analysis.catches.map((c) =>
      truth.find((t) => c.start_s < (t.start_s + t.stop_s) / 2 && c.stop_s > (t.start_s + t.stop_s) / 2),
    );
    lost +=
      truth.length -
      truthOf.filter((t, i) => t !== undefined && analysis.catches[i]!.flow_m3_per_s !== null).length;
    analysis.catches.forEach((c, i) => {
      const t = truthOf[i];
      if (t === undefined || c.flow_m3_per_s === null) return;
      singles.push([
        c.flow_m3_per_s / t.flow_m3_per_s - 1,
        c.expandedUncertainty95_m3_per_s! / t.flow_m3_per_s,
      ]);
    });
    for (const setting of picture.settings) {
      const of = setting.catches.flatMap((i) => truthOf[i] ?? []);
      if (of.length !== 3) continue;
      const wanted =
        design.protocol === 'set-once' || design.sensor_psi !== undefined
          ? mean(of.map((t) => t.flow_m3_per_s))
          : kTrue * Math.sqrt(setting.setting_Pa);
      means.push([setting.flow_m3_per_s / wanted - 1, setting.expandedUncertainty95_m3_per_s / wanted]);
    }
  }
  return {
    sweeps,
    catches: singles.length,
    lost,
    k: figures(k),
    meansOfThree: figures(means),
    singleCatches: figures(singles),
    rejectedAt5Percent: (100 * rejected) / fitted,
    outlierPercent: (100 * outliers) / fitted,
    doubtsWorseThanStatedPercent: (100 * worse) / fitted,
  };
}

/** Relative error, relative half-width. */
type Pair = readonly [number, number];

function oneSweep({ scenario, protocol, sensor_psi }: WholeDesign, seed: number) {
  let truth: readonly TruthLine[] = [];
  const analyser = new CaptureAnalyser();
  const reader = new CaptureReader({
    header(header) {
      truth = JSON.parse(header.unknown['truth'] ?? '[]') as TruthLine[];
      analyser.header(header);
    },
    line: (at_s, line) => analyser.line(at_s, line),
    mark: (at_s, mark) => analyser.mark(at_s, mark),
  });
  const pushed = reader.push(
    simulateCapture({
      scenario,
      seed,
      fills: 15,
      instrument:
        sensor_psi === undefined
          ? { kind: 'scale' }
          : { kind: 'bench-board', pressureFullScale_Pa: sensor_psi * PSI_PA },
      sweep: { settings_Pa, dial: { protocol, standardDeviation_Pa: 1.5 * PSI_PA } },
    }),
  );
  if (!pushed.ok) throw new Error(pushed.because);
  const summary = reader.finish();
  if (!summary.ok) throw new Error(summary.because);
  return { ...analyser.finish('sweep', summary.value), truth };
}

function figures(pairs: readonly Pair[]): Figures {
  const halves = pairs.map(([, half]) => half).sort((a, b) => a - b);
  return {
    n: pairs.length,
    coveragePercent: (100 * pairs.filter(([error, half]) => Math.abs(error) <= half).length) / pairs.length,
    rmsErrorPercent: 100 * Math.sqrt(mean(pairs.map(([error]) => error * error))),
    medianHalfWidthPercent: 100 * (halves[Math.floor(halves.length / 2)] ?? NaN),
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0) / values.length;
}
