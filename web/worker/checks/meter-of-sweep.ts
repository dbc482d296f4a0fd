import {
  checkMeter,
  checkMeterAtOneFlow,
  type MeterCheckResult,
} from '../../../src/analysis/checks/meter-check.ts';
import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import { refused, type Outcome } from '../../../src/base/outcome.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';

/**
 * The meter held against the scale, from the catches of one sweep on a board that has both. Refused: `meter-needs-both` (no catch was
 * weighed and metered), and as the check itself.
 */
export function meterOfSweep(captureText: string, oneFlowWillDo: boolean): Outcome<MeterCheckResult> {
  const analyser = new CaptureAnalyser();
  const reader = new CaptureReader(analyser);
  const pushed = reader.push(captureText);
  if (!pushed.ok) return pushed;
  const summary = reader.finish();
  if (!summary.ok) return summary;
  const { analysis, meterPoints } = analyser.finish('meter check', summary.value);
  if (meterPoints.length === 0) return refused('meter-needs-both');
  // What all flows from the scale share is the reference's part: it does not average out over the catches.
  const reference = Math.max(
    ...analysis.catches.map((c) =>
      c.flow_m3_per_s === null || c.sharedTypeB_m3_per_s === null
        ? 0
        : c.sharedTypeB_m3_per_s / c.flow_m3_per_s,
    ),
  );
  const found = checkMeter(meterPoints, reference);
  return !found.ok && found.because === 'meter-one-flow' && oneFlowWillDo
    ? checkMeterAtOneFlow(meterPoints, reference)
    : found;
}
