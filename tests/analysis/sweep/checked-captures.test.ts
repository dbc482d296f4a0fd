import { describe, expect, it } from 'vitest';
import { captureBudgets } from '../../../src/analysis/budget/capture-budgets.ts';
import { buoyancyFactor } from '../../../src/analysis/flow/buoyancy.ts';
import { parseMark, markText } from '../../../src/signal/captures/mark.ts';
import { relativeOf } from '../../../src/analysis/budget/budget.ts';
import { scaleFactorOf } from '../../../src/analysis/budget/scale-factor.ts';
import { simulateCapture } from '../../../src/simulation/simulated-capture.ts';
import { analysed, scaleCapture } from './analysed.ts';

const pours = [
  { start_s: 20, stop_s: 50, flow_g_per_s: 25 },
  { start_s: 70, stop_s: 100, flow_g_per_s: 25 },
];
const plain = (header: Record<string, string> = {}, marks: (readonly [number, string])[] = []) =>
  analysed(scaleCapture({ pours, until_s: 120, header, marks: [[1, 'setting 275790'], ...marks] }));

describe('a capture whose scale was checked before', () => {
  const bare = plain().analysis.catches[0]!;

  it('has every flow multiplied by the factor, and its ± widened by what the factor is worth', () => {
    const { analysis } = plain({ scaleFactor: '1.004', scaleFactorRelativeStandardUncertainty: '0.001' });
    const [c] = analysis.catches;
    expect(c!.flow_m3_per_s! / bare.flow_m3_per_s!).toBeCloseTo(1.004, 12);
    expect(c!.massFlow_kg_per_s).toBe(bare.massFlow_kg_per_s);
    expect(c!.mass_kg).toBe(bare.mass_kg);
    expect(c!.sharedTypeB_m3_per_s! / c!.flow_m3_per_s!).toBeCloseTo(
      Math.hypot(bare.sharedTypeB_m3_per_s! / bare.flow_m3_per_s!, 0.001),
      9,
    );
    const k = (a: typeof analysis) => a.curve!.nozzleConstant_m3_per_s_per_sqrtPa;
    expect(k(analysis) / k(plain().analysis)).toBeCloseTo(1.004, 9);
  });

  it('left as it was keeps its flows and carries the doubt', () => {
    const { analysis } = plain({ scaleFactorRelativeStandardUncertainty: '0.002', scaleFactorFrom: 'maker' });
    expect(analysis.catches[0]!.flow_m3_per_s).toBe(bare.flow_m3_per_s);
    expect(analysis.catches[0]!.sharedTypeB_m3_per_s).toBeGreaterThan(0.002 * bare.flow_m3_per_s!);
    expect(analysis.warnings).not.toContain('scale-not-checked');
  });

  it('left as it was counts drift from what was found, not from 1', () => {
    const header = { scaleFactorFound: '1.01', scaleFactorRelativeStandardUncertainty: '0.0005' };
    const share = ({ catches: [c] }: ReturnType<typeof plain>['analysis']) =>
      c!.sharedTypeB_m3_per_s! / c!.flow_m3_per_s!;
    const left = plain(header).analysis;
    expect(left.warnings).not.toContain('scale-not-checked');
    expect(left.catches[0]!.flow_m3_per_s).toBe(bare.flow_m3_per_s);
    const was = bare.sharedTypeB_m3_per_s! / bare.flow_m3_per_s!;
    expect(share(left)).toBeCloseTo(Math.hypot(was, 0.0005, 0.01), 9);
    const still = plain(header, [[119, 'scale-check 1.01 0.0005']]).analysis;
    expect(still.warnings).not.toContain('scale-drifted');
    expect(share(still)).toBeCloseTo(share(left), 12);
    const back = plain(header, [[119, 'scale-check 1 0.0005']]).analysis;
    expect(back.warnings).toContain('scale-drifted');
    expect(share(back)).toBeCloseTo(Math.hypot(share(left), 0.01 / 1.01 / Math.sqrt(3)), 9);
  });

  it('found with water has no buoyancy on top', () => {
    const { analysis } = plain({ scaleFactor: '1.004', scaleFactorFrom: 'water-volume' });
    const air = buoyancyFactor('mass-pieces', 998.2067);
    expect(analysis.catches[0]!.flow_m3_per_s! / bare.flow_m3_per_s!).toBeCloseTo(1.004 / air, 9);
  });

  it('and again afterwards carries the drift, rectangular, and warns when it moved', () => {
    const header = { scaleFactor: '1.004', scaleFactorRelativeStandardUncertainty: '0.0005' };
    const still = plain(header, [[119, 'scale-check 1.0043 0.0005']]).analysis;
    expect(still.warnings).not.toContain('scale-drifted');
    const moved = plain(header, [[119, 'scale-check 1.0065 0.0005']]).analysis;
    expect(moved.warnings).toContain('scale-drifted');
    const before = plain(header).analysis.catches[0]!;
    const after = moved.catches[0]!;
    expect(after.flow_m3_per_s).toBe(before.flow_m3_per_s);
    expect(after.sharedTypeB_m3_per_s! / after.flow_m3_per_s!).toBeCloseTo(
      Math.hypot(before.sharedTypeB_m3_per_s! / before.flow_m3_per_s!, 0.0025 / 1.004 / Math.sqrt(3)),
      9,
    );
  });
});

describe('a capture whose scale was checked only afterwards', () => {
  const unchecked = { scaleFactorFrom: 'maker' };
  const bare = plain(unchecked).analysis;

  it('is no longer called unchecked', () => {
    expect(bare.warnings).toContain('scale-not-checked');
    expect(plain(unchecked, [[119, 'scale-check 1.004 0.001']]).analysis.warnings).not.toContain(
      'scale-not-checked',
    );
  });

  it('is corrected where the person wants it, and carries what was found where not', () => {
    const corrected = plain(unchecked, [[119, 'scale-check 1.004 0.001 corrects']]).analysis.catches[0]!;
    const left = plain(unchecked, [[119, 'scale-check 1.004 0.001']]).analysis.catches[0]!;
    const was = bare.catches[0]!;
    expect(corrected.flow_m3_per_s! / was.flow_m3_per_s!).toBeCloseTo(1.004, 12);
    expect(left.flow_m3_per_s).toBe(was.flow_m3_per_s);
    const share = (c: typeof was) => c.sharedTypeB_m3_per_s! / c.flow_m3_per_s!;
    expect(share(corrected)).toBeCloseTo(Math.hypot(share(was), 0.001), 9);
    expect(share(left)).toBeCloseTo(Math.hypot(share(was), Math.hypot(0.001, 0.004)), 9);
  });

  it('has parts of the budget that add up to what the flows carry', () => {
    const mark = { factor: 1.004, relativeStandardUncertainty: 0.001, corrects: true };
    const { applied, parts } = scaleFactorOf({ instrument: 'scale', unknown: {} }, [mark], 998.2);
    expect(applied).toBe(1.004);
    expect(parts.map((part) => part.input)).toEqual(['scale-factor']);
    expect(relativeOf(parts)).toBeCloseTo(0.001, 15);
    const again = scaleFactorOf(
      { instrument: 'scale', unknown: {} },
      [mark, { ...mark, factor: 1.001 }],
      998.2,
    );
    expect(again.parts.map((part) => [part.input, part.distribution])).toEqual([
      ['scale-factor', 'normal'],
      ['scale-drift', 'rectangular'],
    ]);
    expect(again.drifted).toBe(true);
  });
});

describe('the mark of a scale check', () => {
  it.each(['!scale-check 1.0012 0.0003', '!scale-check 1.0012 0.0003 corrects'])(
    '%s is read as written',
    (text) => {
      expect(markText(parseMark(text))).toBe(text);
      expect(parseMark(text).kind).toBe('scale-check');
    },
  );

  it.each([
    '!scale-check corrects',
    '!scale-check 1 corrects',
    '!scale-check 0 0.1 corrects',
    '!scale-check 1 0 1',
    '!scale-check 1e200 0 corrects',
    '!scale-check 50 .001 corrects',
    '!scale-check 1 1.5',
  ])('%s is kept and not guessed at', (text) => {
    expect(parseMark(text)).toEqual({ kind: 'unknown', text: text.slice(1) });
  });
});

describe('a bench board', () => {
  const text = simulateCapture({
    scenario: 'clean',
    seed: 11,
    fills: 6,
    instrument: { kind: 'bench-board', meterPulsesPerCubicMetre: 450_000 },
    sweep: { settings_Pa: [137895, 275790, 413685] },
  });
  const withKeys = (from: string, keys: string) => {
    const [first, ...rest] = from.split('\n');
    return [first, ...keys.trim().split('\n'), ...rest].join('\n');
  };
  const metered = `# meterOffset_Hz: 0
# pulsesPerLitreStandardUncertainty: 0.5
# meterOffsetStandardUncertainty_Hz: 0.01
# meterCorrelation: 0.9
`;

  it('gives the meter its points from the catches of a sweep', () => {
    const { meterPoints } = analysed(text);
    expect(meterPoints).toHaveLength(6);
    for (const point of meterPoints) {
      expect(point.frequency_Hz / point.flow_m3_per_s / 450_000).toBeCloseTo(1, 2);
      expect(point.flowStandardUncertainty_m3_per_s).toBeGreaterThan(0);
    }
  });

  it('says when less water reached the pail than the meter counted, and not when they agree', () => {
    const agree = analysed(withKeys(text, metered)).analysis;
    expect(agree.catches.flatMap((c) => c.warnings)).not.toContain('water-missing');
    // A meter that counts 3 % more than reached the pail.
    const leak = analysed(
      withKeys(text.replace(/# pulsesPerLitre: .*\n/, ''), `${metered}# pulsesPerLitre: 436.5`),
    );
    expect(leak.analysis.catches.every((c) => c.warnings.includes('water-missing'))).toBe(true);
    const more = analysed(
      withKeys(text.replace(/# pulsesPerLitre: .*\n/, ''), `${metered}# pulsesPerLitre: 463.5`),
    );
    expect(more.analysis.catches.every((c) => c.warnings.includes('more-water-than-metered'))).toBe(true);
    // Without a check of the meter there is nothing to balance with.
    expect(analysed(text).analysis.catches.flatMap((c) => c.warnings)).toEqual(
      expect.not.arrayContaining(['water-missing', 'more-water-than-metered']),
    );
  });

  it('with the sprayer on the scale says where the water went: nothing of a pail that is not there', () => {
    // The same board mounted the other way round: what was caught is now lost.
    const turned = text
      .replace(/# pulsesPerLitre: .*\n/, '')
      .replace('# gramsPerCount: ', '# standsOnScale: sprayer\n# gramsPerCount: -');
    const warningsAt = (pulsesPerLitre: number) =>
      analysed(withKeys(turned, `${metered}# pulsesPerLitre: ${pulsesPerLitre}`)).analysis.catches.map(
        ({ warnings }) => warnings.filter((one) => one.includes('metered') || one === 'water-missing'),
      );
    expect(warningsAt(450)).toEqual(Array(6).fill([]));
    expect(warningsAt(463.5)).toEqual(Array(6).fill(['more-left-than-metered']));
    expect(warningsAt(436.5)).toEqual(Array(6).fill(['more-metered-than-left']));
  });

  it('balances nothing below the lowest flow its meter was checked at', () => {
    const off = withKeys(text.replace(/# pulsesPerLitre: .*\n/, ''), `${metered}# pulsesPerLitre: 436.5`);
    const flows = analysed(off).analysis.catches.map((c) => c.flow_m3_per_s!);
    // Between the lower flows and the highest: 0.98 of it is what the meter may still be asked for.
    const lowest = Math.max(...flows);
    const { analysis, budgetFacts } = analysed(withKeys(off, `# meterLowestFlow_m3_per_s: ${lowest}`));
    const isMissing = analysis.catches.map((c) => c.warnings.includes('water-missing'));
    expect(isMissing).toEqual(flows.map((flow) => flow * 1.03 > 0.98 * lowest));
    expect(isMissing).toContain(false);
    expect(isMissing).toContain(true);
    // And says in the budget that spray may have missed the pail unseen, where nothing was balanced.
    const unseen = captureBudgets(budgetFacts).catches.map((budget) =>
      budget!.lines.some((line) => line.input === 'spray-missed'),
    );
    expect(unseen).toEqual(isMissing.map((missing) => !missing));
  });

  const noCell = text.replace(/# gramsPerCount: .*\n/, '').replace(/# scaleFactorFrom: .*\n/, '');
  /** The same lines as a board without a load cell sends them: no raw counts. */
  const meterOnly = (keys: string) => analysed(withKeys(noCell, keys)).analysis;

  it('without a usable scale takes the flow from pulses, refuses it below the lowest checked one and flags it above', () => {
    const flows = meterOnly(metered).catches.map((c) => c.flow_m3_per_s!);
    expect(Math.min(...flows)).toBeGreaterThan(0);
    expect(meterOnly('').warnings).toContain('meter-not-checked');
    // A check at one flow knows no offset.
    expect(meterOnly('# pulsesPerLitreStandardUncertainty: 0.5').warnings).not.toContain('meter-not-checked');
    const lowest = Math.min(...flows) * 1.1;
    const below = meterOnly(`${metered}# meterLowestFlow_m3_per_s: ${lowest}`).catches;
    expect(below.filter((c) => c.voidBecause === 'below-checked-flow').length).toBeGreaterThan(0);
    expect(below.filter((c) => c.voidBecause === null).length).toBeGreaterThan(0);
    const highest = Math.max(...flows) / 1.2;
    const above = meterOnly(`${metered}# meterHighestFlow_m3_per_s: ${highest}`).catches;
    expect(above.some((c) => c.warnings.includes('meter-above-checked'))).toBe(true);
    expect(above.some((c) => !c.warnings.includes('meter-above-checked'))).toBe(true);
  });

  it('carries the meter’s parameters with their correlation', () => {
    const bare = meterOnly('# meterOffset_Hz: 0').catches[0]!;
    const checked = meterOnly(`${metered}# meterReferenceRelativeStandardUncertainty: 0.001`).catches[0]!;
    const Q = checked.flow_m3_per_s!;
    const a = 450_000;
    const [ua, ub, r] = [500, 0.01, 0.9];
    const u2 = ((Q * ua) ** 2 + ub ** 2 - 2 * Q * r * ua * ub) / (a * Q) ** 2;
    expect(checked.sharedTypeB_m3_per_s! / Q).toBeCloseTo(
      Math.hypot(bare.sharedTypeB_m3_per_s! / bare.flow_m3_per_s!, Math.sqrt(u2), 0.001),
      9,
    );
  });

  it('uses an earlier check of its clock where it is too short for one of its own', () => {
    const lines = text.split('\n');
    const cut = lines.filter((line) => !/^\d/.test(line) || Number(line.split('\t')[0]) < 55).join('\n');
    const alone = analysed(cut).analysis;
    expect(alone.warnings).toContain('clock-not-checked');
    expect(alone.clockRatio).toBe(1);
    const known = analysed(
      withKeys(cut, '# clockRatio: 0.998\n# clockRatioStandardUncertainty: 0.0002'),
    ).analysis;
    expect(known.warnings).not.toContain('clock-not-checked');
    expect(known.clockRatio).toBe(0.998);
    expect(known.clockRatioStandardUncertainty).toBe(0.0002);
    expect(known.catches[0]!.flow_m3_per_s! / alone.catches[0]!.flow_m3_per_s!).toBeCloseTo(1 / 0.998, 3);
    // Long enough, it trusts its own minute.
    const long = analysed(
      withKeys(text, '# clockRatio: 0.99\n# clockRatioStandardUncertainty: 0.0002'),
    ).analysis;
    expect(long.clockRatio).toBeCloseTo(analysed(text).analysis.clockRatio!, 12);
  });
});
