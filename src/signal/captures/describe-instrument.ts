import { LITRE_M3 } from '../../base/units/constants.ts';
import { ok, type Outcome } from '../../base/outcome.ts';
import type { InstrumentDescription } from '../reading.ts';
import type { CaptureHeader } from './header.ts';

const GRAMS_PER_KG = 1000;

/**
 * What a decoder has to know, taken from a capture's header. Zero of a board stands at 0 counts (the format has none).
 * A board without `gramsPerCount` gets 0 kg a count: its readings come, without a mass.
 */
export function describeInstrument(header: CaptureHeader): Outcome<InstrumentDescription> {
  const averagedReadings = header.averagedReadings ?? null;
  if (header.instrument === 'scale') {
    return ok({ kind: 'scale', bareUnit: header.unit ?? null, averagedReadings });
  }
  return ok({
    kind: 'bench-board',
    kilogramsPerCount: (header.gramsPerCount ?? 0) / GRAMS_PER_KG,
    countsAtZero: 0,
    averagedReadings,
    pulsesPerCubicMetre: header.pulsesPerLitre === undefined ? null : header.pulsesPerLitre / LITRE_M3,
    meterOffset_Hz: header.meterOffset_Hz ?? 0,
    pressureFullScale_Pa: header.pressureFullScale_Pa ?? null,
  });
}
