import type { CandidateData, Reference } from './candidate-data.ts';
import type { Diagnosis } from './diagnosis.ts';
import { constantExpected, soundRig } from './evidence-penalty.ts';
import type { Plumbing } from './evidence.ts';
import { LOSS_THAT_MATTERS, pressureLost_Pa } from './hose-loss.ts';
import { wandRatioSince, type WandRatio } from './wand-ratio.ts';

/** What is known of the rig beside its baseline: another hose since, a gauge at the wand then and now. */
export interface SinceBaseline {
  readonly rigChanged: boolean;
  readonly then: WandRatio | null;
  readonly now: WandRatio | null;
}

export interface FlowLost {
  readonly flowLostBeforeTip: Diagnosis['flowLostBeforeTip'];
  readonly mayBeLost: boolean;
}

/**
 * Pressure lost before the tip looks exactly like a restricted tip (measurement 11.5). Estimated from hose and height at the measured
 * flows, as its effect on k: relative flow = Σw·loss/(2Σw·P), the weights of the fit. Nothing may be lost unseen where the reference is
 * this rig's own baseline (it lost as much), the gauge sits at the wand, or a gauge was read there. Unknown plumbing: it may be lost.
 * Against a baseline a gauge at the wand is not fitted, for the baseline lost something too: what it reads is held against what it read
 * then, or against the dial where nobody looked. Less by over 3 % and its ±: that may be the tip's whole change.
 */
export function flowLost(
  plumbing: Pick<Plumbing, 'gaugeAt' | 'hoseLength_m' | 'hoseBore_m' | 'tipAboveGauge_m'>,
  data: CandidateData,
  reference: Reference,
  since: SinceBaseline = { rigChanged: false, then: null, now: null },
): FlowLost {
  if (data.evidence.wand.length > 0) {
    const relative = 1 - constantExpected(data, soundRig).datum.mean / data.reference.mean;
    return { flowLostBeforeTip: { relative, from: 'wand-gauge' }, mayBeLost: false };
  }
  const isBaseline = reference.from === 'baseline';
  if (isBaseline && since.now !== null && !data.pressureMeasured) {
    const { ratio, standardUncertainty: u } = wandRatioSince(since.now, since.then);
    return {
      flowLostBeforeTip: { relative: 1 - Math.sqrt(ratio), from: 'wand-gauge' },
      mayBeLost: 1 - ratio > Math.max(LOSS_THAT_MATTERS, 2 * u),
    };
  }
  const relative = estimated(plumbing, data);
  const safe = plumbing.gaugeAt === 'wand' || (isBaseline && !since.rigChanged);
  return {
    flowLostBeforeTip: relative === null ? null : { relative, from: 'hose' },
    mayBeLost: !safe && (isBaseline || relative === null || 2 * relative > LOSS_THAT_MATTERS),
  };
}

function estimated(plumbing: Parameters<typeof flowLost>[0], data: CandidateData): number | null {
  let [loss, weights] = [0, 0];
  for (let i = 0; i < data.flows.length; i++) {
    const lost_Pa = pressureLost_Pa(plumbing, data.flows[i]! * data.flowUnit_m3_per_s);
    if (lost_Pa === null) return null;
    const weight = 1 / data.doubts[i]! ** 2;
    loss += weight * (lost_Pa / data.pressureUnit_Pa);
    weights += weight * data.pressures[i]!;
  }
  return loss / weights / 2;
}
