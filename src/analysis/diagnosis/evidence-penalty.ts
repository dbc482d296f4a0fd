import type { CandidateData, RigEvidence } from './candidate-data.ts';
import type { Datum } from './held-least-squares.ts';

/** What a candidate says of the rig, in the units of the sweep: where it puts the dial's zero, a threshold, the pump's most. */
export interface RigClaim {
  /** The dial shows this much more than there is. */
  readonly dialOffset: number;
  /** A valve between gauge and tip keeps this much for itself. */
  readonly threshold: number;
  readonly cap: number;
}

export const soundRig: RigClaim = { dialOffset: 0, threshold: 0, cap: Infinity };

export interface Penalty {
  readonly chiSquare: number;
  /** Data that went in, less what was found from them alone. */
  readonly count: number;
}

/**
 * What the dial at zero and the pressure at which the flow stops say against a claim. At no pressure the dial shows its offset; turned
 * down, the flow stops where the true pressure is the threshold, at which the dial shows that and its offset.
 */
export function dialPenalty({ dialAtZero, flowStopsAt }: RigEvidence, claim: RigClaim): Penalty {
  let chiSquare = 0;
  let count = 0;
  if (dialAtZero !== null && !restsOnPin(dialAtZero, claim.dialOffset)) {
    chiSquare += against(dialAtZero, claim.dialOffset);
    count++;
  }
  if (flowStopsAt !== null) {
    chiSquare += against(flowStopsAt, claim.dialOffset + claim.threshold);
    count++;
  }
  return { chiSquare, count };
}

/**
 * A needle that rests on its stop pin shows exactly nothing, however low the dial reads (common practice, no source): such a reading says
 * nothing against a dial that reads low. A digit or a needle a little off would.
 */
function restsOnPin(shown: Datum, dialOffset: number): boolean {
  return shown.mean === 0 && dialOffset < 0;
}

/** A blank tip that lets nothing out says no leak; what a leaking candidate makes of it is in its fit. */
export function blankTipPenalty({ blankTip }: RigEvidence): Penalty {
  return blankTip === null ? { chiSquare: 0, count: 0 } : { chiSquare: against(blankTip, 0), count: 1 };
}

/**
 * What k should be at the dial's marks if the tip is as its reference: √g, with g the part of the pressure that reaches the wand, found
 * from the gauge there as w = g·(setting − dial's offset). Without that gauge: all of it, and the reference alone.
 */
export function constantExpected(
  { evidence: { wand }, reference }: CandidateData,
  claim: RigClaim,
): { readonly datum: Datum; readonly penalty: Penalty } {
  if (wand.length === 0) return { datum: reference, penalty: { chiSquare: 0, count: 0 } };
  let [xx, xw, ww] = [0, 0, 0];
  for (const { setting, mean, standardUncertainty: u } of wand) {
    const there = Math.max(LEAST_THERE * setting, Math.min(setting, claim.cap) - claim.dialOffset);
    xx += (there / u) ** 2;
    xw += (there * mean) / u ** 2;
    ww += (mean / u) ** 2;
  }
  const gain = Math.max(LEAST_GAIN, xw / xx);
  const chiSquare = Math.max(0, ww - 2 * gain * xw + gain * gain * xx);
  const mean = reference.mean * Math.sqrt(gain);
  const relative = Math.hypot(reference.standardUncertainty / reference.mean, 0.5 / gain / Math.sqrt(xx));
  return {
    datum: { mean, standardUncertainty: mean * relative },
    penalty: { chiSquare, count: wand.length - 1 },
  };
}

/** Against a division by nothing; no rig loses as much and still sprays. */
const LEAST_GAIN = 0.01;
const LEAST_THERE = 0.05;

export function against({ mean, standardUncertainty }: Datum, said: number): number {
  return ((mean - said) / standardUncertainty) ** 2;
}
