import type { CaptureHeader } from '../../signal/captures/header.ts';
import {
  BUOYANCY_RELATIVE_U,
  HOST_CLOCK_RELATIVE_U,
  MOST_DEGREES_OF_FREEDOM,
} from '../flow/catch-uncertainty.ts';
import {
  STATED_TEMPERATURE_U_degC,
  ASSUMED_WATER_degC,
  ASSUMED_WATER_HALF_RANGE_degC,
} from '../flow/water-density.ts';
import type { WaterDensity } from '../flow/water-density.ts';
import { AIR_DENSITY_KG_PER_M3 } from '../flow/buoyancy.ts';
import type { SharedPart } from './budget.ts';
import type { ScaleFactorOfCapture } from './scale-factor.ts';

export interface SharedFacts {
  readonly header: CaptureHeader;
  readonly water: WaterDensity;
  /** What checks say of the scale. */
  readonly scale: ScaleFactorOfCapture;
  /** Null for an instrument without a clock. */
  readonly clock: { readonly ratio: number; readonly standardUncertainty: number } | null;
}

/**
 * What every flow from mass, and every flow from pulses, of one capture shares. What a checked meter adds depends on the flow:
 * `meterParts`.
 */
export function sharedParts(facts: SharedFacts): {
  readonly mass: readonly SharedPart[];
  readonly pulses: readonly SharedPart[];
} {
  const clocks = clockParts(facts);
  return {
    mass: [waterPart(facts), ...buoyancyPart(facts), ...facts.scale.parts, ...clocks],
    pulses: clocks,
  };
}

function waterPart({ header, water }: SharedFacts): SharedPart {
  return {
    input: 'water-temperature',
    value: header.waterTemperature_degC ?? ASSUMED_WATER_degC,
    unit: '°C',
    standardUncertainty: water.assumed
      ? ASSUMED_WATER_HALF_RANGE_degC / Math.sqrt(3)
      : (water.temperatureStandardUncertainty_degC ?? STATED_TEMPERATURE_U_degC),
    distribution: water.assumed ? 'rectangular' : 'normal',
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    relative: water.relativeStandardUncertainty,
  };
}

/** Known to ±5 % (a day's weather, 500 m of height); a factor from a known volume of water holds the air already. */
function buoyancyPart({ header }: SharedFacts): SharedPart[] {
  if (header.scaleFactorFrom === 'water-volume') return [];
  return [
    {
      input: 'air-density',
      value: AIR_DENSITY_KG_PER_M3,
      unit: 'kg/m³',
      standardUncertainty: (0.05 * AIR_DENSITY_KG_PER_M3) / Math.sqrt(3),
      distribution: 'rectangular',
      degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      relative: BUOYANCY_RELATIVE_U,
    },
  ];
}

function clockParts({ clock }: SharedFacts): SharedPart[] {
  const host: SharedPart = {
    input: 'host-clock',
    value: 1,
    unit: '1',
    standardUncertainty: HOST_CLOCK_RELATIVE_U,
    distribution: 'rectangular',
    degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
    relative: HOST_CLOCK_RELATIVE_U,
  };
  if (clock === null) return [host];
  return [
    {
      input: 'device-clock',
      value: clock.ratio,
      unit: '1',
      standardUncertainty: clock.standardUncertainty,
      distribution: 'normal',
      degreesOfFreedom: MOST_DEGREES_OF_FREEDOM,
      // The host's own clock is a line of its own: this one is the ratio alone.
      relative: clock.standardUncertainty,
    },
    host,
  ];
}
