import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import type { InstrumentDescription } from '../../src/signal/reading.ts';
import type { Source } from './device/source.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';

/** The capture header of a sweep made here: what the person told and what was plugged in. */
export function captureHeaderOf(
  sweepId: string,
  setup: SweepSetup,
  source: Source,
  startedAt: string,
): CaptureHeader {
  const { tip, rig } = setup;
  const { description: instrument, simulated } = source;
  return {
    instrument: instrument.kind,
    startedAt,
    sweepId,
    tip: tip.name,
    ...(simulated ? { simulated: true } : {}),
    ...(instrument.averagedReadings === null ? {} : { averagedReadings: instrument.averagedReadings }),
    ...instrumentFacts(instrument),
    ...(setup.waterTemperature_degC === null ? {} : { waterTemperature_degC: setup.waterTemperature_degC }),
    ...source.headerFacts,
    settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
    settingProtocol: rig.control === 'turns-freely' ? 're-set' : 'set-once',
    wand: rig.wand,
    ...(tip.ratedFlow_m3_per_s === null ? {} : { ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s }),
    ...(tip.ratedPressure_Pa === null ? {} : { ratedPressure_Pa: tip.ratedPressure_Pa }),
    unknown: {},
  };
}

function instrumentFacts(instrument: InstrumentDescription): Partial<CaptureHeader> {
  if (instrument.kind === 'scale') return instrument.bareUnit === null ? {} : { unit: instrument.bareUnit };
  return {
    gramsPerCount: instrument.kilogramsPerCount * 1000,
    ...(instrument.pulsesPerCubicMetre === null
      ? {}
      : { pulsesPerLitre: instrument.pulsesPerCubicMetre / 1000, meterOffset_Hz: instrument.meterOffset_Hz }),
    ...(instrument.pressureFullScale_Pa === null ? {} : { pressureFullScale_Pa: instrument.pressureFullScale_Pa }),
  };
}
