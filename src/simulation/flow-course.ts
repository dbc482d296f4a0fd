import type { Random, Range } from './random.ts';

/**
 * What drives the water, as data. `swelling`: a long hose takes water in before the tip gets it all; `strokes`: a hand pump;
 * `falling`: a can that was pumped up, whose air grows as the water leaves.
 */
export type Drive =
  | {
      readonly kind: 'swelling';
      /** Share of the flow that is missing at first, and the time constant of its coming. */
      readonly missing: Range;
      readonly time_s: Range;
    }
  | {
      readonly kind: 'strokes';
      /** The beat, drawn once a session. */
      readonly period_s: Range;
      /** Amplitude of the flow within a stroke, relative. */
      readonly swing: Range;
      /** Standard deviations: volume of a stroke; moment of a stroke, in periods; the person's own pace against the beat. */
      readonly volumeJitter: number;
      readonly timeJitter: number;
      readonly paceError: number;
    }
  | {
      readonly kind: 'falling';
      readonly air_m3: Range;
      readonly pressure_Pa: Range;
      /** 1: the air keeps its temperature; 1.4: it has no time to take up heat. */
      readonly exponent: Range;
    };

/** How the flow of one opening departs from its nominal value, as a function of the time since the valve opened. */
export interface FlowCourse {
  /** Relative, 0 = nominal; (nearly) 0 at the moment of opening. */
  deviation(since_s: number): number;
  /** Its integral from the opening on, s. */
  accumulated_s(since_s: number): number;
  /**
   * The flow that a result should tell, relative to the nominal one, for an opening seen from `from_s` to `to_s`: the steady flow of a
   * hose, the mean over whole strokes, the mean over the time of a falling can.
   */
  told(from_s: number, to_s: number): number;
}

const ATMOSPHERE_PA = 101325;

/** The course of one opening; null: steady. `beat_s` is the session's. */
export function courseOf(
  drive: Drive | undefined,
  draw: Random,
  opening: { readonly flow_kg_per_s: number; readonly openLag_s: number; readonly beat_s: number },
): FlowCourse | null {
  switch (drive?.kind) {
    case undefined:
      return null;
    case 'swelling':
      return swelling(draw.within(drive.missing), draw.within(drive.time_s), opening.openLag_s);
    case 'strokes':
      return strokes(drive, draw, opening.beat_s);
    case 'falling':
      return fallingPressure(
        opening.flow_kg_per_s,
        draw.within(drive.air_m3),
        draw.within(drive.pressure_Pa),
        draw.within(drive.exponent),
      );
  }
}

/** flow = nominal (1 - missing e^(-t/time)), opened with the valve's own lag. Integral exact (arithmetic). */
export function swelling(missing: number, time_s: number, openLag_s: number): FlowCourse {
  const quick_s = 1 / (1 / time_s + 1 / openLag_s);
  return {
    deviation: (t) => -missing * (Math.exp(-t / time_s) - Math.exp(-t / quick_s)),
    accumulated_s: (t) => missing * (time_s * Math.expm1(-t / time_s) - quick_s * Math.expm1(-t / quick_s)),
    told: () => 1,
  };
}

const STROKES_DRAWN = 400;

function strokes(drive: Extract<Drive, { kind: 'strokes' }>, draw: Random, beat_s: number): FlowCourse {
  const swing = draw.within(drive.swing);
  const pace_s = beat_s * (1 + drive.paceError * draw.normal());
  // Stroke i begins about its beat: jitter does not add up, for the beat is heard.
  const begins_s = Array.from({ length: STROKES_DRAWN + 1 }, (_, i) =>
    i === 0 ? 0 : pace_s * (i + Math.max(-0.4, Math.min(0.4, drive.timeJitter * draw.normal()))),
  );
  const volumes_s = begins_s.map(() => pace_s * (1 + drive.volumeJitter * draw.normal()));
  const before_s = [0];
  volumes_s.forEach((volume_s, i) => before_s.push(before_s[i]! + volume_s));
  const strokeAt = (t: number): number => {
    let i = Math.min(STROKES_DRAWN - 1, Math.max(0, Math.floor(t / pace_s)));
    while (i > 0 && begins_s[i]! > t) i -= 1;
    while (i < STROKES_DRAWN - 1 && begins_s[i + 1]! <= t) i += 1;
    return i;
  };
  const delivered_s = (t: number): number => {
    const i = strokeAt(t);
    const lasts_s = begins_s[i + 1]! - begins_s[i]!;
    const turn = Math.min(1, (t - begins_s[i]!) / lasts_s);
    const part = turn + (swing * (1 - Math.cos(2 * Math.PI * turn))) / (2 * Math.PI);
    return before_s[i]! + volumes_s[i]! * part;
  };
  return {
    deviation(t) {
      const i = strokeAt(t);
      const lasts_s = begins_s[i + 1]! - begins_s[i]!;
      const turn = (t - begins_s[i]!) / lasts_s;
      return (volumes_s[i]! / lasts_s) * (1 + swing * Math.sin(2 * Math.PI * turn)) - 1;
    },
    accumulated_s: (t) => delivered_s(t) - t,
    told(from_s, to_s) {
      const whole = begins_s.filter((at_s) => at_s >= from_s && at_s <= to_s);
      const first_s = whole[0];
      const last_s = whole.at(-1);
      if (first_s === undefined || last_s === undefined || last_s <= first_s) return 1;
      return (delivered_s(last_s) - delivered_s(first_s)) / (last_s - first_s);
    },
  };
}

const STEP_S = 0.05;
const LONGEST_S = 400;

/**
 * A can without a pump running: the air above the water pushes it out and grows, p V^n = constant (absolute pressure; n 1 isothermal,
 * 1.4 adiabatic; textbook thermodynamics), the tip gives flow as the square root of gauge pressure. Integrated by Runge-Kutta of the
 * fourth order in steps of 0.05 s.
 */
export function fallingPressure(
  flow_kg_per_s: number,
  air_m3: number,
  pressure_Pa: number,
  exponent: number,
): FlowCourse {
  const full_Pa = pressure_Pa + ATMOSPHERE_PA;
  const flow_m3_per_s = flow_kg_per_s / 1000;
  const share = (out_s: number): number => {
    const now_Pa = full_Pa * (air_m3 / (air_m3 + flow_m3_per_s * out_s)) ** exponent - ATMOSPHERE_PA;
    return Math.sqrt(Math.max(0, now_Pa) / pressure_Pa);
  };
  // Seconds of nominal flow that have left, step by step.
  const out_s = [0];
  const upTo = (steps: number): void => {
    while (out_s.length <= steps) {
      const v = out_s.at(-1)!;
      const a = share(v);
      const b = share(v + 0.5 * STEP_S * a);
      const c = share(v + 0.5 * STEP_S * b);
      const d = share(v + STEP_S * c);
      out_s.push(v + (STEP_S * (a + 2 * b + 2 * c + d)) / 6);
    }
  };
  const delivered_s = (t: number): number => {
    const at = Math.min(t, LONGEST_S) / STEP_S;
    const i = Math.floor(at);
    upTo(i + 1);
    return out_s[i]! + (at - i) * (out_s[i + 1]! - out_s[i]!);
  };
  return {
    deviation: (t) => share(delivered_s(t)) - 1,
    accumulated_s: (t) => delivered_s(t) - t,
    told: (from_s, to_s) => (delivered_s(to_s) - delivered_s(from_s)) / (to_s - from_s),
  };
}
