import { fCdf } from '../../base/statistics/distributions.ts';
import type { CandidateData } from './candidate-data.ts';
import type { CandidateFit } from './candidate-fit.ts';
import { flowOf } from './candidate-fit.ts';
import { documented, tellsDialFromValve } from './candidates.ts';
import type { Candidate, Fits } from './candidates.ts';
import { causes } from './diagnosis.ts';
import type { Cause, FinerCause, Finding } from './diagnosis.ts';
import { aicc, NEAR } from './gate.ts';
import type { Kind } from './gate.ts';

/** Significance at which a named cause is said not to fit. */
const FIT_SIGNIFICANCE = 0.01;

export interface Verdict {
  readonly finding: Finding;
  /** The candidate behind the named cause. */
  readonly candidate: Candidate;
  readonly said: FinerCause | null;
  readonly orElse: FinerCause | null;
}

export interface Judging {
  readonly gate: number;
  /** Of the points' doubts; Infinity: stated. */
  readonly degreesOfFreedom: number;
}

/**
 * Which candidate explains the sweep: no fault unless the best gains the gate; the nearest other fault within 4 beside it; then the fit
 * of what was named, chi-square at 1 %, over the settings' means, the reference and the checks of the rig.
 */
export function judge(data: CandidateData, fits: Fits, { gate, degreesOfFreedom }: Judging): Verdict {
  const of = (candidate: Candidate): number =>
    aicc(fits[candidate].deviance, kindOf(candidate), data.catches);
  const candidates = Object.keys(fits) as Candidate[];
  const bestOf = (cause: Cause): Candidate =>
    candidates
      .filter((candidate) => documented(candidate) === cause)
      .reduce((best, one) => (of(one) < of(best) ? one : best));
  const byCause = new Map(causes.map((cause) => [cause, bestOf(cause)]));
  const valueOf = (cause: Cause): number => of(byCause.get(cause)!);
  const faults = causes
    .filter((cause) => cause !== 'no fault shown' && !fits[byCause.get(cause)!].atBoundary)
    .sort((a, b) => valueOf(a) - valueOf(b));
  const sound = valueOf('no fault shown');
  const best = Math.min(sound, ...faults.map(valueOf));
  const gain = sound - best;
  const cause = gain >= gate && faults[0] !== undefined ? faults[0] : 'no fault shown';
  const second = cause === 'no fault shown' ? undefined : faults[1];
  const orElse = second !== undefined && valueOf(second) - valueOf(cause) < NEAR ? second : null;
  const candidate = byCause.get(cause)!;
  const isFit = fitsWell(data, fits[candidate], degreesOfFreedom);
  const finer = (named: Cause): FinerCause => {
    if (named !== 'threshold-or-dial-high') return named;
    const apart = Math.abs(of('dial-high') - of('check-valve'));
    return tellsDialFromValve(data) && apart >= NEAR ? byCause.get(named)! : 'dial-high-or-check-valve';
  };
  return {
    finding: {
      cause,
      orElse,
      fits: isFit,
      evidence: {
        aicc: Object.fromEntries(causes.map((one) => [one, valueOf(one)])) as Record<Cause, number>,
        gain,
      },
    },
    candidate,
    said: isFit ? finer(cause) : null,
    orElse: orElse === null ? null : finer(orElse),
  };
}

function kindOf(candidate: Candidate): Kind {
  if (candidate === 'no fault shown') return 'sound';
  return candidate === 'worn' || candidate === 'restricted' ? 'scale' : 'shape';
}

/**
 * Do the settings' mean residuals, the reference and the checks stay within their doubts? Repeats within a setting say nothing about
 * the curve (`between-settings.ts`). With doubts that were estimated, χ²/ν is an F. True where no degree of freedom is left.
 */
function fitsWell(data: CandidateData, fit: CandidateFit, estimatedWith: number): boolean {
  const degreesOfFreedom = data.settings.length + fit.held.count;
  if (degreesOfFreedom < 1) return true;
  const chiSquare = data.settings.reduce((sum, group) => {
    const { residual, u } = meanResidual(data, fit, group);
    return sum + (residual / u) ** 2;
  }, fit.held.chiSquare);
  return fCdf(chiSquare / degreesOfFreedom, degreesOfFreedom, estimatedWith) < 1 - FIT_SIGNIFICANCE;
}

/** Weighted mean of flow less what the candidate gives, over the catches of one setting. */
export function meanResidual(
  data: CandidateData,
  fit: CandidateFit,
  group: readonly number[],
): { readonly residual: number; readonly u: number } {
  let weights = 0;
  let weighted = 0;
  for (const i of group) {
    const weight = 1 / fit.doubts[i]! ** 2;
    weights += weight;
    weighted += weight * (data.flows[i]! - flowOf(fit, data.pressures[i]!, data.leakExponent));
  }
  return { residual: weighted / weights, u: 1 / Math.sqrt(weights) };
}
