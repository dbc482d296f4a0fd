/** What is said of the flow that is lost between gauge and tip. */
import type { Diagnosis } from '../contract.ts';
import { fixed } from './number.ts';

/** Of the flow: half of the 3 % of the pressure from which a loss is not passed over (measurement 11.5). */
const LOSS_TOLD = 0.015;

/**
 * Flow that is known to be lost on the way, where the tip is held against what it gives by itself. Its own baseline on this rig lost as
 * much: nothing to tell. Null also for too little. "about 8 % of the flow is lost on the way to it"; of a gauge at the wand alone nobody can tell a loss from a dial.
 */
export function knownLoss({
  flowLostBeforeTip: lost,
  pressureMayBeLost,
  reference,
}: Diagnosis): string | null {
  if (lost === null || reference.from === 'baseline' || lost.relative < LOSS_TOLD) return null;
  // An estimate that may hide more is told as such, not as the loss.
  if (pressureMayBeLost && lost.from === 'hose') return null;
  const much = `about ${fixed(lost.relative * 100, 0)} % of the flow is`;
  return lost.from === 'hose'
    ? `${much} lost on the way to it`
    : `${much} missing at the wand: ${LOST_OR_DIAL}`;
}

/** What a gauge at the wand that reads less than the dial may mean. */
export const LOST_OR_DIAL = 'lost on the way, or the dial shows too much';

/** Under half a per cent no figure is told; below none, the tip gets more than the gauge shows. */
export function lossNote({ relative, from }: NonNullable<Diagnosis['flowLostBeforeTip']>): string {
  const much = `bout ${fixed(Math.abs(relative) * 100, 0)} %`;
  const next = relative < 0.005 ? 'Next to nothing' : `A${much}`;
  if (from === 'hose') {
    const source = 'worked out from hose and height; nothing was measured for it';
    return relative <= -0.005
      ? `The tip gives a${much} more than it would at the gauge’s pressure, ${source}.`
      : `${next} of the flow is lost between gauge and tip, ${source}.`;
  }
  if (relative <= -0.005)
    return `By the gauge at the wand the tip gives a${much} more than at the dial’s pressure: the dial shows too little, or that gauge too much.`;
  return `By the gauge at the wand ${relative < 0.005 ? 'next to nothing' : `a${much}`} of the flow is missing there${relative < 0.005 ? '.' : `: ${LOST_OR_DIAL}.`}`;
}
