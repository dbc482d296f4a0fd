import type { InstrumentDescription } from '../signal/reading.ts';
import type { SimulatedDial } from './rig.ts';
import type { Scenario } from './scenario.ts';
import { WATER_TEMPERATURE_degC } from './water.ts';

/** Keys of a capture's header that a simulated bench knows, named as there. */
export interface HeaderFacts {
  readonly instrument: 'scale' | 'bench-board';
  readonly unit?: 'g';
  readonly waterTemperature_degC: number;
  readonly averagedReadings: number;
  readonly scaleFactorFrom: 'mass-pieces' | 'maker';
  readonly gramsPerCount?: number;
  readonly pulsesPerLitre?: number;
  readonly pressureFullScale_Pa?: number;
  readonly settingStandardUncertainty_Pa?: number;
  readonly settingProtocol?: 're-set' | 'set-once';
  readonly wand: 'hand-held' | 'guided';
  readonly tip?: string;
  readonly simulated: true;
}

/** A wand whose push drifts no more than 5 % over a fill is a guided one (the study's split). */
const GUIDED_DRIFT = 0.05;

export function headerFacts(
  scenario: Scenario,
  description: InstrumentDescription,
  dial: SimulatedDial | null,
  tip: string | undefined,
): HeaderFacts {
  return {
    instrument: description.kind,
    ...(description.kind === 'scale' && description.bareUnit === 'g' && { unit: 'g' as const }),
    waterTemperature_degC: WATER_TEMPERATURE_degC,
    averagedReadings: scenario.averagedReadings,
    scaleFactorFrom: 'mass-pieces',
    ...(description.kind === 'bench-board' && {
      ...(description.kilogramsPerCount !== 0 && { gramsPerCount: description.kilogramsPerCount * 1000 }),
      ...(description.pulsesPerCubicMetre !== null && {
        pulsesPerLitre: description.pulsesPerCubicMetre / 1000,
      }),
      ...(description.pressureFullScale_Pa !== null && {
        pressureFullScale_Pa: description.pressureFullScale_Pa,
      }),
    }),
    ...(dial && {
      settingStandardUncertainty_Pa: dial.standardDeviation_Pa,
      settingProtocol: dial.protocol,
    }),
    wand: scenario.jetDrift <= GUIDED_DRIFT ? 'guided' : 'hand-held',
    ...(tip !== undefined && { tip }),
    simulated: true,
  };
}
