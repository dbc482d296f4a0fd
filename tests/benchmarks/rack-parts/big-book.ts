import { PSI_PA } from '../../../src/base/units/constants.ts';
import type { BenchRecord } from '../../../src/records/bench-record.ts';
import { RECORD_VERSION, type Envelope } from '../../../src/records/envelope.ts';
import { Random } from '../../../src/simulation/random.ts';
import { seasonSweep, type SeasonRig } from '../../../src/simulation/season-sweep.ts';
import { aSetup } from '../../builders/setup.ts';

const WEEK_ms = 7 * 24 * 3600 * 1000;
const whole_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const checked_Pa = [30, 50].map((psi) => psi * PSI_PA);

/** So many tips of some rigs, each with three sweeps of a baseline, weekly checks and a whole curve at the end: `sweeps` in all. */
export function bigBook(tips: number, sweeps: number, rigs: number, seed: number): readonly BenchRecord[] {
  const random = new Random(seed);
  let count = 0;
  const envelope = (sweepId: string | null, at_ms: number): Envelope => {
    count += 1;
    const id = `01900000-0000-7000-8000-${count.toString(16).padStart(12, '0')}`;
    return {
      id,
      recordVersion: RECORD_VERSION,
      sweepId: sweepId ?? id,
      recordedAt_ms: Math.floor(at_ms),
      timeZone: 'UTC',
      replaces: null,
      simulated: true,
      appVersion: 'benchmark',
    };
  };
  const benches = Array.from({ length: rigs }, (_, i): SeasonRig => ({
    setup: { ...aSetup().rig, name: `rig ${i}`, settingStandardUncertainty_Pa: 0.7 * PSI_PA },
    dial: { protocol: 're-set', standardDeviation_Pa: 0.7 * PSI_PA },
  }));
  return Array.from({ length: tips }, (_, t) => {
    const flow = (0.6 + 0.05 * (t % 50)) / 60e3;
    const tip = {
      name: `tip ${t}`,
      nozzleConstant_m3_per_s_per_sqrtPa: flow / Math.sqrt(40 * PSI_PA),
      ratedFlow_m3_per_s: flow,
    };
    return Array.from({ length: sweeps }, (_, i) =>
      seasonSweep(
        {
          at_ms: Date.UTC(2026, 5, 1) + (i < 3 ? i / 7 : i) * WEEK_ms + t * 60_000,
          rig: benches[t % rigs]!,
          tip,
          faults: t % 7 === 0 && i > 3 ? [{ kind: 'worn', share: 0.01 * (i - 3) }] : [],
          occasion: i < 3 ? 'new-tip' : 'weekly-check',
          settings_Pa: i < 3 || i === sweeps - 1 ? whole_Pa : checked_Pa,
        },
        random.stream(`${t} ${i}`),
        random.stream('dial'),
        envelope,
      ),
    ).flat();
  }).flat();
}
