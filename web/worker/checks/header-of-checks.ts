import { inTermsOfPieces } from '../../../src/analysis/checks/in-terms-of-pieces.ts';
import type { CaptureHeader } from '../../../src/signal/captures/header.ts';
import type { ChecksInForce } from '../../contract.ts';

type Facts = { [Key in keyof CaptureHeader]?: CaptureHeader[Key] | null };

/** What the checks in force say in the header of a capture; null takes a key away that the instrument alone would have. */
export function headerOfChecks({ scale, meter, clock, pressure }: ChecksInForce): Facts {
  return {
    ...(scale !== null && scaleKeys(scale)),
    ...(meter !== null && {
      pulsesPerLitre: meter.pulsesPerCubicMetre / 1e3,
      pulsesPerLitreStandardUncertainty: meter.pulsesPerCubicMetreStandardUncertainty / 1e3,
      meterOffset_Hz: meter.offset_Hz,
      meterOffsetStandardUncertainty_Hz: meter.offsetStandardUncertainty_Hz,
      meterCorrelation: meter.correlation,
      meterReferenceRelativeStandardUncertainty: meter.referenceRelativeStandardUncertainty,
      meterLowestFlow_m3_per_s: meter.lowestFlow_m3_per_s,
      meterHighestFlow_m3_per_s: meter.highestFlow_m3_per_s,
    }),
    ...(clock !== null && {
      clockRatio: clock.ratio,
      clockRatioStandardUncertainty: clock.standardUncertainty,
    }),
    ...(pressure !== null && {
      pressureZero_Pa: pressure.zero_Pa,
      pressureGain: pressure.gain,
      pressureStandardUncertainty_Pa: pressure.standardUncertainty_Pa,
    }),
  };
}

/** Corrected: the factor. Left as it is: what was found and not taken off, to be carried as doubt. */
function scaleKeys(scale: NonNullable<ChecksInForce['scale']>): Facts {
  const { factor, from, relativeStandardUncertainty: u, decision } = scale;
  if (decision === 'correct') {
    return { scaleFactor: factor, scaleFactorRelativeStandardUncertainty: u, scaleFactorFrom: from };
  }
  return {
    scaleFactorRelativeStandardUncertainty: u,
    scaleFactorFound: inTermsOfPieces(scale),
    scaleFactorFrom: 'mass-pieces',
  };
}
