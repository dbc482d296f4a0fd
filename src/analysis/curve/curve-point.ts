/** One catch as the curve needs it. Own and shared doubts are kept apart from the start: only own ones may enter weights. */
export interface CurvePoint {
  /** Read by a sensor during the catch; looked at only when `pressureMeasured`, otherwise the setting counts. */
  readonly pressure_Pa: number;
  /** Nominal setting; equal numbers are one setting. */
  readonly setting_Pa: number;
  readonly flow_m3_per_s: number;
  /** Of this catch alone (Type A, jet, own Type B); no pressure in it. */
  readonly ownStandardUncertainty_m3_per_s: number;
  /** Degrees of freedom of the own part (Welch-Satterthwaite); Infinity if left out. */
  readonly ownDegreesOfFreedom?: number;
  /** Of the own part, what was estimated from scatter (Type A); left out: all of it where its degrees of freedom are finite. */
  readonly estimated?: {
    readonly standardUncertainty_m3_per_s: number;
    readonly degreesOfFreedom: number;
  };
  /**
   * Of the own part, what differs from catch to catch and so shows in repeats by itself (the jet's drift); 0 if left out. Means of
   * repeats need no allowance for it beside what the repeats show.
   */
  readonly seenInRepeats_m3_per_s?: number;
  /** Of the measured pressure, this catch alone (wander and noise); left out: as for a setting. Nothing that all catches share. */
  readonly pressureStandardUncertainty_Pa?: number;
  readonly pressureDegreesOfFreedom?: number;
  /** Relative, the same error for all catches of the sweep (density, temperature, clock, scale gain). */
  readonly sharedRelativeStandardUncertainty: number;
}

/** `re-set`: a free knob, turned away and back before each catch. `set-once`: untouched, or a dial that clicks or shows a number. */
export type SettingProtocol = 're-set' | 'set-once';

export interface CurveInput {
  readonly points: readonly CurvePoint[];
  readonly protocol: SettingProtocol;
  /** What one setting of the pressure is worth (of the sensor, if the pressure was measured). */
  readonly settingStandardUncertainty_Pa: number;
  /** Of a sensor: offset and gain, the same error in every catch; enters k once, never the weights. 0 if left out. */
  readonly pressureSharedStandardUncertainty_Pa?: number;
  /** Of the shared part of the flows; Infinity if left out. */
  readonly sharedDegreesOfFreedom?: number;
  /** True: the flow is held against `pressure_Pa`, read from a sensor; false: against the nominal `setting_Pa`. */
  readonly pressureMeasured: boolean;
}

/** The points with the pressure that the flow is held against. */
export function pointsAgainstPressure(input: CurveInput): readonly CurvePoint[] {
  if (input.pressureMeasured) return input.points;
  return input.points.map((point) => ({ ...point, pressure_Pa: point.setting_Pa }));
}

/** What one point's pressure is worth by itself: of the reading where it was read, else of the setting. */
export function pressureDoubt(
  input: CurveInput,
  point: CurvePoint,
): { u_Pa: number; degreesOfFreedom: number } {
  if (input.pressureMeasured && point.pressureStandardUncertainty_Pa !== undefined) {
    return {
      u_Pa: point.pressureStandardUncertainty_Pa,
      degreesOfFreedom: point.pressureDegreesOfFreedom ?? Infinity,
    };
  }
  return { u_Pa: input.settingStandardUncertainty_Pa, degreesOfFreedom: Infinity };
}

/** Catches of one setting, as indices into the points; settings ascending. */
export interface SettingGroup {
  readonly setting_Pa: number;
  readonly indices: readonly number[];
}

export function groupBySetting(points: readonly CurvePoint[]): SettingGroup[] {
  const groups = new Map<number, number[]>();
  points.forEach((point, index) => {
    const group = groups.get(point.setting_Pa);
    if (group === undefined) groups.set(point.setting_Pa, [index]);
    else group.push(index);
  });
  return [...groups]
    .map(([setting_Pa, indices]) => ({ setting_Pa, indices }))
    .sort((a, b) => a.setting_Pa - b.setting_Pa);
}
