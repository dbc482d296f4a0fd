import type { CaptureMark } from '../../signal/captures/mark.ts';
import type { DialZero } from '../curve/dial-zero.ts';

/** A setting announced a little late still holds for the water that had begun. */
export const SETTING_GRACE_s = 0.5;
/** A strike names a start; the refined edge may have moved by this much since. */
export const STRIKE_REACH_s = 2;

export interface TimedMark {
  readonly at_s: number;
  readonly mark: CaptureMark;
}

/** The setting that holds for water that began at `start_s`: the last one announced up to 0.5 s after it. */
export function settingAt(marks: readonly TimedMark[], start_s: number): number | null {
  let setting_Pa: number | null = null;
  for (const { at_s, mark } of marks) {
    if (mark.kind === 'setting' && start_s >= at_s - SETTING_GRACE_s) setting_Pa = mark.pressure_Pa;
  }
  return setting_Pa;
}

/** The tip (or position of a boom) that gives the water that began at `start_s`, as `settingAt`; null before the first `!tip` mark. */
export function tipAt(marks: readonly TimedMark[], start_s: number): string | null {
  let label: string | null = null;
  for (const { at_s, mark } of marks) {
    if (mark.kind === 'tip' && start_s >= at_s - SETTING_GRACE_s) label = mark.label;
  }
  return label;
}

/** Another tip was announced in the middle of this water. */
export function tipChangedIn(marks: readonly TimedMark[], start_s: number, stop_s: number): boolean {
  const before = tipAt(marks, start_s);
  return marks.some(
    ({ at_s, mark }) =>
      mark.kind === 'tip' && at_s > start_s + SETTING_GRACE_s && at_s < stop_s && mark.label !== before,
  );
}

/** Which catches are struck, after strikes and undone strikes in order; a strike means the nearest start within 2 s. */
export function struckCatches(marks: readonly TimedMark[], starts_s: readonly number[]): boolean[] {
  const struck = starts_s.map(() => false);
  for (const { mark } of marks) {
    if (mark.kind !== 'struck' && mark.kind !== 'undo-struck') continue;
    let nearest = -1;
    starts_s.forEach((start_s, i) => {
      const off_s = Math.abs(start_s - mark.start_s);
      if (off_s <= STRIKE_REACH_s && (nearest < 0 || off_s < Math.abs(starts_s[nearest]! - mark.start_s))) {
        nearest = i;
      }
    });
    if (nearest >= 0) struck[nearest] = mark.kind === 'struck';
  }
  return struck;
}

/**
 * Which points of one pour are struck: a strike means the nearest start within 2 s, and the pour's own start means all of its points.
 */
export function struckPoints(
  marks: readonly TimedMark[],
  pourStart_s: number,
  starts_s: readonly number[],
): boolean[] {
  let struck = starts_s.map(() => false);
  for (const timed of marks) {
    const { mark } = timed;
    if (mark.kind !== 'struck' && mark.kind !== 'undo-struck') continue;
    // As a strike, to see whom it means.
    const strike = [{ ...timed, mark: { ...mark, kind: 'struck' as const } }];
    const [isWhole, ...isPoint] = struckCatches(strike, [pourStart_s, ...starts_s]);
    struck = struck.map((was, i) => (isWhole || isPoint[i] ? mark.kind === 'struck' : was));
  }
  return struck;
}

/** The plan of a one-pour capture that holds for water that began at `start_s`; null without one. */
export function planAt(marks: readonly TimedMark[], start_s: number): readonly number[] | null {
  let plan: readonly number[] | null = null;
  for (const { at_s, mark } of marks) {
    if (start_s < at_s - SETTING_GRACE_s) break;
    if (mark.kind === 'plan-one-pour') plan = mark.pressures_Pa;
    // A setting announced later ends the plan.
    if (mark.kind === 'setting') plan = null;
  }
  return plan;
}

/** What is known of the settings of one pour that was to visit several. */
export interface PlannedPour {
  readonly settings_Pa: readonly number[];
  /** Settings announced while it ran, ascending; none in a capture that only gives the plan. */
  readonly announced: readonly { readonly at_s: number; readonly setting_Pa: number }[];
}

/** The plan that holds for water from `start_s` to `stop_s`, with what was announced meanwhile; null without a plan. */
export function plannedPour(
  marks: readonly TimedMark[],
  start_s: number,
  stop_s: number,
): PlannedPour | null {
  const settings_Pa = planAt(marks, start_s);
  if (settings_Pa === null) return null;
  const announced = marks.flatMap(({ at_s, mark }) =>
    mark.kind === 'setting' && at_s > start_s + SETTING_GRACE_s && at_s < stop_s
      ? [{ at_s, setting_Pa: mark.pressure_Pa }]
      : [],
  );
  return { settings_Pa, announced };
}

/** What the dial showed at no pressure, as it was last read; null: nobody did. */
export function dialZeroOf(marks: readonly TimedMark[]): DialZero | null {
  for (const { mark } of marks.toReversed())
    if (mark.kind === 'rig-check' && mark.check === 'dial-at-zero')
      return { shown_Pa: mark.value, standardUncertainty_Pa: mark.standardUncertainty };
  return null;
}
