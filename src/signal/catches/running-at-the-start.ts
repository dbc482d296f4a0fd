import { limits } from './limits.ts';
import type { Listening } from './listening.ts';
import { RunningFill, lineThrough } from './running-fill.ts';

/**
 * Water that ran already when the readings began: they have risen from the very first, straight and at one pace, and the level has
 * never rested. Its start was not seen, so what comes of it is void; but it is told. True when the state has changed.
 */
export function runsFromTheStart(s: Listening, now: number): boolean {
  const { times_s, masses_kg } = s.watch.history;
  const first_s = times_s[0] ?? now;
  const risen_s = now - first_s;
  if (!s.neverRested || risen_s < limits.runsFromStart_s || risen_s > limits.runsFromStartAtMost_s)
    return false;
  const whole = lineThrough(s.watch, first_s, now + 1e-6);
  const half_s = (first_s + now) / 2;
  const early = lineThrough(s.watch, first_s, half_s);
  const late = lineThrough(s.watch, half_s, now + 1e-6);
  if (whole === null || early === null || late === null) return false;
  const flow = whole.flow_kg_per_s;
  const rise_kg = flow * risen_s;
  if (flow < s.watch.threshold_kg_per_s || rise_kg < limits.confirmRise_kg) return false;
  if (whole.crooked_kg > Math.max(limits.crookedShare * rise_kg, s.watch.levelTolerance_kg(1, 0.002)))
    return false;
  // A hand that comes to rest, or gives way, is faster in one half than in the other.
  const most = limits.againBelow * flow;
  const least = limits.againAbove * flow;
  if (Math.max(early.flow_kg_per_s, late.flow_kg_per_s) > most) return false;
  if (Math.min(early.flow_kg_per_s, late.flow_kg_per_s) < least) return false;
  s.fill = new RunningFill(first_s, masses_kg[0] ?? 0, flow, true);
  s.neverRested = false;
  s.mustRest = false;
  s.state = 'filling';
  s.lowSince_s = null;
  s.events.push({ kind: 'filling', at_s: now, start_s: first_s });
  return true;
}
