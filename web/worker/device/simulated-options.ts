import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { usualDial } from '../../../src/simulation/rig.ts';
import type { SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import type { SimulatedBenchRequest } from '../../contract.ts';
import type { SimulatedSourceOptions } from './simulated-source.ts'; // type only: no circle at run time

/** The pressure at which the request names the tip's flow: 40 psi, the trade's usual rating pressure in the US. */
const NAMED_AT_PA = 40 * PSI_PA;
/** Invented tips are drawn between these flows at that pressure, m³/s (about 0.2 to 0.45 gal/min). */
const DRAWN_BETWEEN = [1.26e-5, 2.84e-5] as const;

/** A bench, a person and a tip out of one seed, so that a run can be told by its seed and done again. */
export function simulatedOptions(request: SimulatedBenchRequest): SimulatedSourceOptions {
  const draw = new Random(request.seed).stream('invented tip');
  const flow = request.tipFlowAt275790Pa_m3_per_s ?? draw.uniform(DRAWN_BETWEEN[0], DRAWN_BETWEEN[1]);
  const bench: SimulatedBenchOptions = {
    scenario: request.scenario,
    seed: request.seed,
    instrument: request.instrument,
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: flow / Math.sqrt(NAMED_AT_PA) },
    dial: usualDial,
    ...(request.rig && { rig: request.rig }),
  };
  return { bench, personSeed: request.seed, speed: request.speed };
}
