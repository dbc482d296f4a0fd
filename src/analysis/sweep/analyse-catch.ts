import type { Warning } from '../../base/because.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { dripAfter } from '../../signal/catches/drip.ts';
import { idleWander } from '../../signal/catches/idle-wander.ts';
import {
  quantisationAllowance_kg_per_s,
  quantisationResonance,
} from '../../signal/catches/quantisation-resonance.ts';
import { relativeOf } from '../budget/budget.ts';
import type { SharedPart } from '../budget/budget.ts';
import { sharedOfFlow } from '../budget/shared-of-flow.ts';
import { sharedDegreesOfFreedom } from '../budget/shared-degrees.ts';
import { balanceOf, imbalanceOf } from '../checks/mass-balance.ts';
import { meterRange } from '../checks/meter-range.ts';
import { wholeUncertainty } from '../flow/catch-uncertainty.ts';
import type { CatchParts } from '../flow/catch-uncertainty.ts';
import type { MassFlowEstimate } from '../flow/estimate-mass-flow.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import type { Wand } from '../flow/jet-allowance.ts';
import { pulseFlow } from '../flow/pulses.ts';
import type { MeterFactor } from '../flow/pulses.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { isUnsteady } from '../flow/steadiness.ts';
import { hosePullAsPush_kg } from '../rigs/hose-pull.ts';
import type { RigDetail } from '../rigs/rig-catch.ts';
import type { RigFacts } from '../rigs/rig-facts.ts';
import type { AnalysedCatch } from './analysis.ts';
import { head, voidCatch } from './void-catch.ts';
import type { CatchPlace } from './void-catch.ts';
import { estimated } from './estimated.ts';
import { settledRise_kg } from './settled-rise.ts';

/** Catches under this length are kept, with a warning: the window is short and its ± wide. */
export const SHORT_CATCH_s = 15;
/** Drip is looked for up to this long after shut-off. */
const DRIP_WATCH_s = 30;

/** What one catch's analysis needs of the whole capture. Columns: times ascending, NaN where there is no number. */
export interface CatchContext {
  readonly time_s: Float64Array;
  readonly mass_kg: Float64Array;
  /** What the detector listened to where there is no mass: the water that has passed the meter, as if it were weighed. */
  readonly passed_kg?: Float64Array;
  readonly pulses: Float64Array;
  readonly edge_s: Float64Array;
  readonly pressure_Pa: Float64Array;
  readonly hasMass: boolean;
  /** Whether readings between these times have a mass in a unit that nobody named. */
  readonly isUnitUnknown: (from_s: number, to_s: number) => boolean;
  readonly hasSensor: boolean;
  readonly averagedReadings: number | null;
  readonly step_kg: number | null;
  readonly wand: Wand;
  readonly meter: MeterFactor | null;
  /** Volume per shown mass: scale factor times buoyancy over density, m³/kg. */
  readonly volumePerMass_m3_per_kg: number;
  /** The capture's header: what checks of the meter say. */
  readonly about: CaptureHeader;
  /** What all catches share, where the flow comes from mass, and where it comes from pulses. */
  readonly shared: { readonly mass: readonly SharedPart[]; readonly pulses: readonly SharedPart[] };
  readonly disturbed_s: readonly number[];
  /** A rig whose catches are read in a way of their own, and where to tell what they say beside their flow. */
  readonly rig?: RigFacts | null;
  readonly noteRig?: (start_s: number, detail: RigDetail) => void;
}

/** One detected catch as the documented JSON has it. A void one keeps its times, pour and setting. */
export function analyseCatch(caught: DetectedCatch, place: CatchPlace, context: CatchContext): AnalysedCatch {
  const isUnitUnknown = context.hasMass && context.isUnitUnknown(caught.start_s, caught.stop_s);
  const voidBecause = caught.voidBecause ?? (isUnitUnknown ? 'unit-unknown' : null);
  if (voidBecause !== null) return voidCatch(caught, place, voidBecause, caught.warnings);
  return context.hasMass ? fromMass(caught, place, context) : fromPulses(caught, place, context);
}

function fromMass(caught: DetectedCatch, place: CatchPlace, context: CatchContext): AnalysedCatch {
  const { start_s, stop_s } = caught;
  const known = head(caught, place);
  const { struck } = place;
  const found = estimated(caught, context);
  if (!found.ok || !(found.value.estimate.massFlow_kg_per_s > 0)) {
    const because = !found.ok && found.because === 'too-few-strokes' ? found.because : 'no-steady-window';
    return voidCatch(caught, place, because, caught.warnings);
  }
  const { estimate, detail } = found.value;
  if (detail !== null) context.noteRig?.(start_s, detail);
  const mass_kg = settledRise_kg(caught, estimate);
  const warnings = new Set([...caught.warnings, ...found.value.warnings]);
  if (stop_s - start_s < SHORT_CATCH_s) warnings.add('short-catch');
  if (estimate.maskGaveUp) warnings.add('bumped-while-filling');
  // A rig whose flow is not meant to be steady says itself what it saw: while it listens, a hose that swells looks like a step.
  const isSteadyMeant = (context.rig?.kind ?? 'held') === 'held';
  if (!isSteadyMeant) warnings.delete('wand-moved');
  if (estimate.steps.length > 0) warnings.add('wand-moved');
  if (isSteadyMeant && estimate.steadiness !== null && isUnsteady(estimate.steadiness, estimate.residual_kg))
    warnings.add('flow-not-steady');
  if (resonates(estimate, context)) warnings.add('quantisation-resonance');
  if (isWindy(caught, estimate, context)) warnings.add('wind-or-touch');
  const push_kg =
    context.rig?.standsOnScale === 'sprayer'
      ? hosePullAsPush_kg(context.wand)
      : (found.value.push_kg ??
        jetPush_kg({
          ...estimate,
          before_kg: caught.before_kg,
          averagedReadings: context.averagedReadings,
        }));
  const jet_kg_per_s = jetAllowance_kg_per_s(push_kg, stop_s - start_s, context.wand);
  const steps_kg_per_s = warnings.has('quantisation-resonance')
    ? quantisationAllowance_kg_per_s(context.step_kg ?? 0, estimate.window.to_s - estimate.window.from_s)
    : 0;
  const ownTypeB_kg_per_s = Math.hypot(steps_kg_per_s, found.value.ownTypeB_kg_per_s);
  const flow = massFlowFields(estimate, { jet_kg_per_s, ownTypeB_kg_per_s }, context);
  const balance = balanceOf({ start_s, stop_s, ...flow }, context);
  const imbalance = balance === null ? null : imbalanceOf(balance, context.rig?.standsOnScale ?? 'pail');
  if (imbalance !== null) warnings.add(imbalance);
  return {
    ...known,
    ...pressureFields(estimate.window.from_s, estimate.window.to_s, context),
    mass_kg,
    ...(mass_kg === null ? { massBecause: 'not-enough-readings' as const } : {}),
    ...flow,
    ...drip(caught, context),
    struck,
    voidBecause: null,
    warnings: [...warnings],
  };
}

/** The fields that follow from a mass flow and its own parts: also what a plateau of a longer pour has. */
export function massFlowFields(
  estimate: MassFlowEstimate,
  own: { readonly jet_kg_per_s: number; readonly ownTypeB_kg_per_s: number },
  context: CatchContext,
) {
  const perMass = context.volumePerMass_m3_per_kg;
  const flow = estimate.massFlow_kg_per_s * perMass;
  return {
    massFlow_kg_per_s: estimate.massFlow_kg_per_s,
    flow_m3_per_s: flow,
    flowFrom: 'mass' as const,
    ...uncertaintyFields(
      {
        typeA_m3_per_s: estimate.standardUncertainty_kg_per_s * perMass,
        typeADegreesOfFreedom: estimate.degreesOfFreedom,
        jetAllowance_m3_per_s: own.jet_kg_per_s * perMass,
        ownTypeB_m3_per_s: own.ownTypeB_kg_per_s * perMass,
        sharedTypeB_m3_per_s: flow * relativeOf(context.shared.mass),
      },
      context.shared.mass,
    ),
  };
}

/** A catch, or a plateau of one, by the meter's pulses. */
export function fromPulses(caught: DetectedCatch, place: CatchPlace, context: CatchContext): AnalysedCatch {
  const { start_s, stop_s } = caught;
  const { time_s, pulses, edge_s, meter } = context;
  const found =
    meter === null ? null : pulseFlow(time_s, pulses, edge_s, time_s.length, start_s, stop_s, meter);
  if (found?.ok !== true || !(found.value.flow_m3_per_s > 0)) {
    return voidCatch(caught, place, 'no-steady-window', caught.warnings);
  }
  const { flow_m3_per_s, standardUncertainty_m3_per_s, degreesOfFreedom } = found.value;
  const range = meterRange(flow_m3_per_s, context.about);
  if (range === 'below') return voidCatch(caught, place, 'below-checked-flow', caught.warnings);
  const warnings: Warning[] = stop_s - start_s < SHORT_CATCH_s ? ['short-catch'] : [];
  if (range === 'above') warnings.push('meter-above-checked');
  const shared = sharedOfFlow(context, 'pulses', flow_m3_per_s);
  return {
    ...head(caught, place),
    ...pressureFields(start_s + 1, stop_s, context),
    mass_kg: null,
    massBecause: 'no-mass',
    massFlow_kg_per_s: null,
    massFlowBecause: 'no-mass',
    flow_m3_per_s,
    flowFrom: 'pulses',
    ...uncertaintyFields(
      {
        typeA_m3_per_s: standardUncertainty_m3_per_s,
        typeADegreesOfFreedom: degreesOfFreedom,
        jetAllowance_m3_per_s: 0,
        ownTypeB_m3_per_s: 0,
        sharedTypeB_m3_per_s: flow_m3_per_s * relativeOf(shared),
      },
      shared,
    ),
    drip_m3_per_s: null,
    dripBecause: 'no-mass',
    struck: place.struck,
    voidBecause: null,
    warnings,
  };
}

function uncertaintyFields(parts: CatchParts, shared: readonly SharedPart[]) {
  const whole = wholeUncertainty({ ...parts, sharedDegreesOfFreedom: sharedDegreesOfFreedom(shared) });
  return {
    ...parts,
    standardUncertainty_m3_per_s: whole.standardUncertainty,
    degreesOfFreedom: whole.degreesOfFreedom,
    expandedUncertainty95_m3_per_s: whole.expandedUncertainty95,
  };
}

export function pressureFields(
  from_s: number,
  to_s: number,
  { time_s, pressure_Pa, hasSensor }: CatchContext,
): Pick<AnalysedCatch, 'pressure_Pa' | 'pressureBecause'> {
  let sum = 0;
  let n = 0;
  for (let i = firstAtOrAfter(time_s, time_s.length, from_s); i < time_s.length && time_s[i]! <= to_s; i++) {
    if (Number.isNaN(pressure_Pa[i]!)) continue;
    sum += pressure_Pa[i]!;
    n++;
  }
  if (n > 0) return { pressure_Pa: sum / n };
  return { pressure_Pa: null, pressureBecause: hasSensor ? 'not-enough-readings' : 'no-sensor' };
}

/** Whether the display's step hides this fill. */
export function resonates(estimate: MassFlowEstimate, { step_kg }: CatchContext): boolean {
  if (step_kg === null) return false;
  const noise_kg = Math.sqrt(Math.max(0, estimate.residual_kg ** 2 - step_kg ** 2 / 12));
  return quantisationResonance(estimate.massFlow_kg_per_s, estimate.period_s, step_kg, noise_kg);
}

/** So many standard errors cover the range of five means in 99 of 100 (arithmetic: studentised range, infinite df). */
const RANGE_OF_FIVE = 4.6;

function isWindy(caught: DetectedCatch, estimate: MassFlowEstimate, context: CatchContext): boolean {
  const target = context.wand === 'guided' ? 0.005 : 0.01;
  const expected_kg = estimate.massFlow_kg_per_s * (caught.stop_s - caught.start_s);
  const until_s = caught.start_s - 0.5;
  // Only where the ten seconds before were quiet, otherwise the hand that put the pail down would be the wind.
  if (context.disturbed_s.some((at_s) => at_s > until_s - 12 && at_s < until_s)) return false;
  const idle = [...samples(context, until_s - 10, until_s)].filter(({ mass_kg }) => Number.isFinite(mass_kg));
  const found = idleWander(idle, until_s, target, expected_kg);
  if (found?.doubtful !== true) return false;
  // The display's own noise and its step wander too: only what is beyond them is wind.
  const level_kg = idle.reduce((sum, { mass_kg }) => sum + mass_kg, 0) / idle.length;
  const variance = idle.reduce((sum, { mass_kg }) => sum + (mass_kg - level_kg) ** 2, 0) / idle.length;
  const meanOfTwoSeconds = Math.sqrt((variance * (context.averagedReadings ?? 8) * 5) / idle.length);
  return found.wander_kg > Math.max(context.step_kg ?? 0, RANGE_OF_FIVE * meanOfTwoSeconds);
}

function drip(
  caught: DetectedCatch,
  context: CatchContext,
): Pick<AnalysedCatch, 'drip_m3_per_s' | 'dripBecause'> {
  const { stop_s } = caught;
  const last_s = context.time_s[context.time_s.length - 1] ?? stop_s;
  const next_s = context.disturbed_s.find((at_s) => at_s > stop_s + 0.5) ?? Infinity;
  const until_s = Math.min(next_s, last_s, stop_s + DRIP_WATCH_s);
  const found = dripAfter(samples(context, stop_s, until_s), stop_s, until_s);
  if (found === null) return { drip_m3_per_s: null, dripBecause: 'no-quiet-after' };
  return { drip_m3_per_s: found * context.volumePerMass_m3_per_kg };
}

function* samples({ time_s, mass_kg }: CatchContext, from_s: number, to_s: number) {
  for (let i = firstAtOrAfter(time_s, time_s.length, from_s); i < time_s.length && time_s[i]! <= to_s; i++) {
    yield { time_s: time_s[i]!, mass_kg: mass_kg[i]! };
  }
}
