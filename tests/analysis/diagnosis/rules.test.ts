import { describe, expect, it } from 'vitest';
import type { DiagnosisInput } from '../../../src/analysis/diagnosis/diagnose.ts';
import { PSI_PA } from '../../../src/base/units/constants.ts';
import { Random } from '../../../src/simulation/random.ts';
import { madeSweep, TRUE_K } from '../../benchmarks/findings-parts/made-findings.ts';
import type { Design, Truth } from '../../benchmarks/findings-parts/made-findings.ts';
import { diagnosed, inputOf } from './made.ts';

const design: Design = {
  name: 'fine',
  protocol: 're-set',
  catchRelative: 0.003,
  dial_psi: 0.25,
  reference: 0.01,
};
const made = (truth: Truth, seed = 4, more: Partial<Design> = {}) =>
  madeSweep({ ...design, ...more }, truth, new Random(seed));
const ok = made({ name: 'ok' });
const worn = made({ name: 'worn', factor: [1.1, 1.1] });
const blocked = made({ name: 'blocked', factor: [0.9, 0.9] });
const drawer: DiagnosisInput['reference'] = {
  referenceNozzleConstant_m3_per_s_per_sqrtPa: TRUE_K,
  referenceRelativeStandardUncertainty: 0.01,
  referenceFrom: 'drawer-tip',
};

describe('a curve farther from the reference than one tip size from the next', () => {
  const found = (factor: number, earlierFinding: string | null = null) =>
    diagnosed(inputOf(made({ name: 'worn', factor: [factor, factor] }), 0.01, { earlierFinding }));

  it.each([1.4, 0.6])(
    '%d times as much asks first whether this is the tip, also the second time',
    (factor) => {
      const cause = factor > 1 ? 'worn' : 'restricted';
      for (const earlier of [null, cause]) {
        const far = found(factor, earlier);
        expect(far.finding.cause).toBe(cause);
        expect(far.settledBy[0]).toBe('is-this-the-tip');
        expect(far.warnings).toContain('far-from-reference');
      }
    },
  );

  it.each([1.1, 0.9, 1])('%d times as much does not', (factor) => {
    expect(found(factor).settledBy).not.toContain('is-this-the-tip');
    expect(found(factor).warnings).not.toContain('far-from-reference');
  });
});

describe('pressure that may be lost before the tip (11.5)', () => {
  const short = { gaugeAt: 'pump' as const, hoseLength_m: 1.5, hoseBore_m: 0.008, tipAboveGauge_m: 0 };
  const long = { ...short, hoseLength_m: 60 };

  it('forbids a plain word where the rig is unknown or the estimate exceeds 3 % of the pressure', () => {
    for (const sweep of [ok, blocked]) {
      expect(diagnosed(inputOf(sweep, 0.01, { reference: drawer })).pressureMayBeLost).toBe(true);
      const far = diagnosed(inputOf(sweep, 0.01, { reference: drawer, plumbing: long }));
      expect(far.pressureMayBeLost).toBe(true);
      expect(far.settledBy).toContain('wand-gauge');
      const near = diagnosed(inputOf(sweep, 0.01, { reference: drawer, plumbing: short }));
      expect(near.pressureMayBeLost).toBe(false);
      expect(near.flowLostBeforeTip!.relative).toBeLessThan(0.015);
    }
  });

  it('a metre of height is 1.4 psi: with this tip’s settings about 1.7 % of the flow', () => {
    const up = diagnosed(
      inputOf(ok, 0.01, { reference: drawer, plumbing: { ...short, tipAboveGauge_m: 1 } }),
    );
    const level = diagnosed(inputOf(ok, 0.01, { reference: drawer, plumbing: short }));
    expect(up.flowLostBeforeTip!.relative - level.flowLostBeforeTip!.relative).toBeCloseTo(0.0177, 2);
    expect(up.pressureMayBeLost).toBe(true);
  });

  it('allows it with the rig’s own baseline or a gauge at the wand', () => {
    expect(diagnosed(inputOf(blocked, 0.01, { plumbing: long })).pressureMayBeLost).toBe(false);
    const atWand = { ...long, gaugeAt: 'wand' as const };
    expect(diagnosed(inputOf(blocked, 0.01, { reference: drawer, plumbing: atWand })).pressureMayBeLost).toBe(
      false,
    );
  });
});

it('with a catch that stands apart, that one is the first thing to see to', () => {
  const one = diagnosed(inputOf(worn, 0.01, { standsApart: true }));
  expect(one.settledBy[0]).toBe('more-catches');
  expect(one.warnings).toContain('stands-apart');
  expect(diagnosed(inputOf(worn, 0.01)).warnings).toEqual([]);
});

describe('a first finding and a second (11.17)', () => {
  it('looks again at first, names what would settle it, and is found twice only for the same cause', () => {
    const first = diagnosed(inputOf(worn, 0.01));
    expect(first.standing).toBe('look-again');
    expect(first.settledBy).toEqual(['second-sweep', 'another-tip', 'measure-the-reference-again']);
    const again = diagnosed(inputOf(worn, 0.01, { earlierFinding: 'worn' }));
    expect(again.standing).toBe('found-twice');
    expect(again.settledBy).not.toContain('second-sweep');
    expect(again.settledBy).toContain('measure-the-reference-again');
    expect(diagnosed(inputOf(worn, 0.01, { earlierFinding: 'leaking' })).standing).toBe('look-again');
    expect(diagnosed(inputOf(ok, 0.01, { earlierFinding: 'no fault shown' })).standing).toBe('nothing-found');
  });

  it('asks for the scale’s check where none was made: its gain is in k one to one', () => {
    expect(diagnosed(inputOf(worn, 0.01, { scaleChecked: false })).settledBy).toContain('check-the-scale');
  });
});

describe('a meter without its two-parameter check (11.12)', () => {
  const perHertz = 1e-3 / 450; // 450 pulses a litre
  const unchecked = {
    meter: { shapeTrusted: false, offsetStandardUncertainty_m3_per_s: perHertz / Math.sqrt(3) },
  };
  /** Every flow short by half a hertz, as one factor on such a meter makes it. */
  const short = (sweep: typeof ok): typeof ok => ({
    ...sweep,
    curve: {
      ...sweep.curve,
      points: sweep.curve.points.map((point) => ({
        ...point,
        flow_m3_per_s: point.flow_m3_per_s - 0.5 * perHertz,
      })),
    },
  });

  it('healthy sweeps look faulty if its flows are believed, and are not called so if they are not', () => {
    let [believed, called, unfit] = [0, 0, 0];
    for (let seed = 0; seed < 100; seed++) {
      const sweep = short(made({ name: 'ok' }, seed));
      if (diagnosed(inputOf(sweep, 0.01)).finding.cause !== 'no fault shown') believed++;
      const careful = diagnosed(inputOf(sweep, 0.01, unchecked));
      if (careful.finding.cause !== 'no fault shown') called++;
      if (!careful.finding.fits) unfit++;
    }
    expect(believed).toBeGreaterThan(90);
    expect(called).toBeLessThanOrEqual(2);
    expect(unfit).toBeLessThanOrEqual(5);
  });

  it('names no cause that rests on the shape, still sees a worn tip, and sends to the meter first', () => {
    const leak = diagnosed(inputOf(made({ name: 'leak', leakShare: [0.08, 0.08] }), 0.01, unchecked));
    expect(['no fault shown', 'worn']).toContain(leak.finding.cause);
    const { aicc, gain } = leak.finding.evidence;
    expect(aicc.leaking).toBeGreaterThan(aicc['no fault shown']);
    expect(gain).toBeCloseTo(aicc['no fault shown'] - Math.min(...Object.values(aicc)), 9);
    expect(leak.settledBy[0]).toBe('check-the-meter');
    expect(leak.warnings).toContain('meter-not-checked');
    const much = diagnosed(inputOf(made({ name: 'worn', factor: [1.25, 1.25] }), 0.01, unchecked));
    expect(much.finding.cause).toBe('worn');
    const plain = diagnosed(inputOf(made({ name: 'worn', factor: [1.25, 1.25] }), 0.01));
    expect(much.size!.expandedUncertainty95).toBeGreaterThan(plain.size!.expandedUncertainty95);
  });
});

describe('pressures that a sensor read', () => {
  const sensor = { noise_psi: 0.05, zero_psi: 0.43 };
  const withSensor = { dial_psi: 1.5, sensor };

  it('its own zero within its doubt is no fault, however precise the catches', () => {
    let called = 0;
    for (let seed = 0; seed < 200; seed++) {
      const one = diagnosed(inputOf(made({ name: 'ok' }, seed, withSensor), 0.01, { sensorChecked: true }));
      if (one.finding.cause !== 'no fault shown') called++;
      expect(one.pressureMeasured).toBe(true);
    }
    expect(called).toBeLessThanOrEqual(5);
  });

  it('a checked sensor is not blamed: a threshold is a check valve; a weak pump shows no cap in flow against true pressure', () => {
    const valve = made({ name: 'valve', threshold_psi: [8, 8] }, 5, withSensor);
    expect(diagnosed(inputOf(valve, 0.01, { sensorChecked: true })).said).toBe('check-valve');
    expect(diagnosed(inputOf(valve, 0.01, { sensorChecked: false })).said).toBe('dial-high-or-check-valve');
    const weak = made({ name: 'cap', cap_psi: 50 }, 6, withSensor);
    expect(diagnosed(inputOf(weak, 0.01, { sensorChecked: true })).finding.cause).toBe('no fault shown');
  });

  it('what the dial shows at zero is no evidence there, and is not asked for', () => {
    const valve = made({ name: 'valve', threshold_psi: [8, 8] }, 5, withSensor);
    const input = inputOf(valve, 0.01);
    const shown = [
      { kind: 'dial-at-zero' as const, shown_Pa: 8 * PSI_PA, standardUncertainty_Pa: 0.7 * PSI_PA },
    ];
    expect(diagnosed({ ...input, checks: shown }).finding).toEqual(diagnosed(input).finding);
    expect(diagnosed(input).settledBy).not.toContain('dial-at-zero');
  });
});

it('shows a finding on the curve where it is: above for a leak, below for a shift, at the cap, all of it for wear', () => {
  const psi = (pressure_Pa: number) => pressure_Pa / PSI_PA;
  const markOf = (truth: Truth) => diagnosed(inputOf(made(truth), 0.01)).marks[0]!;
  expect(diagnosed(inputOf(ok, 0.01)).marks).toEqual([]);
  const leak = markOf({ name: 'leak', leakShare: [0.1, 0.1] });
  expect(leak.kind).toBe('from-here-up');
  expect(leak.flow_m3_per_s).toBeGreaterThan(leak.expectedFlow_m3_per_s);
  const shift = markOf({ name: 'dial', dialOffset_psi: 4 });
  expect(shift.kind).toBe('from-here-down');
  expect(shift.flow_m3_per_s).toBeLessThan(shift.expectedFlow_m3_per_s);
  const cap = markOf({ name: 'cap', cap_psi: 47 });
  expect(cap.kind).toBe('from-here-up');
  expect(psi(cap.pressure_Pa)).toBeCloseTo(47, 0);
  const all = markOf({ name: 'worn', factor: [1.1, 1.1] });
  expect([all.kind, Math.round(psi(all.pressure_Pa))]).toEqual(['whole-curve', 60]);
  expect(Math.abs(all.flow_m3_per_s / all.expectedFlow_m3_per_s - 1.1)).toBeLessThan(0.02);
});

it('draws the named cause at the pressures asked for, and nothing where no fault is shown', () => {
  const pressures_Pa = [20, 40, 60].map((psi) => psi * PSI_PA);
  const one = diagnosed(inputOf(made({ name: 'dial', dialOffset_psi: 4 }), 0.01, { pressures_Pa }));
  const wanted = pressures_Pa.map((p) => TRUE_K * Math.sqrt(p - 4 * PSI_PA));
  expect(one.modelFlow_m3_per_s).toHaveLength(3);
  one.modelFlow_m3_per_s.forEach((flow, i) => expect(flow / wanted[i]!).toBeCloseTo(1, 2));
  expect(diagnosed(inputOf(ok, 0.01, { pressures_Pa })).modelFlow_m3_per_s).toEqual([]);
});

it('tells what no fault is worth: a change so large would have been named about every second time', () => {
  const usual: Partial<Design> = { catchRelative: 0.01, dial_psi: 1.5 };
  const { smallestChangeNamed } = diagnosed(inputOf(made({ name: 'ok' }, 1, usual), 0.01));
  expect(smallestChangeNamed).toBeGreaterThan(0.025);
  let named = 0;
  for (let seed = 0; seed < 400; seed++) {
    const factor = 1 + smallestChangeNamed!;
    const one = diagnosed(inputOf(made({ name: 'worn', factor: [factor, factor] }, seed, usual), 0.01));
    if (one.finding.cause !== 'no fault shown') named++;
  }
  expect(named / 400).toBeGreaterThan(0.4);
  expect(named / 400).toBeLessThan(0.68);
});

it('says which other cause a leak with another exponent would have made of it', () => {
  const usual: Partial<Design> = { catchRelative: 0.01, dial_psi: 1.5 };
  let changed = 0;
  for (let seed = 0; seed < 100; seed++) {
    const one = diagnosed(inputOf(made({ name: 'leak', leakShare: [0.06, 0.06] }, seed, usual), 0.01));
    if (one.withOtherLeak !== null) {
      changed++;
      expect(one.withOtherLeak).not.toBe(one.finding.cause);
    }
  }
  expect(changed).toBeGreaterThan(5);
  expect(changed).toBeLessThan(80);
  expect(diagnosed(inputOf(blocked, 0.01)).withOtherLeak).toBeNull();
});
