import { ok, refused, type Outcome } from '../../../src/base/outcome.ts';
import type { InstrumentDescription } from '../../../src/signal/reading.ts';
import type { SerialRequest } from '../../contract.ts';

/** What the person told of the instrument, as the decoder needs it. A board has to weigh, or to have a meter. */
export function describeSerial(request: SerialRequest): Outcome<InstrumentDescription> {
  const { averagedReadings } = request;
  if (averagedReadings !== null && !(Number.isInteger(averagedReadings) && averagedReadings >= 1))
    return refused('number-not-understood', { field: 'averagedReadings' });
  if (!(request.baudRate > 0)) return refused('number-not-understood', { field: 'baudRate' });
  if (request.kind === 'scale') return ok({ kind: 'scale', bareUnit: request.bareUnit, averagedReadings });
  const { gramsPerCount, pulsesPerLitre } = request;
  // A cell that is wired the other way round has a negative factor; a board with a meter alone has none.
  const weighs = gramsPerCount !== null || pulsesPerLitre === null;
  if (weighs && (gramsPerCount === null || !Number.isFinite(gramsPerCount) || gramsPerCount === 0))
    return refused('number-not-understood', { field: 'gramsPerCount' });
  const { pressureFullScale_Pa = null } = request;
  if (pressureFullScale_Pa !== null && !(pressureFullScale_Pa > 0 && Number.isFinite(pressureFullScale_Pa)))
    return refused('number-not-understood', { field: 'pressureFullScale' });
  return ok({
    kind: 'bench-board',
    kilogramsPerCount: (gramsPerCount ?? 0) / 1000,
    countsAtZero: 0,
    averagedReadings: averagedReadings ?? 1,
    pulsesPerCubicMetre: pulsesPerLitre === null ? null : pulsesPerLitre * 1000,
    meterOffset_Hz: 0,
    pressureFullScale_Pa,
  });
}
