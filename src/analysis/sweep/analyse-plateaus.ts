import type { VoidReason, Warning } from '../../base/because.ts';
import type { DetectedCatch } from '../../signal/catches/catch-event.ts';
import { quantisationAllowance_kg_per_s } from '../../signal/catches/quantisation-resonance.ts';
import { estimateMassFlow } from '../flow/estimate-mass-flow.ts';
import { firstAtOrAfter } from '../flow/steady-window.ts';
import { jetAllowance_kg_per_s, jetPush_kg } from '../flow/jet-allowance.ts';
import { fromPulses, massFlowFields, pressureFields, resonates, SHORT_CATCH_s } from './analyse-catch.ts';
import { head, voidCatch } from './void-catch.ts';
import type { CatchContext } from './analyse-catch.ts';
import type { CatchPlace } from './void-catch.ts';
import type { AnalysedCatch } from './analysis.ts';
import { assignSettings, joinAnnounced } from './assign-settings.ts';
import type { AssignedSettings } from './assign-settings.ts';
import type { PlannedPour } from './marks.ts';
import { findPlateaus, PLATEAU_BACK_TRIM_s } from './plateaus.ts';
import type { HowToCut } from './plateaus.ts';
import { refineBorders } from './refine-borders.ts';
import { findPressurePlateaus } from './pressure-plateaus.ts';

/** What broke a pour off without touching what had run before: settings that were finished by then stand. */
const brokenOff: ReadonlySet<VoidReason> = new Set([
  'lines-lost',
  'board-restarted',
  'device-lost',
  'bytes-lost',
  'line-error',
  'buffer-overflow',
  'readings-stopped',
  'app-restarted',
  'lifted-while-filling',
  'tared-while-filling',
  'over-range',
  'stopped-by-person',
  'capture-ended-while-filling',
]);
/** A plateau that ends nearer than this to where the pour was broken off was still in hand. */
const IN_HAND_s = 1.5;
const TURN_MARGIN_s = 0.6;

interface Stretch {
  readonly start_s: number;
  readonly stop_s: number;
}

/**
 * One pour during which several settings were visited: one entry a plateau, all with the pour's number; which setting is which says
 * `assignSettings`. Borders come from the slope of the mass (without a load cell, of the water that passed the meter); where these
 * don't fit the plan and a sensor's pressure does, from the pressure. Of a pour that was broken off the finished plateaus stand if
 * their settings were announced as they came; the one in hand is void.
 * A plateau has no mass and no drip of its own. The jet's push is taken from the pour's start edge (the only step there is).
 */
export function analysePlateaus(
  caught: DetectedCatch,
  pour: number,
  plan: PlannedPour,
  struckAt: (start_s: number) => boolean,
  context: CatchContext,
): AnalysedCatch[] {
  const placeOf = (start_s: number, setting_Pa: number | null): CatchPlace => ({
    setting_Pa,
    settingBecause: 'plateaus-do-not-match-plan',
    pour,
    struck: struckAt(start_s),
  });
  const isUnitUnknown = context.hasMass && context.isUnitUnknown(caught.start_s, caught.stop_s);
  const voided = caught.voidBecause ?? (isUnitUnknown ? 'unit-unknown' : null);
  const isBrokenOff = voided !== null && brokenOff.has(voided) && plan.announced.length > 0;
  const nothing = (because: VoidReason): AnalysedCatch[] => [
    voidCatch(caught, placeOf(caught.start_s, null), because, caught.warnings),
  ];
  if (voided !== null && !isBrokenOff) return nothing(voided);
  const { plateaus: cutOut, assigned } = cut(caught, plan, context);
  const plateaus =
    plan.announced.length > 0 && context.hasMass
      ? refineBorders(context.time_s, context.mass_kg, cutOut)
      : cutOut;
  const inHand = isBrokenOff
    ? plateaus.findIndex(({ stop_s }) => stop_s > caught.stop_s - IN_HAND_s)
    : plateaus.length;
  if (plateaus.length === 0 || inHand === 0) return nothing(voided ?? 'no-steady-window');
  // How a pour without announcements was reckoned stays as it was: one push for all its settings.
  const flowOf = context.hasMass
    ? plateauByMass(caught, context, plan.announced.length > 0)
    : plateauByPulses(caught, context);
  return plateaus.map((plateau, i) => {
    const place = placeOf(plateau.start_s, assigned.settings_Pa[i]!);
    if (i === inHand) return voidCatch(plateau, place, voided ?? 'no-steady-window', caught.warnings);
    // Where settings were announced it is told which of them lost readings; a knock's place is not kept.
    const isElsewhere = plan.announced.length > 0 && !hasHole(plateau, context.time_s);
    const warnings: Warning[] = caught.warnings.filter(
      (warning) => warning !== 'gap-while-filling' || !isElsewhere,
    );
    if (plateau.stop_s - plateau.start_s < SHORT_CATCH_s) warnings.push('short-catch');
    if (place.setting_Pa === null || assigned.doubtful.has(i)) warnings.push('plateaus-do-not-match-plan');
    return flowOf(plateau, place, warnings);
  });
}

/** Readings are missing in it: two of them lie further apart than their usual distance nearly twice. */
function hasHole({ start_s, stop_s }: Stretch, time_s: Float64Array): boolean {
  const first = firstAtOrAfter(time_s, time_s.length, start_s);
  const last = firstAtOrAfter(time_s, time_s.length, stop_s) - 1;
  const usual_s = (time_s[last]! - time_s[first]!) / Math.max(1, last - first);
  for (let i = first; i < last; i++) if (time_s[i + 1]! - time_s[i]! > 1.7 * usual_s) return true;
  return false;
}

function cut(
  { start_s, stop_s }: Stretch,
  plan: PlannedPour,
  context: CatchContext,
): { readonly plateaus: readonly Stretch[]; readonly assigned: AssignedSettings } {
  const { time_s } = context;
  const column = context.hasMass ? context.mass_kg : (context.passed_kg ?? context.mass_kg);
  const cutBy = (how: HowToCut) => {
    const pieces = findPlateaus(time_s, column, time_s.length, start_s, stop_s, how);
    const asCut = assignSettings(pieces, plan);
    if (asCut.matches) return { plateaus: pieces, assigned: asCut };
    const found = joinAnnounced(pieces, plan);
    return { plateaus: found, assigned: assignSettings(found, plan) };
  };
  const { plateaus, assigned } = cutBy(plan.announced.length > 0 ? 'pieces' : 'plain');
  if (assigned.matches) return { plateaus, assigned };
  const nearby = cutBy('nearby');
  if (nearby.assigned.matches) return nearby;
  if (!context.hasSensor) return { plateaus, assigned };
  const byPressure = findPressurePlateaus(time_s, context.pressure_Pa, time_s.length, start_s, stop_s);
  const fits = assignSettings(byPressure, plan);
  return fits.matches ? { plateaus: byPressure, assigned: fits } : { plateaus, assigned };
}

type PlateauFlow = (plateau: Stretch, place: CatchPlace, warnings: readonly Warning[]) => AnalysedCatch;

/** @param pushGrows the jet's push goes with the square of the flow (its momentum: flow times speed, both as one). */
function plateauByMass(caught: DetectedCatch, context: CatchContext, pushGrows: boolean): PlateauFlow {
  const { time_s, mass_kg, averagedReadings, step_kg } = context;
  let first: { readonly push_kg: number; readonly flow: number } | null = null;
  return (plateau, place, warnings) => {
    // A refined border is the first moment that can't be told from the line: a little of the turn may lie behind it.
    const from_s = plateau.start_s + (pushGrows && first !== null ? TURN_MARGIN_s : 0);
    const found = estimateMassFlow(time_s, mass_kg, time_s.length, from_s, plateau.stop_s, {
      averagedReadings,
      backTrim_s: PLATEAU_BACK_TRIM_s,
    });
    if (!found.ok || !(found.value.massFlow_kg_per_s > 0)) {
      return voidCatch(plateau, place, 'no-steady-window', caught.warnings);
    }
    const estimate = found.value;
    const flow = estimate.massFlow_kg_per_s;
    first ??= { push_kg: jetPush_kg({ ...estimate, before_kg: caught.before_kg, averagedReadings }), flow };
    const push_kg = first.push_kg * (pushGrows ? (flow / first.flow) ** 2 : 1);
    const jet_kg_per_s = jetAllowance_kg_per_s(push_kg, plateau.stop_s - plateau.start_s, context.wand);
    const isHidden = resonates(estimate, context);
    const { window } = estimate;
    const ownTypeB_kg_per_s = isHidden
      ? quantisationAllowance_kg_per_s(step_kg ?? 0, window.to_s - window.from_s)
      : 0;
    return {
      ...head(plateau, place),
      ...pressureFields(window.from_s, window.to_s, context),
      ...noMassOfItsOwn,
      ...massFlowFields(estimate, { jet_kg_per_s, ownTypeB_kg_per_s }, context),
      struck: place.struck,
      voidBecause: null,
      warnings: [
        ...new Set<Warning>([...warnings, ...(isHidden ? (['quantisation-resonance'] as const) : [])]),
      ],
    };
  };
}

/** The meter's edges keep out of the turns of the control: the trims are those of a catch. */
function plateauByPulses(caught: DetectedCatch, context: CatchContext): PlateauFlow {
  return (plateau, place, warnings) => {
    const seen = fromPulses({ ...caught, ...plateau }, place, context);
    if (seen.voidBecause !== null) return seen;
    return { ...seen, ...noMassOfItsOwn, warnings: [...new Set<Warning>([...seen.warnings, ...warnings])] };
  };
}

const noMassOfItsOwn = {
  mass_kg: null,
  massBecause: 'plateau-of-a-pour',
  drip_m3_per_s: null,
  dripBecause: 'plateau-of-a-pour',
} as const;
