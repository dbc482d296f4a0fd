import { describe, expect, it } from 'vitest';
import { CaptureAnalyser } from '../../../src/analysis/sweep/capture-analyser.ts';
import { CaptureReader } from '../../../src/signal/captures/read.ts';
import { waterDensity_kg_per_m3 } from '../../../src/analysis/flow/water-density.ts';
import { buoyancyFactor } from '../../../src/analysis/flow/buoyancy.ts';
import { analysed, pours, scaleCapture } from './analysed.ts';
import { shapeFaults } from './documented-shape.ts';

const PSI = 6894.757293168;
const marksFor = (settings_psi: readonly number[]): (readonly [number, string])[] =>
  settings_psi.map((psi, i) => [5 + 35 * i, `setting ${psi * PSI}`] as const);

describe('the analysis of a capture', () => {
  const three = scaleCapture({
    pours: pours(3, (i) => 20 * Math.sqrt([20, 40, 60][i]! / 40)),
    marks: marksFor([20, 40, 60]),
    until_s: 125,
  });

  it('finds every pour with its setting, its mass and its flow', () => {
    const { analysis } = analysed(three);
    expect(analysis.catches.map((c) => c.setting_Pa! / PSI)).toEqual([20, 40, 60]);
    expect(analysis.catches.map((c) => c.pour)).toEqual([1, 2, 3]);
    const volume = buoyancyFactor('mass-pieces', 998.2067) / 998.2067;
    analysis.catches.forEach((c, i) => {
      const flow = 0.02 * Math.sqrt([20, 40, 60][i]! / 40);
      expect(c.massFlow_kg_per_s! / flow).toBeCloseTo(1, 2.5);
      expect(c.flow_m3_per_s).toBeCloseTo(c.massFlow_kg_per_s! * volume, 10);
      expect(c.mass_kg! / (flow * 20)).toBeCloseTo(1, 2);
      expect(Math.abs(c.start_s - (8 + 35 * i))).toBeLessThan(0.5);
      expect(c.flowFrom).toBe('mass');
    });
    expect(analysis.curve?.used).toEqual([0, 1, 2]);
    expect(analysis.curve?.degreesOfFreedom).toBe(2);
    expect(analysis.curve?.exponent).toBeCloseTo(0.5, 1.5);
  });

  it('has the documented shape: every leaf finite, or null with a reason beside it', () => {
    expect(shapeFaults(analysed(three).analysis)).toEqual([]);
  });

  it('is the same to the last digit however the file is cut into pieces, and when asked in between', () => {
    const whole = analysed(three).analysis;
    expect(analysed(three, 7).analysis).toEqual(whole);
    const analyser = new CaptureAnalyser();
    const reader = new CaptureReader(analyser);
    for (let at = 0; at < three.length; at += 1500) {
      reader.push(three.slice(at, at + 1500));
      if (at > 3000 && at % 9000 === 0) analyser.finish('between');
    }
    const summary = reader.finish();
    expect(analyser.finish('test.txt', summary.ok ? summary.value : null).analysis).toEqual(whole);
  });

  it('states four parts that combine to what it prints, and a fifth of nothing', () => {
    for (const c of analysed(three).analysis.catches) {
      const parts = [
        c.typeA_m3_per_s!,
        c.jetAllowance_m3_per_s!,
        c.ownTypeB_m3_per_s!,
        c.sharedTypeB_m3_per_s!,
      ];
      expect(c.standardUncertainty_m3_per_s! / Math.hypot(...parts)).toBeCloseTo(1, 9);
      expect(
        c.degreesOfFreedom! /
          ((c.standardUncertainty_m3_per_s! / c.typeA_m3_per_s!) ** 4 * c.typeADegreesOfFreedom!),
      ).toBeCloseTo(1, 9);
      // The jet of 5 g: r·J/(√3·q·T)·flow, J as the step shows it (within 3 g).
      const volume = c.flow_m3_per_s! / c.massFlow_kg_per_s!;
      const push_kg = (c.jetAllowance_m3_per_s! * Math.sqrt(3) * (c.stop_s - c.start_s)) / 0.05 / volume;
      expect(Math.abs(push_kg - 0.005)).toBeLessThan(0.003);
    }
  });

  it('leaves buoyancy off when the scale’s factor came from a volume of water', () => {
    const byVolume = analysed(three.replace('mass-pieces', 'water-volume')).analysis.catches[0]!;
    const byPieces = analysed(three).analysis.catches[0]!;
    expect(byPieces.flow_m3_per_s! / byVolume.flow_m3_per_s!).toBeCloseTo(1.00105, 5);
  });

  it('warns where it had to assume, and widens the shared part', () => {
    const bare = scaleCapture({
      header: {
        waterTemperature_degC: '',
        averagedReadings: '',
        scaleFactorFrom: '',
        settingStandardUncertainty_Pa: '',
        wand: '',
      },
      pours: pours(1, 20),
      until_s: 50,
    });
    const { analysis } = analysed(bare);
    expect(analysis.warnings).toEqual(
      expect.arrayContaining([
        'water-temperature-assumed',
        'averaging-unknown',
        'scale-not-checked',
        'setting-uncertainty-assumed',
      ]),
    );
    const [assumed, stated] = [analysis.catches[0]!, analysed(three).analysis.catches[0]!];
    // 20 ± 10 °C rectangular: root mean square departure of the CIPM density from 10 to 30 °C, summed here (0.12 %).
    const density = (t: number): number => {
      const d = waterDensity_kg_per_m3(t);
      if (!d.ok) throw new Error('refused');
      return d.value;
    };
    const departures = Array.from({ length: 201 }, (_, i) => density(10 + i / 10) / density(20) - 1);
    const rms = Math.sqrt(departures.reduce((sum, x) => sum + x * x, 0) / departures.length);
    expect(assumed.sharedTypeB_m3_per_s! / assumed.flow_m3_per_s!).toBeCloseTo(rms, 4);
    expect(stated.sharedTypeB_m3_per_s! / stated.flow_m3_per_s!).toBeLessThan(3e-4);
  });

  it('warns of water above 40 °C and widens, instead of a density the formula does not know', () => {
    const { analysis } = analysed(three.replace('waterTemperature_degC: 20', 'waterTemperature_degC: 50'));
    expect(analysis.warnings).toContain('water-warm');
    // 988.04 kg/m³ at 50 °C (Bettin and Spieweck): 1.0 % lighter than at 20 °C.
    expect(
      analysis.catches[0]!.flow_m3_per_s! / analysed(three).analysis.catches[0]!.flow_m3_per_s!,
    ).toBeCloseTo(1.0103, 3);
    expect(analysis.catches[0]!.sharedTypeB_m3_per_s! / analysis.catches[0]!.flow_m3_per_s!).toBeGreaterThan(
      0.002,
    );
  });
});

describe('strikes, settings and gaps', () => {
  const base = { pours: pours(3, 20), until_s: 125 };

  it('a struck catch keeps its numbers and leaves the curve; an undone strike brings it back', () => {
    const marks = marksFor([40, 40, 40]);
    const struck = analysed(scaleCapture({ ...base, marks: [...marks, [70, 'struck 43.1']] })).analysis;
    expect(struck.catches.map((c) => c.struck)).toEqual([false, true, false]);
    expect(struck.catches[1]!.flow_m3_per_s).not.toBeNull();
    expect(struck.curve?.used).toEqual([0, 2]);
    const undone = analysed(
      scaleCapture({ ...base, marks: [...marks, [70, 'struck 43.1'], [71, 'undo-struck 43.1']] }),
    ).analysis;
    expect(undone.curve?.used).toEqual([0, 1, 2]);
  });

  it('a setting holds for water that began up to half a second before it was announced, and no longer', () => {
    const late = analysed(
      scaleCapture({
        ...base,
        marks: [
          [8.3, 'setting 100000'],
          [43.9, 'setting 200000'],
        ],
      }),
    ).analysis;
    expect(late.catches.map((c) => c.setting_Pa)).toEqual([100000, 100000, 200000]);
  });

  it('a gap in the middle of a catch makes it void with the gap’s reason; its times and setting stand', () => {
    const { analysis } = analysed(
      scaleCapture({
        ...base,
        marks: [...marksFor([40, 40, 40]), [55, 'gap device-lost']],
        replace: (t, line) => (t > 55 && t < 58 ? null : line),
      }),
    );
    expect(analysis.gaps).toBe(1);
    expect(analysis.catches[1]).toMatchObject({
      voidBecause: 'device-lost',
      setting_Pa: 40 * PSI,
      flow_m3_per_s: null,
    });
    expect(analysis.curve?.used).not.toContain(1);
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('a pail lifted while filling is void and ends before the lift', () => {
    const { analysis } = analysed(
      scaleCapture({
        ...base,
        marks: marksFor([40, 40, 40]),
        extra: (t) => (t > 55 ? -480 - 20 * 12 : 0),
        until_s: 70,
        pours: pours(2, 20),
      }),
    );
    const lifted = analysis.catches[1]!;
    expect(lifted.voidBecause).toBe('lifted-while-filling');
    expect(lifted.stop_s).toBeLessThanOrEqual(55.1);
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('a catch that is still running when the capture ends is void', () => {
    const { analysis } = analysed(scaleCapture({ ...base, until_s: 90 }));
    expect(analysis.catches[2]!.voidBecause).toBe('capture-ended-while-filling');
  });

  it('a hand that leans on the pail is withdrawn or never heard, and no catch', () => {
    const lean = (t: number): number =>
      t > 100 && t < 108 ? 150 * Math.min(1, (t - 100) / 4, (108 - t) / 1) : 0;
    const { analysis } = analysed(scaleCapture({ pours: pours(2, 20), extra: lean, until_s: 125 }));
    expect(analysis.catches).toHaveLength(2);
    for (const { because } of analysis.withdrawn) expect(because).toMatch(/^[a-z-]+$/);
  });
});

describe('no number is invented', () => {
  const flow = pours(2, 20);

  it('without a setting there are flows and no curve', () => {
    const { analysis, picture, pictureBecause } = analysed(scaleCapture({ pours: flow, until_s: 85 }));
    expect(
      analysis.catches.every((c) => c.setting_Pa === null && c.settingBecause === 'none-announced'),
    ).toBe(true);
    expect(analysis).toMatchObject({
      curve: null,
      curveBecause: 'no-settings',
      finding: null,
      findingBecause: 'no-curve',
    });
    expect([picture, pictureBecause]).toEqual([null, 'no-settings']);
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('without water there is nothing', () => {
    const { analysis } = analysed(scaleCapture({ pours: [], until_s: 30 }));
    expect(analysis).toMatchObject({ catches: [], curve: null, curveBecause: 'no-catches' });
  });

  it('without a unit a bare number gives readings and catches, but no flow', () => {
    const { analysis } = analysed(
      scaleCapture({
        pours: flow,
        marks: marksFor([40, 40]),
        until_s: 85,
        print: (grams) => grams.toFixed(1),
      }),
    );
    expect(analysis.readings).toBe(851);
    expect(analysis.catches.map((c) => c.voidBecause)).toEqual(['unit-unknown', 'unit-unknown']);
    expect(analysis.curveBecause).toBe('unit-missing');
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('the header’s unit gives a bare number its meaning, and a line’s own unit beats it', () => {
    const script = { pours: flow, until_s: 85, header: { unit: 'lb' } };
    const bare = analysed(
      scaleCapture({ ...script, print: (grams) => (grams / 453.59237).toFixed(4) }),
    ).analysis;
    expect(bare.catches[0]!.massFlow_kg_per_s).toBeCloseTo(0.02, 4);
    const own = analysed(scaleCapture(script)).analysis;
    expect(own.catches[0]!.massFlow_kg_per_s).toBeCloseTo(0.02, 4);
  });

  it('one setting gives k with no exponent and no fit test, two catches likewise', () => {
    const one = analysed(
      scaleCapture({ pours: pours(3, 20), marks: [[5, 'setting 275790']], until_s: 125 }),
    ).analysis;
    expect(one.curve).toMatchObject({
      exponent: null,
      exponentBecause: 'one-setting-only',
      lackOfFit: null,
      lackOfFitBecause: 'one-setting-only',
    });
    const two = analysed(
      scaleCapture({ pours: pours(2, (i) => [20, 28.28][i]!), marks: marksFor([20, 40]), until_s: 85 }),
    ).analysis;
    expect(two.curve).toMatchObject({
      exponent: null,
      exponentBecause: 'too-few-settings',
      lackOfFit: null,
      lackOfFitBecause: 'two-catches-only',
    });
    expect([...shapeFaults(one), ...shapeFaults(two)]).toEqual([]);
  });

  it('a tip without a rated flow is compared with none and judged against none; three catches at one setting are too few to judge', () => {
    const script = { pours: pours(3, 20), marks: [[5, 'setting 275790'] as const], until_s: 125 };
    const plain = analysed(scaleCapture(script));
    expect(plain.picture).toMatchObject({ rated: null, ratedBecause: 'no-rated-flow' });
    expect(plain.analysis.findingBecause).toBe('no-reference');
    const header = { ratedFlow_m3_per_s: '2e-5', ratedPressure_Pa: '275790' };
    const rated = analysed(scaleCapture({ ...script, header }));
    expect(rated.picture?.rated?.ratio).toBeCloseTo(1, 1);
    expect(rated.analysis.findingBecause).toBe('too-few-settings');
  });

  it('a negative or absurd setting is no setting: the mark is kept, reported and not used', () => {
    const { analysis } = analysed(
      scaleCapture({
        pours: flow,
        marks: [
          [5, 'setting -3'],
          [40, 'setting 1e30'],
        ],
        until_s: 85,
      }),
    );
    expect(analysis.warnings).toContain('unknown-mark');
    expect(analysis.curveBecause).toBe('no-settings');
  });

  it('a frozen display, dashes and nonsense lines cost their catch or nothing, and never a number that is not one', () => {
    let held = '';
    const { analysis } = analysed(
      scaleCapture({
        pours: pours(3, 20),
        until_s: 125,
        replace: (t, line) => {
          if (t > 50 && t < 58) return held;
          held = line;
          if (t > 15 && t < 15.4) return ' ------ g';
          if (Math.round(t * 10) % 97 === 0) return 'V2 \\x00\\xFFgarbage 12 34';
          return line;
        },
      }),
    );
    expect(analysis.linesRefused).toBeGreaterThan(5);
    expect(analysis.warnings).toContain('lines-refused');
    expect(shapeFaults(analysis)).toEqual([]);
    for (const frozen of analysis.catches.filter((c) => c.start_s < 63 && c.stop_s > 43)) {
      expect(frozen.voidBecause !== null || frozen.warnings.includes('display-froze')).toBe(true);
    }
  });

  it('over range in the middle of a catch makes it void', () => {
    const { analysis } = analysed(
      scaleCapture({ pours: flow, until_s: 85, replace: (t, line) => (t > 20 && t < 34 ? '   OL' : line) }),
    );
    expect(analysis.catches[0]!.voidBecause).toBe('over-range');
  });
});
