/** Half the way between two marks stands for anywhere between them. */
const RECTANGULAR = Math.sqrt(3);

export interface FlowStop {
  readonly shown_Pa: number;
  readonly standardUncertainty_Pa: number;
}

/**
 * What: the pressure at which the flow stopped on the way down, from the last mark at which water ran and the first at which none did.
 * Formula: their middle; u² = (half their distance)²/3 + u(setting)². Never stopped: the lower one is 0, the lowest that it can be.
 * Source: JCGM 100:2008, 4.3.7 (rectangular distribution). Conditions: 0 ≤ stopped < ran.
 * @param settingStandardUncertainty_Pa how well a mark is hit, or a sensor read.
 * @example flowStop(10, 8, 0) // { shown_Pa: 9, standardUncertainty_Pa: 0.577… }
 */
export function flowStop(
  ran_Pa: number,
  stopped_Pa: number,
  settingStandardUncertainty_Pa: number,
): FlowStop {
  const half_Pa = (ran_Pa - stopped_Pa) / 2;
  return {
    shown_Pa: stopped_Pa + half_Pa,
    standardUncertainty_Pa: Math.hypot(half_Pa / RECTANGULAR, settingStandardUncertainty_Pa),
  };
}
