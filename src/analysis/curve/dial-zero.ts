import type { CurveInput } from './curve-point.ts';

/** What a dial showed at no pressure: pump off, trigger open. */
export interface DialZero {
  readonly shown_Pa: number;
  readonly standardUncertainty_Pa: number;
}

/**
 * Does it say what the dial is off by? Not a reading of exactly nothing: a needle that rests on its stop pin shows that too while the
 * dial reads low (common practice, no source). It still speaks against a dial that reads high.
 */
export function tellsOffset({ shown_Pa }: DialZero): boolean {
  return shown_Pa !== 0;
}

/**
 * The sweep against true pressures (rule 11.4 b): what the dial shows at no pressure is taken off every setting. Null where the dial was
 * not what counts (a sensor), or where nothing would be left of the lowest setting.
 */
export function withoutDialOffset(input: CurveInput, { shown_Pa }: DialZero): CurveInput | null {
  if (input.pressureMeasured || input.points.some(({ setting_Pa }) => !(setting_Pa > shown_Pa))) return null;
  return {
    ...input,
    points: input.points.map((point) => ({
      ...point,
      pressure_Pa: point.setting_Pa - shown_Pa,
      setting_Pa: point.setting_Pa - shown_Pa,
    })),
  };
}
