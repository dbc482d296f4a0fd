import { expect, it } from 'vitest';
import { diagnose, isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { RigCheckFound } from '../../../src/analysis/diagnosis/evidence.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { usual } from '../../benchmarks/findings-parts/designs.ts';
import { madeSweep } from '../../benchmarks/findings-parts/made-findings.ts';
import { faults, sound } from '../../benchmarks/findings-parts/score-findings.ts';
import { diagnosed, inputOf } from './made.ts';

/** Every number in it, however deep. */
function numbers(node: unknown): number[] {
  if (typeof node === 'number') return [node];
  if (node === null || typeof node !== 'object') return [];
  return Object.values(node).flatMap(numbers);
}

const truths = [sound, ...faults];

it('gives finite numbers or a reason, whatever the reference, the checks and the settings are (seeds 0-299)', () => {
  for (let seed = 0; seed < 300; seed++) {
    const random = new Random(seed);
    const lowest = random.uniform(2, 200);
    const settings_psi = Array.from(
      { length: 5 + (seed % 4) },
      (_, i) => lowest + i * random.uniform(0.05, 30),
    );
    const made = madeSweep(
      {
        ...usual,
        settings_psi,
        catchesPerSetting: 1 + (seed % 3),
        protocol: seed % 2 ? 're-set' : 'set-once',
      },
      truths[seed % truths.length]!,
      random,
    );
    const wild = (): number => random.uniform(-80, 80) * PSI_PA;
    const u = random.chance(0.3) ? 0 : random.uniform(0, 5) * PSI_PA;
    const checks: RigCheckFound[] = [
      { kind: 'dial-at-zero', shown_Pa: wild(), standardUncertainty_Pa: u },
      { kind: 'flow-stops-at', shown_Pa: wild(), standardUncertainty_Pa: u },
      {
        kind: 'blank-tip',
        leak_m3_per_s: random.uniform(-1e-6, 1e-4),
        standardUncertainty_m3_per_s: random.chance(0.3) ? 0 : 1e-7,
        pressure_Pa: random.uniform(0.1, 100) * PSI_PA,
      },
      { kind: 'wand-gauge', setting_Pa: 40 * PSI_PA, wand_Pa: wild(), standardUncertainty_Pa: u },
    ];
    const answer = diagnose(
      inputOf(made, 0.01, {
        pressures_Pa: settings_psi.map((psi) => psi * PSI_PA),
        reference: {
          referenceNozzleConstant_m3_per_s_per_sqrtPa: made.referenceConstant * 10 ** random.uniform(-2, 2),
          referenceRelativeStandardUncertainty: random.chance(0.2) ? 0 : random.uniform(0, 0.1),
          ...(random.chance(0.5) ? { referenceFrom: 'drawer-tip' as const } : {}),
        },
        checks: checks.filter(() => random.chance(0.6)),
      }),
    );
    expect(isDiagnosis(answer), `seed ${seed}`).toBe(true);
    expect(numbers(answer).every(Number.isFinite), `seed ${seed}: ${JSON.stringify(answer)}`).toBe(true);
  }
});

it('a tip whose flow is 40 % off is far beyond doubt, and the size says so: whoever reads it asks whether this is the tip', () => {
  const other = madeSweep(usual, { name: 'another tip', factor: [0.6, 0.6] }, new Random(7));
  const found = diagnosed(inputOf(other, usual.reference));
  expect(found.finding.cause).toBe('restricted');
  expect(found.size!.value).toBeLessThan(0.65);
  expect(found.finding.evidence.gain).toBeGreaterThan(100);
});

it('a reference beyond all sense gives a reason, never a crash', () => {
  const made = madeSweep(usual, sound, new Random(11));
  for (const told of [1e-300, 1e-20, 1e20, 1e300]) {
    const reference = { referenceNozzleConstant_m3_per_s_per_sqrtPa: told };
    const answer = diagnose(inputOf(made, 0.01, { reference }));
    expect(answer, String(told)).toMatchObject({ because: 'no-reference' });
  }
  const rated = { ratedFlow_m3_per_s: 1e-300, ratedPressure_Pa: 275790 };
  expect(diagnose(inputOf(made, 0.01, { reference: rated }))).toMatchObject({ because: 'no-reference' });
});

it('flows that no curve can be fitted through give a reason, never a crash', () => {
  const made = madeSweep(usual, sound, new Random(12));
  const points = made.curve.points.map((point) => ({ ...point, standardUncertainty_m3_per_s: 1e-170 }));
  const answer = diagnose({ ...inputOf(made, 0.01), curve: { ...made.curve, points } });
  expect(answer).toMatchObject({ because: 'fit-did-not-settle' });
});
