import { orificeFactor } from '../../../src/simulation/rig-fault.ts';
import type { SweepRecord } from '../../../src/records/bench-record.ts';
import type { SimulatedBenchRequest, SimulatedScenario } from '../../contract.ts';
import { readHeader } from '../read-header.ts';
import { faultsKept } from './simulated-faults.ts';
import { isSameInstrument } from './same-instrument.ts';
import { openSimulatedSource, type SimulatedSource } from './simulated-source.ts';

const scenarios: readonly SimulatedScenario[] = ['typical', 'typical80', 'clean', 'rough', 'worst'];

export { openSimulatedSource };

/**
 * A simulated bench for a kept sweep to go on with: the instrument that wrote its lines and the same invented tip, or the curve
 * would be of two. The scenario is the one asked for if its instrument is that of the record, else the first that has it; null
 * when none has (a record of another version).
 */
export function simulatedLike(request: SimulatedBenchRequest, record: SweepRecord): SimulatedSource | null {
  const tip = record.trueNozzleConstant_m3_per_s_per_sqrtPa;
  const { instrument } = record;
  const pressureSensor = instrument.kind === 'bench-board' && instrument.pressureFullScale_Pa !== null;
  const flowMeter = instrument.kind === 'bench-board' && instrument.pulsesPerCubicMetre !== null;
  const header = readHeader(record.captureHeader);
  const factor = header.ok ? (header.value.scaleFactor ?? header.value.scaleFactorFound) : undefined;
  // A scale that was found wrong stays as wrong as it was, or its correction would be one too many.
  const faults = faultsKept(header.ok ? header.value.unknown['truth'] : undefined);
  const more = {
    ...(factor !== undefined && { scaleGain: 1 / factor }),
    // The true constant holds wear and blockage already; the fault brings them again.
    ...(faults !== null &&
      tip !== null && {
        tip: { nozzleConstant_m3_per_s_per_sqrtPa: tip / orificeFactor(faults), faults },
      }),
  };
  for (const scenario of [request.scenario, ...scenarios]) {
    const asked = {
      ...request,
      scenario,
      instrument: instrument.kind,
      pressureSensor,
      flowMeter,
      meterAlone: instrument.kind === 'bench-board' && instrument.kilogramsPerCount === 0,
      tipFlowAt275790Pa_m3_per_s: tip === null ? null : tip * Math.sqrt(275790),
      rig: record.setup.rig,
    };
    const source = openSimulatedSource(asked, more);
    if (isSameInstrument(source.description, record.instrument)) return source;
  }
  return null;
}
