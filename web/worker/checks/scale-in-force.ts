import type { ScaleDecision } from '../../../src/records/instrument-check.ts';
import type { CheckResult, ChecksInForce } from '../../contract.ts';

/** What holds of the scale from now on. A later check without a slow trickle does not undo what an earlier one told of it. */
export function scaleInForce(
  result: Extract<CheckResult, { kind: 'scale' }>,
  decision: ScaleDecision,
  earlier: ChecksInForce['scale'],
): NonNullable<ChecksInForce['scale']> {
  const { factor, from, verdict, relativeStandardUncertainty, ownRelativeStandardUncertainty, trickle } =
    result;
  const shows = trickle === undefined ? earlier?.showsSlowChange : !trickle.swallowed;
  return {
    factor,
    from,
    verdict,
    relativeStandardUncertainty,
    ownRelativeStandardUncertainty,
    decision,
    ...(shows !== undefined && { showsSlowChange: shows }),
  };
}
