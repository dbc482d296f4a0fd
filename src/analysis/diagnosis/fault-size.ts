import { tQuantile } from '../../base/statistics/distributions.ts';
import type { CandidateData } from './candidate-data.ts';
import type { CandidateFit } from './candidate-fit.ts';
import type { Cause, FaultSize } from './diagnosis.ts';
import { constantExpected, soundRig } from './evidence-penalty.ts';

/** How large the named fault is, with its 95 % half-width; null where no fault is shown. `degreesOfFreedom`: of the points' doubts. */
export function faultSize(
  data: CandidateData,
  cause: Cause,
  fit: CandidateFit,
  degreesOfFreedom: number,
): FaultSize | null {
  const t = tQuantile(0.975, degreesOfFreedom);
  const u = fit.sizeStandardUncertainty;
  switch (cause) {
    case 'no fault shown':
      return null;
    case 'worn':
    case 'restricted': {
      const { mean, standardUncertainty } = constantExpected(data, soundRig).datum;
      const value = fit.constant / mean;
      const relative = Math.hypot(u / fit.constant, standardUncertainty / mean);
      return { of: 'constant-ratio', value, expandedUncertainty95: t * value * relative };
    }
    case 'leaking': {
      // Pressures are over the highest, flows over the reference's there: L is the share itself.
      return { of: 'leak-share', value: fit.leak, expandedUncertainty95: t * u };
    }
    case 'pump-limited':
      return {
        of: 'pump-pressure_Pa',
        value: fit.cap * data.pressureUnit_Pa,
        expandedUncertainty95: t * u * data.pressureUnit_Pa,
      };
    case 'threshold-or-dial-high':
    case 'dial-low':
      return {
        of: 'offset_Pa',
        value: fit.offset * data.pressureUnit_Pa,
        expandedUncertainty95: t * u * data.pressureUnit_Pa,
      };
  }
}
