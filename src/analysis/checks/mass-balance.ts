import type { Warning } from '../../base/because.ts';
import { relativeOf } from '../budget/budget.ts';
import { meterParts } from '../budget/meter-parts.ts';
import { pulseFlow, type PulseFlow } from '../flow/pulses.ts';
import type { CatchContext } from '../sweep/analyse-catch.ts';
import type { AnalysedCatch } from '../sweep/analysis.ts';
import { meterRange } from './meter-range.ts';

export interface MassBalance {
  /** Of what the meter counted, the share that did not reach the pail; negative: more reached it. */
  readonly missingShare: number;
  readonly standardUncertainty: number;
  readonly verdict: 'balanced' | 'missing' | 'more';
}

interface FlowAndDoubt {
  readonly flow_m3_per_s: number;
  readonly standardUncertainty_m3_per_s: number;
}

/** So many standard uncertainties apart (99.7 % of a normal error: a sweep has fifteen catches, and none should cry wolf). */
const FAR = 3;

/** Flow into the pail against flow through the meter, both over the steady part of one catch, so that the drip is in neither. */
export function massBalance(intoPail: FlowAndDoubt, throughMeter: FlowAndDoubt): MassBalance {
  const ratio = intoPail.flow_m3_per_s / throughMeter.flow_m3_per_s;
  const standardUncertainty =
    ratio *
    Math.hypot(
      intoPail.standardUncertainty_m3_per_s / intoPail.flow_m3_per_s,
      throughMeter.standardUncertainty_m3_per_s / throughMeter.flow_m3_per_s,
    );
  const missingShare = 1 - ratio;
  const far = Math.abs(missingShare) > FAR * standardUncertainty;
  return {
    missingShare,
    standardUncertainty,
    verdict: far ? (missingShare > 0 ? 'missing' : 'more') : 'balanced',
  };
}

/** What to say of it. A sprayer on the scale tells of the way from its tank to the meter, a pail of the way from the meter to the pail. */
export function imbalanceOf({ verdict }: MassBalance, standsOnScale: 'pail' | 'sprayer'): Warning | null {
  if (verdict === 'balanced') return null;
  if (standsOnScale === 'sprayer')
    return verdict === 'more' ? 'more-left-than-metered' : 'more-metered-than-left';
  return verdict === 'more' ? 'more-water-than-metered' : 'water-missing';
}

/** The parts of a catch's flow from mass, as `AnalysedCatch` has them. */
export interface MassFlowParts {
  readonly start_s: number;
  readonly stop_s: number;
  readonly flow_m3_per_s: number;
  readonly typeA_m3_per_s: number;
  readonly jetAllowance_m3_per_s: number;
  readonly ownTypeB_m3_per_s: number;
  readonly sharedTypeB_m3_per_s: number;
}

/** What a checked meter counted meanwhile; null without one, without edges enough, or below the flows it was checked at. */
function meteredBeside(
  { start_s, stop_s }: Pick<MassFlowParts, 'start_s' | 'stop_s'>,
  context: CatchContext,
): PulseFlow | null {
  const { meter, about, time_s, pulses, edge_s } = context;
  if (meter === null || about.pulsesPerLitreStandardUncertainty === undefined) return null;
  const metered = pulseFlow(time_s, pulses, edge_s, time_s.length, start_s, stop_s, meter);
  if (!metered.ok || !(metered.value.flow_m3_per_s > 0)) return null;
  return meterRange(metered.value.flow_m3_per_s, about) === 'below' ? null : metered.value;
}

/** Whether water that missed the pail would have been told: plateaus and pieces of a pour have no balance of their own. */
export function wasBalanced(caught: AnalysedCatch, context: CatchContext): boolean {
  return caught.massBecause !== 'plateau-of-a-pour' && meteredBeside(caught, context) !== null;
}

/** The balance of one catch that was weighed and metered; null where no checked meter can tell. */
export function balanceOf(caught: MassFlowParts, context: CatchContext): MassBalance | null {
  const through = meteredBeside(caught, context);
  if (through === null) return null;
  const { about } = context;
  const { flow_m3_per_s } = caught;
  return massBalance(
    {
      flow_m3_per_s,
      standardUncertainty_m3_per_s: Math.hypot(
        caught.typeA_m3_per_s,
        caught.jetAllowance_m3_per_s,
        caught.ownTypeB_m3_per_s,
        caught.sharedTypeB_m3_per_s,
      ),
    },
    {
      flow_m3_per_s: through.flow_m3_per_s,
      standardUncertainty_m3_per_s: Math.hypot(
        through.standardUncertainty_m3_per_s,
        through.flow_m3_per_s * relativeOf(meterParts(about, through.flow_m3_per_s)),
      ),
    },
  );
}
