import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import type { InstrumentDescription } from '../../src/signal/reading.ts';
import type { SweepSetup } from '../../src/session/sweep-setup.ts';
import type { Source } from './device/source.ts';

/** What checks of the instrument found; null takes a key away that the instrument alone would have. */
export type CheckFacts = Facts;
type Facts = { [Key in keyof CaptureHeader]?: CaptureHeader[Key] | null };

/** The capture header of a sweep made here: what the person told and what was plugged in; what nobody said is left out. */
export function captureHeaderOf(
  sweepId: string,
  setup: SweepSetup,
  source: Source,
  startedAt: string,
  checks: CheckFacts = {},
): CaptureHeader {
  const { tip, rig } = setup;
  const { description, simulated } = source;
  const facts: Facts = {
    startedAt,
    sweepId,
    averagedReadings: description.averagedReadings,
    waterTemperature_degC: setup.waterTemperature_degC,
    ...instrumentFacts(description),
    ...source.headerFacts,
    ...checks,
    settingStandardUncertainty_Pa: rig.settingStandardUncertainty_Pa,
    // In one pour each setting is set once whatever the knob: its error is in every reading of it and does not average out.
    settingProtocol:
      rig.control === 'turns-freely' && setup.protocol === 'each-catch' && setup.routine === null
        ? 're-set'
        : 'set-once',
    routine: setup.routine?.kind ?? null,
    wand: rig.wand,
    // What is as always is left out.
    standsOnScale: rig.standsOnScale === 'pail' ? null : rig.standsOnScale,
    rigKind: rig.kind === 'held' ? null : rig.kind,
    strokePeriod_s: rig.strokePeriod_s,
    rig: rig.name,
    gaugeAt: rig.plumbing?.gaugeAt ?? null,
    hoseLength_m: rig.plumbing?.hoseLength_m ?? null,
    hoseBore_m: rig.plumbing?.hoseBore_m ?? null,
    tipAboveGauge_m: rig.plumbing?.tipAboveGauge_m ?? null,
    tip: tip.name,
    ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s,
    ratedPressure_Pa: tip.ratedPressure_Pa,
    ...(simulated ? { simulated } : {}),
  };
  const said = Object.entries(facts).filter(([, value]) => value !== null);
  return {
    instrument: description.kind,
    ...(Object.fromEntries(said) as Partial<CaptureHeader>),
    // What was switched on at a simulated bench stays with its sweep, for when it is taken up again and for whoever scores it.
    unknown: source.faults == null ? {} : { truth: JSON.stringify({ faults: source.faults }) },
  };
}

/** As much of a header as the instrument alone tells. */
export function describedHeader(instrument: InstrumentDescription): CaptureHeader {
  const said = Object.entries(instrumentFacts(instrument)).filter(([, value]) => value !== null);
  return {
    instrument: instrument.kind,
    ...(Object.fromEntries(said) as Partial<CaptureHeader>),
    unknown: {},
  };
}

function instrumentFacts(instrument: InstrumentDescription): Facts {
  if (instrument.kind === 'scale') return { unit: instrument.bareUnit };
  const { pulsesPerCubicMetre, meterOffset_Hz, pressureFullScale_Pa } = instrument;
  return {
    // A board that weighs nothing has no such factor.
    gramsPerCount: instrument.kilogramsPerCount === 0 ? null : instrument.kilogramsPerCount * 1000,
    pressureFullScale_Pa,
    ...(pulsesPerCubicMetre === null
      ? {}
      : {
          pulsesPerLitre: pulsesPerCubicMetre / 1000,
          // Absent: nobody has checked it. Nobody's zero is not a check's zero.
          meterOffset_Hz: meterOffset_Hz === 0 ? null : meterOffset_Hz,
        }),
  };
}
