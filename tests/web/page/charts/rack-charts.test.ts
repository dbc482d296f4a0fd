import { describe, expect, test } from 'vitest';
import { axis, keepApart, levels, PATTERNS } from '../../../../web/charts/axes.ts';
import { drawCurve } from '../../../../web/charts/curve-picture.ts';
import { drawRatios, drawTogether } from '../../../../web/charts/curves-together.ts';
import { drawDrift } from '../../../../web/charts/drift-picture.ts';
import { drawFinding } from '../../../../web/charts/finding-mark.ts';
import { drawShares } from '../../../../web/charts/share-bars.ts';
import { smallCurve } from '../../../../web/charts/small-curve.ts';
import { curveInputOfTip } from '../../../../web/state/tip-curve.ts';
import { findingToDraw } from '../../../../web/wording/finding-mark.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { sampleCompared, sampleDrift, sampleRack, sampleTipOrRig } from '../sample-rack.ts';
import { psi, SAMPLE_K } from '../sample-sweep.ts';

const { us } = shownUnits;
const size = { width: 600, height: 400 };
const { tips } = sampleRack();
const worn = tips[1]!;

/** Every number of a path. */
const numbers = (path: string): number[] => (path.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);

describe('scales', () => {
  test('a straight scale and its levels; a range of nothing is opened', () => {
    const scale = axis(0, 10, 100, 200);
    expect([scale(0), scale(5), scale(10)]).toEqual([100, 150, 200]);
    expect(levels(scale, 5).map(({ label }) => label)).toEqual(['0', '2', '4', '6', '8', '10']);
    expect(Number.isFinite(axis(3, 3, 0, 100)(3))).toBe(true);
    expect(levels(axis(-0.02, 0.12, 100, 0), 5, (share) => share * 100).map(({ label }) => label)).toContain(
      '10',
    );
  });

  test('labels are moved apart, inside the edges, and keep their order', () => {
    const placed = keepApart([50, 52, 51, 199], 18, 20, 200);
    const sorted = [...placed].sort((a, b) => a - b);
    for (let index = 1; index < sorted.length; index += 1)
      expect(sorted[index]! - sorted[index - 1]!).toBeGreaterThanOrEqual(18);
    expect(Math.min(...placed)).toBeGreaterThanOrEqual(20);
    expect(Math.max(...placed)).toBeLessThanOrEqual(200);
    expect(placed[0]!).toBeLessThan(placed[2]!);
    expect(new Set(PATTERNS).size).toBe(6);
  });
});

describe('the mark of a finding', () => {
  const drawn = drawCurve(curveInputOfTip(worn, worn.diagnosis, us), size)!;
  const mark = drawFinding(findingToDraw(worn.diagnosis!, worn.curve!.pressures_Pa, us), drawn);

  test('the bracket spans what the tip gives and what it should give, beside its setting', () => {
    const [x = 0, top = 0] = numbers(mark.marks[0]!.path);
    expect(x).toBeCloseTo(drawn.x(psi(40)) + 14, 6);
    expect(top).toBeCloseTo(drawn.y(SAMPLE_K * 1.09 * Math.sqrt(psi(40))), 6);
    expect(mark.marks[0]!.path).toContain(`V${drawn.y(SAMPLE_K * Math.sqrt(psi(40)))}`);
    expect(mark.marks[0]!.label).toBe('9 % over');
    expect(mark.marks[0]!.y).toBeLessThan(top);
  });

  test('its label stays inside the picture on a phone, at the first and at the last setting', () => {
    for (const pressure of [20, 60]) {
      const narrow = drawCurve(curveInputOfTip(worn, worn.diagnosis, us), { width: 290, height: 270 })!;
      const one = { ...worn.diagnosis!.marks[0]!, pressure_Pa: psi(pressure) };
      const input = findingToDraw({ ...worn.diagnosis!, marks: [one] }, worn.curve!.pressures_Pa, us);
      const [label] = drawFinding(input, narrow).marks;
      const wide = label!.label.length * 8;
      const from = label!.anchor === 'end' ? label!.x - wide : label!.x;
      expect(from).toBeGreaterThanOrEqual(narrow.plot.left - 1);
      expect(from + wide).toBeLessThanOrEqual(narrow.plot.right + 1);
    }
  });

  test('a piece of the curve is bracketed from its setting to the edge', () => {
    const one = { ...worn.diagnosis!.marks[0]!, kind: 'from-here-up' as const };
    const input = findingToDraw({ ...worn.diagnosis!, marks: [one] }, worn.curve!.pressures_Pa, us);
    const [path] = drawFinding(input, drawn).marks.map((each) => each.path);
    expect(path).toContain(`H${drawn.plot.right}`);
    expect(numbers(path!)[0]).toBeCloseTo(drawn.x(psi(40)), 6);
  });

  test('from here down it is bracketed over the curve to the left edge, and its label stays inside', () => {
    const one = { ...worn.diagnosis!.marks[0]!, kind: 'from-here-down' as const, pressure_Pa: psi(20) };
    const input = findingToDraw({ ...worn.diagnosis!, marks: [one] }, worn.curve!.pressures_Pa, us);
    const [only] = drawFinding(input, drawn).marks;
    expect(only!.path).toContain(`H${drawn.plot.left} `);
    expect(numbers(only!.path)[1]!).toBeLessThan(drawn.y(one.flow_m3_per_s));
    expect(only!.anchor === 'end' ? only!.x - only!.label.length * 8 : only!.x).toBeGreaterThanOrEqual(
      drawn.plot.left,
    );
  });

  test('without a model there is no line of one; the stamp’s curve is not drawn twice', () => {
    const bare = { ...worn.diagnosis!, modelFlow_m3_per_s: [] };
    const rated = { ...bare, reference: { ...bare.reference, from: 'rated' as const } };
    const none = drawFinding(findingToDraw(rated, worn.curve!.pressures_Pa, us), drawn);
    expect([none.model, none.reference, none.referenceAt]).toEqual([null, null, null]);
  });
});

describe('curves over each other', () => {
  const compared = sampleCompared(tips.slice(0, 4), tips[0]!.key);

  test('told apart by their patterns and a label each; a higher curve is drawn higher', () => {
    const drawn = drawTogether(compared, us, size)!;
    expect(new Set(drawn.lines.map(({ pattern }) => pattern)).size).toBe(4);
    expect(drawn.lines[0]!.pattern).toBe('');
    expect(drawn.lines[1]!.end.y).toBeLessThan(drawn.lines[0]!.end.y);
    expect(drawn.lines.map(({ label }) => label)).toContain('Old brass');
  });

  test('ratios stand about the line of the same, each with its ±, and keep the pattern of their curve', () => {
    const drawn = drawRatios(compared, us, size)!;
    expect(drawn.lines).toHaveLength(3);
    expect(drawn.lines[0]!.dots[0]!.y).toBeLessThan(drawn.same!.y);
    for (const line of drawn.lines)
      for (const { y, low, high } of line.dots) {
        expect(high).toBeLessThan(y);
        expect(y).toBeLessThan(low);
      }
    const curves = drawTogether(compared, us, size)!;
    for (const line of drawn.lines)
      expect(line.pattern).toBe(curves.lines.find(({ key }) => key === line.key)!.pattern);
  });

  test('nothing to draw is null: no curve, no pair, no room', () => {
    const none = { ...compared, curves: compared.curves.map((one) => ({ ...one, curve: null })) };
    expect(drawTogether(none, us, size)).toBeNull();
    expect(drawRatios({ ...compared, pairs: [] }, us, size)).toBeNull();
    expect(drawTogether(compared, us, { width: 60, height: 400 })).toBeNull();
  });
});

describe('the weeks', () => {
  test('points at their weeks, limits about zero, signals told apart, the rig’s week marked', () => {
    const drawn = drawDrift(sampleDrift(0.0065, 9), size)!;
    expect(drawn.points).toHaveLength(14);
    for (let index = 1; index < 14; index += 1)
      expect(drawn.points[index]!.x).toBeGreaterThan(drawn.points[index - 1]!.x);
    expect(drawn.points.some(({ signals }) => signals)).toBe(true);
    expect(drawn.limits).not.toBeNull();
    expect(drawn.jumps[0]!.x).toBeCloseTo(drawn.points[8]!.x, 6);
    expect(drawn.points.at(-1)!.y).toBeLessThan(drawn.zero);
  });

  test('a forecast in reach is drawn from the last average to the limit; a far one is words only', () => {
    const drawn = drawDrift(sampleDrift(0.0065), size)!;
    expect(drawn.forecast!.y).toBe(drawn.worn);
    expect(drawn.forecast!.from).toBeLessThanOrEqual(drawn.forecast!.x);
    expect(drawn.forecast!.to).toBeGreaterThan(drawn.forecast!.x);
    const chart = sampleDrift(0.0065);
    const far = { ...chart, forecast: { week: 200, earliest: 100, latest: null, perWeek: 0.0005 } };
    expect(drawDrift(far, size)!.forecast).toBeNull();
    const open = drawDrift({ ...chart, forecast: { ...chart.forecast!, latest: null } }, size)!;
    expect(open.forecast!.open).toBe(true);
    expect(numbers(open.forecast!.wedge).every(Number.isFinite)).toBe(true);
  });

  test('no point is no picture; one point is no line', () => {
    const chart = sampleDrift(0);
    expect(drawDrift({ ...chart, points: [] }, size)).toBeNull();
    const lone = drawDrift({ ...chart, points: chart.points.slice(0, 1) }, size)!;
    expect([lone.average, lone.limits]).toEqual([null, null]);
  });
});

test('shares: the rig’s part begins at zero, the tip’s where that ends, and both end at what was measured', () => {
  const found = sampleTipOrRig(tips.slice(0, 4));
  const drawn = drawShares(found, 600)!;
  for (const { rig, tip, all } of drawn.rows) {
    expect(Math.max(rig.x, rig.x + rig.width)).toBeCloseTo(drawn.zero, 6);
    const end = Math.abs(tip.x - rig.x) < 1e-6 ? tip.x + tip.width : tip.x;
    expect(end).toBeCloseTo(all, 6);
    expect(rig.low).toBeLessThan(rig.high);
  }
  expect(drawShares(found, 100)).toBeNull();
  expect(drawShares({ tips: [] }, 600)).toBeNull();
});

test('a curve as small as a word: inside its box, from zero up, its reference under it when it is worn', () => {
  const drawn = smallCurve(worn, 132, 64)!;
  expect(drawn.dots).toHaveLength(5);
  for (const { x, y } of drawn.dots) {
    expect(x).toBeGreaterThanOrEqual(0);
    expect(x).toBeLessThanOrEqual(132);
    expect(y).toBeGreaterThanOrEqual(0);
    expect(y).toBeLessThanOrEqual(64);
  }
  const end = (path: string): number => numbers(path).at(-1)!;
  expect(end(drawn.reference!)).toBeGreaterThan(end(drawn.curve!));
  expect(smallCurve({ ...worn, curve: null }, 132, 64)).toBeNull();
  expect(smallCurve({ ...worn, baseline: null, ratedFlow_m3_per_s: null }, 132, 64)!.reference).toBeNull();
});
