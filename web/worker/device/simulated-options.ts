import { PSI_PA } from '../../../src/base/units/constants.ts';
import { usualMeter } from '../../../src/simulation/meter-habit.ts';
import { Random } from '../../../src/simulation/random.ts';
import { usualDial } from '../../../src/simulation/rig.ts';
import type { SimulatedBenchOptions } from '../../../src/simulation/simulated-bench.ts';
import type { SimulatedBenchRequest } from '../../contract.ts';
import { faultsOf } from './simulated-faults.ts';
import type { SimulatedSourceOptions } from './simulated-source.ts'; // type only: no circle at run time

/** The pressure at which the request names the tip's flow: 40 psi, the trade's usual rating pressure in the US. */
const NAMED_AT_PA = 40 * PSI_PA;
/** Parts of the simulated board, as such parts usually are (invented): a 150 psi sensor, a small turbine meter. */
const SENSOR_FULL_SCALE_PA = 150 * PSI_PA;
const METER_PULSES_PER_M3 = 455e3;
/** A meter without a load cell beside it; blades and jitter as meters have them, no offset (nobody could know it without a check). */
const METER_ALONE: Partial<SimulatedBenchOptions> = {
  loadCell: false,
  meterPulsesPerCubicMetre: METER_PULSES_PER_M3,
  meterHabit: { ...usualMeter, offset_Hz: 0 },
};
/** Invented tips are drawn between these flows at that pressure, m³/s (about 0.2 to 0.45 gal/min). */
const DRAWN_BETWEEN = [1.26e-5, 2.84e-5] as const;

/** A scale wrong by so much, either way: more than its steps, less than one sees. */
const WRONG_BY = [0.0015, 0.006] as const;

/** What checks have to find; the tip and the person stay those of the seed. */
function toBeChecked(request: SimulatedBenchRequest): Partial<SimulatedBenchOptions> {
  const draw = new Random(request.seed).stream('scale to be checked');
  const wrong = draw.uniform(WRONG_BY[0], WRONG_BY[1]) * (draw.chance(0.7) ? -1 : 1);
  const onBoard = {
    meterPulsesPerCubicMetre: 450_000,
    meterHabit: usualMeter,
    pressureFullScale_Pa: 150 * PSI_PA,
  };
  return { scaleGain: 1 + wrong, ...(request.instrument === 'bench-board' && onBoard) };
}

/** A bench, a person and a tip out of one seed, so that a run can be told by its seed and done again. */
export function simulatedOptions(request: SimulatedBenchRequest): SimulatedSourceOptions {
  const draw = new Random(request.seed).stream('invented tip');
  const flow = request.tipFlowAt275790Pa_m3_per_s ?? draw.uniform(DRAWN_BETWEEN[0], DRAWN_BETWEEN[1]);
  const faults = faultsOf(request.fault, request.seed);
  const nozzleConstant = flow / Math.sqrt(NAMED_AT_PA);
  const bench: SimulatedBenchOptions = {
    scenario: request.scenario,
    seed: request.seed,
    instrument: request.instrument,
    tip: { nozzleConstant_m3_per_s_per_sqrtPa: nozzleConstant, ...(faults !== null && { faults }) },
    // By the tip, not by the seed: a kept sweep goes on with the nozzles it began with, and its record tells the tip.
    nozzleSeed: Math.round(nozzleConstant * 1e11),
    dial: usualDial,
    ...(request.instrument === 'bench-board' &&
      request.pressureSensor === true && { pressureFullScale_Pa: SENSOR_FULL_SCALE_PA }),
    ...(request.instrument === 'bench-board' &&
      request.flowMeter === true && { meterPulsesPerCubicMetre: METER_PULSES_PER_M3 }),
    ...(request.instrument === 'bench-board' && request.meterAlone === true && METER_ALONE),
    ...(request.toBeChecked === true && toBeChecked(request)),
    ...(request.rig && { rig: request.rig }),
  };
  return { bench, conditions: request.scenario, personSeed: request.seed, speed: request.speed };
}
