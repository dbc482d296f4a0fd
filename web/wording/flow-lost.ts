/** What is said of the flow that is lost between gauge and tip. */
import type { Diagnosis } from '../contract.ts';
import { fixed } from './number.ts';

/** Of the flow: half of the 3 % of the pressure from which a loss is not passed over (measurement 11.5). */
const LOSS_TOLD = 0.015;

/**
 * Flow that is known to be lost on the way, where the tip is held against what it gives by itself. Its own baseline on this rig lost as
 * much: nothing to tell. Null also for too little.
 */
export function knownLoss({
  flowLostBeforeTip: lost,
  pressureMayBeLost,
  reference,
}: Diagnosis): string | null {
  if (pressureMayBeLost || lost === null || reference.from === 'baseline') return null;
  return lost.relative >= LOSS_TOLD ? `about ${fixed(lost.relative * 100, 0)} %` : null;
}

/** Under half a per cent no figure is told; below none, the tip gets more than the gauge shows. */
export function lossNote({ relative, from }: NonNullable<Diagnosis['flowLostBeforeTip']>): string {
  const source =
    from === 'hose'
      ? 'worked out from hose and height; nothing was measured for it'
      : 'by the gauge at the wand';
  const much = `bout ${fixed(Math.abs(relative) * 100, 0)} %`;
  if (relative <= -0.005)
    return `The tip gives a${much} more than it would at the gauge’s pressure, ${source}.`;
  return `${relative < 0.005 ? 'Next to nothing' : `A${much}`} of the flow is lost between gauge and tip, ${source}.`;
}
