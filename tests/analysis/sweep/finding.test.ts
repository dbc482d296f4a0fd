import { describe, expect, it } from 'vitest';
import { isDiagnosis } from '../../../src/analysis/diagnosis/diagnose.ts';
import type { Diagnosis } from '../../../src/analysis/diagnosis/diagnosis.ts';
import { analyseByHand } from '../../../src/analysis/sweep/analyse-by-hand.ts';
import type { AnalysedCapture } from '../../../src/analysis/sweep/capture-analyser.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import type { CaptureRequest } from '../../../src/simulation/simulated-capture.ts';
import { analysed } from './analysed.ts';
import { shapeFaults } from './documented-shape.ts';

const settings_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const CONSTANT = 2.5e-5 / Math.sqrt(40 * PSI_PA);

function capture(sweep: Partial<NonNullable<CaptureRequest['sweep']>>, more: Partial<CaptureRequest> = {}) {
  return simulateCapture({
    scenario: 'typical',
    seed: 41,
    fills: 15,
    instrument: { kind: 'scale' },
    ...more,
    sweep: {
      settings_Pa,
      dial: { protocol: 're-set', standardDeviation_Pa: 0.5 * PSI_PA },
      reference: {
        nozzleConstant_m3_per_s_per_sqrtPa: CONSTANT,
        relativeStandardUncertainty: 0.01,
        from: 'baseline',
      },
      ...sweep,
    },
  });
}

function diagnosisOf({ diagnosis }: AnalysedCapture): Diagnosis {
  if (!isDiagnosis(diagnosis)) throw new Error(diagnosis.because);
  return diagnosis;
}

describe('the finding of a capture', () => {
  it('stands in the documented analysis to the letter, and the diagnosis beside it carries the same', () => {
    const one = analysed(capture({ fault: { kind: 'worn', share: 0.12 } }));
    expect(shapeFaults(JSON.parse(JSON.stringify(one.analysis)))).toEqual([]);
    expect(one.analysis.finding).toMatchObject({ cause: 'worn', fits: true });
    expect(one.analysis.findingBecause).toBeNull();
    const diagnosis = diagnosisOf(one);
    expect(diagnosis.finding).toBe(one.analysis.finding);
    expect(diagnosis.size!.value).toBeCloseTo(1.12, 1);
    expect(diagnosis.modelFlow_m3_per_s).toHaveLength(one.picture!.pressures_Pa.length);
    expect(diagnosis.standing).toBe('look-again');
  });

  it('takes the checks of the rig from its marks, before, in or after the catches', () => {
    const text = capture({ fault: { kind: 'check-valve', opensAt_Pa: 9 * PSI_PA } });
    expect(diagnosisOf(analysed(text)).said).toBe('dial-high-or-check-valve');
    const zero = `!rig-check dial-at-zero 0 ${0.7 * PSI_PA}`;
    expect(diagnosisOf(analysed(`${text}9999.000\t${zero}\n`)).said).toBe('check-valve');
    const checked = capture({
      fault: { kind: 'check-valve', opensAt_Pa: 9 * PSI_PA },
      rigChecks: ['dial-at-zero', 'flow-stops-at', 'blank-tip'],
    });
    const before = diagnosisOf(analysed(checked));
    expect(before.said).toBe('check-valve');
    expect(before.settledBy).toEqual(['second-sweep']);
  });

  it('is found twice when the header brings the same finding from the sweep before', () => {
    const text = capture({ fault: { kind: 'restricted', share: 0.1 } });
    const second = text.replace('# simulated: true', '# earlierFinding: restricted\n# simulated: true');
    expect(diagnosisOf(analysed(second)).standing).toBe('found-twice');
  });

  it('a struck catch is no evidence', () => {
    const text = capture({ fault: { kind: 'none' } });
    const { analysis } = analysed(text);
    const starts = analysis.catches.filter((c) => c.setting_Pa === settings_Pa[0]).map((c) => c.start_s);
    const struck = starts.map((start_s) => `9999.000\t!struck ${start_s}\n`).join('');
    expect(analysed(text + struck).analysis).toMatchObject({
      finding: null,
      findingBecause: 'too-few-settings',
    });
  });

  it('without a reference there is none, with a rating there is one that says so', () => {
    const text = capture({}).replace(/^# reference.*\n/gm, '');
    const none = analysed(text);
    expect(none.analysis).toMatchObject({ finding: null, findingBecause: 'no-reference' });
    expect(none.diagnosis).toEqual({ because: 'no-reference', settledBy: ['stamp-or-baseline'] });
    const rated = text.replace(
      '# simulated: true',
      `# ratedFlow_m3_per_s: 2.5e-5\n# ratedPressure_Pa: ${40 * PSI_PA}\n# simulated: true`,
    );
    const one = analysed(rated);
    expect(one.analysis.finding?.cause).toBe('no fault shown');
    expect(one.analysis.warnings).toContain('reference-from-rating');
    expect(diagnosisOf(one).reference.relativeStandardUncertainty).toBe(0.025);
    expect(diagnosisOf(one).pressureMayBeLost).toBe(true);
  });

  it('of a meter that nobody checked rests on no shape, and the height carries the offset that may be there', () => {
    const more: Partial<CaptureRequest> = {
      instrument: { kind: 'bench-board', meterPulsesPerCubicMetre: 450e3, loadCell: false },
    };
    const one = analysed(capture({ fault: { kind: 'leaking', share: 0.08 } }, more));
    expect(one.analysis.catches[0]?.flowFrom).toBe('pulses');
    const diagnosis = diagnosisOf(one);
    expect(['no fault shown', 'worn']).toContain(diagnosis.finding.cause);
    expect(diagnosis.settledBy[0]).toBe('check-the-meter');
    // 1 Hz/√3 at 450 pulses a litre against 2.5e-5 m³/s: 5 % of the flow.
    expect(diagnosis.smallestChangeNamed).toBeGreaterThan(0.1);
  });

  it('of a meter rests on its shape where its offset is told, over the range that is told with it', () => {
    const text = capture(
      {},
      { instrument: { kind: 'bench-board', meterPulsesPerCubicMetre: 450e3, loadCell: false } },
    );
    const trusted = (keys: Readonly<Record<string, number>>): boolean | string => {
      const told = Object.entries({ meterOffset_Hz: 0, ...keys }).map(
        ([key, value]) => `# ${key}: ${value}\n`,
      );
      const one = analysed(text.replace('# simulated: true\n', `${told.join('')}# simulated: true\n`));
      if (!isDiagnosis(one.diagnosis)) return one.diagnosis.because;
      return !one.diagnosis.warnings.includes('meter-not-checked');
    };
    const [lowest, highest] = [{ meterLowestFlow_m3_per_s: 1e-5 }, { meterHighestFlow_m3_per_s: 4e-5 }];
    // Told by the documented key alone: the check of two parameters was made.
    expect(trusted({})).toBe(true);
    expect(trusted({ ...lowest, ...highest })).toBe(true);
    expect(trusted({ ...lowest, meterHighestFlow_m3_per_s: 2e-5 })).toBe(false);
    // A catch below it has no flow at all.
    expect(trusted({ meterLowestFlow_m3_per_s: 2.2e-5, ...highest })).toBe('too-few-settings');
    // A range with one end missing covers nothing.
    expect(trusted(lowest)).toBe(false);
    expect(trusted(highest)).toBe(false);
  });
});

describe('catches timed by thumb', () => {
  const timed = (factor: number) =>
    analyseByHand({
      name: 'by hand',
      estimatorVersion: '0',
      catches: [20, 30, 40, 50, 60].flatMap((psi) =>
        [0.4, -0.1, -0.3].map((off_s) => ({
          setting_Pa: psi * PSI_PA,
          volume_m3: 2e-3,
          markSpacing_m3: 1e-4,
          duration_s: 2e-3 / (factor * CONSTANT * Math.sqrt(psi * PSI_PA)) + off_s,
        })),
      ),
      protocol: 're-set',
      settingStandardUncertainty_Pa: 1.5 * PSI_PA,
      tip: { ratedFlow_m3_per_s: 2.5e-5, ratedPressure_Pa: 40 * PSI_PA },
    });

  it('count too: fifteen of them show a much worn tip against its rating, and a sound one no fault', () => {
    const worn = timed(1.3);
    if (!worn.ok) throw new Error(worn.because);
    expect(worn.value.analysis.finding?.cause).toBe('worn');
    expect(worn.value.diagnosis).toMatchObject({ finding: worn.value.analysis.finding });
    const sound = timed(1);
    if (!sound.ok) throw new Error(sound.because);
    expect(sound.value.analysis.finding?.cause).toBe('no fault shown');
    expect(sound.value.analysis.warnings).toContain('reference-from-rating');
  });
});

describe('a catch whose setting is not the one it was made at', () => {
  const dial = { protocol: 're-set' as const, standardDeviation_Pa: 0.25 * PSI_PA };

  it('does not hide a worn tip: the finding is made without it, and it is the first thing to see to', () => {
    // Seed 101030: a knock starts one catch 2.1 s before the valve opens, and before the mark of its setting.
    const text = capture({ fault: { kind: 'worn', share: 0.1 }, dial }, { seed: 101_030 });
    const one = analysed(text);
    expect(one.picture!.outlier!.index).toBe(2);
    // The curve keeps it: only a person strikes.
    expect(one.analysis.curve!.used).toContain(2);
    const before = diagnosisOf(one);
    expect(before.said).toBe('worn');
    expect(before.warnings).toContain('stands-apart');
    expect(before.settledBy[0]).toBe('more-catches');
    const start_s = one.analysis.catches[2]!.start_s;
    const after = diagnosisOf(analysed(`${text}9999.000\t!struck ${start_s}\n`));
    expect(after.finding).toEqual(before.finding);
    expect(after.warnings).not.toContain('stands-apart');
  });

  it('does not make a sound tip look pump-limited', () => {
    const one = analysed(capture({ fault: { kind: 'none' }, dial }, { scenario: 'rough', seed: 600_391 }));
    expect(one.picture!.outlier).not.toBeNull();
    expect(diagnosisOf(one).finding.cause).toBe('no fault shown');
  });

  it('stays in where its own setting bears it out: a weak pump is no catch that stands apart', () => {
    for (const seed of [51, 52, 53]) {
      const weak = capture({ fault: { kind: 'pump-limited', pressure_Pa: 45 * PSI_PA }, dial }, { seed });
      expect(diagnosisOf(analysed(weak)).said).toBe('pump-limited');
    }
  });
});
