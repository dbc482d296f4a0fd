import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import type { AnalysedCapture } from '../../../src/analysis/sweep/capture-analyser.ts';
import { isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { RigCheckKind } from '../../../src/analysis/diagnosis/evidence.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { Random } from '../../../src/simulation/random.ts';
import type { RigFault } from '../../../src/simulation/rig-fault.ts';
import type { ScenarioName } from '../../../src/simulation/scenario.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { means, scored } from './score-findings.ts';
import type { NamedTruth, Score } from './score-findings.ts';

const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
/** The simulator's invented tip. */
const CONSTANT = 2.5e-5 / Math.sqrt(40 * PSI_PA);
const REFERENCE_U = 0.01;

interface WholeDesign {
  readonly name: string;
  readonly scenario: ScenarioName;
  readonly protocol: 're-set' | 'set-once';
  readonly dial_psi: number;
  readonly rigChecks: readonly RigCheckKind[];
}

const usual: WholeDesign = {
  name: 'typical, 1.5 psi, re-set',
  scenario: 'typical',
  protocol: 're-set',
  dial_psi: 1.5,
  rigChecks: [],
};
const allThree = ['dial-at-zero', 'flow-stops-at', 'blank-tip'] as const;
const designs: readonly WholeDesign[] = [
  usual,
  { ...usual, name: 'typical, 1.5 psi, three rig checks', rigChecks: allThree },
  { ...usual, name: 'typical, 0.25 psi', dial_psi: 0.25 },
];
/** Healthy sweeps where the doubts come from the water, and where the hand is rough. */
const healthyOnly: readonly WholeDesign[] = [
  { ...usual, name: 'typical, 1.5 psi, set once', protocol: 'set-once' },
  { ...usual, name: 'rough, 1.5 psi', scenario: 'rough' },
  { ...usual, name: 'rough, 0.25 psi', scenario: 'rough', dial_psi: 0.25 },
];

interface WholeTruth extends NamedTruth {
  readonly fault: RigFault;
}

/** The simulator tells a leak at 40 psi; growing as P^1.25 over √P it is 1.355 times that at 60. */
const LEAK_40_OF_60 = (40 / 60) ** 0.75;

function truths(random: Random): readonly WholeTruth[] {
  return [
    { name: 'worn 5', right: 'worn', fault: { kind: 'worn', share: 0.05 } },
    { name: 'worn 10', right: 'worn', fault: { kind: 'worn', share: 0.1 } },
    { name: 'worn 15', right: 'worn', fault: { kind: 'worn', share: 0.15 } },
    { name: 'blocked 10', right: 'restricted', fault: { kind: 'restricted', share: 0.1 } },
    {
      name: 'leak 3-10 % at 60 psi',
      right: 'leaking',
      fault: { kind: 'leaking', share: LEAK_40_OF_60 * random.uniform(0.03, 0.1) },
    },
    {
      name: 'cap at 50 psi',
      right: 'pump-limited',
      fault: { kind: 'pump-limited', pressure_Pa: 50 * PSI_PA },
    },
    {
      name: 'check valve 5-15 psi',
      right: 'check-valve',
      fault: { kind: 'check-valve', opensAt_Pa: random.uniform(5, 15) * PSI_PA },
    },
    { name: 'dial +4 psi', right: 'dial-high', fault: { kind: 'dial-high', offset_Pa: 4 * PSI_PA } },
    { name: 'dial -4 psi', right: 'dial-low', fault: { kind: 'dial-high', offset_Pa: -4 * PSI_PA } },
  ];
}

const sound: WholeTruth = { name: 'ok', right: 'no fault shown', fault: { kind: 'none' } };

export interface WholeScores {
  readonly sweepsInAll: number;
  readonly noVerdict: number;
  readonly healthyCalledFaultyPercent: number;
  /** Rows: the healthy sweeps first, then each fault where any is played. */
  readonly designs: readonly { readonly design: string; readonly rows: readonly Score[] }[];
}

/**
 * Whole sweeps, 5 settings x 3 catches: simulated water, instrument, lines, detector, estimator, curve, finding. `each`: sweeps a fault;
 * healthy ones are ten times as many. The reference is off by its own 1 %, drawn for every sweep.
 */
export function wholeFindings(each: number, seedBase: number): WholeScores {
  let seed = seedBase;
  let [sweepsInAll, noVerdict, healthy, healthyFaulty] = [0, 0, 0, 0];
  const play = (design: WholeDesign, pick: (random: Random) => WholeTruth, count: number): Score => {
    let worse = 0;
    const found = Array.from({ length: count }, () => {
      seed++;
      const random = new Random(seed).stream('findings');
      const { diagnosis, analysis } = oneSweep(design, pick(random).fault, random, seed);
      if (analysis.warnings.includes('dial-repeats-worse-than-stated')) worse++;
      sweepsInAll++;
      if (!isDiagnosis(diagnosis)) {
        noVerdict++;
        return [];
      }
      return [diagnosis];
    }).flat();
    return scored(pick(new Random(0)), found, (100 * worse) / count);
  };
  const healthyOf = (design: WholeDesign): Score => {
    const score = play(design, () => sound, 10 * each);
    healthy += score.sweeps;
    healthyFaulty += (score.sweeps * score.wrong) / 100;
    return score;
  };
  const scores = [
    ...designs.map((design) => {
      const ok = healthyOf(design);
      const rows = truths(new Random(0)).map((_, i) => play(design, (random) => truths(random)[i]!, each));
      return { design: design.name, faultsAveraged: means(rows), rows: [ok, ...rows] };
    }),
    ...healthyOnly.map((design) => ({ design: design.name, rows: [healthyOf(design)] })),
  ];
  return {
    sweepsInAll,
    noVerdict,
    healthyCalledFaultyPercent: (100 * healthyFaulty) / Math.max(1, healthy),
    designs: scores,
  };
}

export function oneSweep(
  design: Pick<WholeDesign, 'scenario' | 'protocol' | 'dial_psi' | 'rigChecks'>,
  fault: RigFault,
  random: Random,
  seed: number,
): AnalysedCapture {
  const text = simulateCapture({
    scenario: design.scenario,
    seed,
    fills: 15,
    instrument: { kind: 'scale' },
    sweep: {
      settings_Pa,
      fault,
      dial: { protocol: design.protocol, standardDeviation_Pa: design.dial_psi * PSI_PA },
      rigChecks: design.rigChecks,
      reference: {
        nozzleConstant_m3_per_s_per_sqrtPa: CONSTANT * (1 + REFERENCE_U * random.normal()),
        relativeStandardUncertainty: REFERENCE_U,
        from: 'baseline',
      },
    },
  });
  const analyser = new CaptureAnalyser();
  const reader = new CaptureReader(analyser);
  const pushed = reader.push(text);
  if (!pushed.ok) throw new Error(pushed.because);
  const summary = reader.finish();
  if (!summary.ok) throw new Error(summary.because);
  return analyser.finish('sweep', summary.value);
}
