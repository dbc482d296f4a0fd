import { expect, test } from 'vitest';
import { drawCurve, type CurveInput } from '../../../../web/charts/curve-picture.ts';
import { brackets, traceColumns } from '../../../../web/charts/trace-columns.ts';
import { curveInputOfSweep } from '../../../../web/state/curve-input.ts';
import { shownUnits } from '../../../../web/wording/units.ts';
import { psi, sampleCatch, sampleSetup, sampleSweep } from '../sample-sweep.ts';

const units = shownUnits.us;
const size = { width: 600, height: 440 };
const input = (more: Partial<CurveInput> = {}): CurveInput => ({
  ...curveInputOfSweep(sampleSweep(), units),
  ...more,
});

test('one upright a setting, in order of pressure, the one in hand lit', () => {
  const drawn = drawCurve(input(), size)!;
  expect(drawn.uprights.map(({ label }) => label)).toEqual(['20', '30', '40', '50', '60']);
  expect(drawn.uprights.filter(({ lit }) => lit).map(({ label }) => label)).toEqual(['40']);
  const xs = drawn.uprights.map(({ x }) => x);
  expect(xs).toEqual([...xs].sort((a, b) => a - b));
});

test('catches still to do stand hollow at the foot, as many as are missing, never near the curve', () => {
  const drawn = drawCurve(input(), size)!;
  expect(drawn.uprights.map(({ toDo }) => toDo.length)).toEqual([0, 3, 2, 0, 0]);
  const lowestReading = Math.max(...drawn.uprights.flatMap(({ mean }) => (mean === null ? [] : [mean.low])));
  for (const y of drawn.uprights.flatMap(({ toDo }) => toDo)) {
    expect(y).toBeLessThan(drawn.plot.bottom);
    expect(y).toBeGreaterThan(lowestReading);
  }
});

test('a measured setting has one mean mark inside its ±, and its repeats beside it', () => {
  const upright = drawCurve(input(), size)!.uprights[4]!;
  expect(upright.mean!.high).toBeLessThan(upright.mean!.y);
  expect(upright.mean!.low).toBeGreaterThan(upright.mean!.y);
  expect(upright.repeats).toHaveLength(3);
});

test('before any catch there is the plan and the rated curve, and nothing measured', () => {
  const drawn = drawCurve(input({ catches: [], picture: null, running: null }), size)!;
  expect([drawn.curve, drawn.band, drawn.running]).toEqual([null, null, null]);
  expect(drawn.rated).not.toBeNull();
  expect(drawn.uprights.every(({ mean }) => mean === null)).toBe(true);
});

test('with nothing to go by there is no scale of flow, but the uprights stand', () => {
  const drawn = drawCurve(input({ catches: [], picture: null, running: null, rated: null }), size)!;
  expect(drawn.levels).toEqual([]);
  expect(drawn.uprights).toHaveLength(5);
});

test('without a curve two catches at one setting get no mean mark: its ± is not known', () => {
  const catches = [sampleCatch(0, 40), sampleCatch(1, 40)];
  const upright = drawCurve(input({ catches, picture: null }), size)!.uprights[2]!;
  expect(upright.mean).toBeNull();
  expect(upright.repeats).toHaveLength(2);
});

test('a struck catch leaves the repeats and is crossed', () => {
  const catches = [sampleCatch(0, 40), sampleCatch(1, 40, { struck: true })];
  const upright = drawCurve(input({ catches, picture: null }), size)!.uprights[2]!;
  expect([upright.repeats.length, upright.struck.length]).toEqual([0, 1]);
});

test('a doubtful catch is a diamond, and a mean is one when all its catches are doubtful', () => {
  const doubtful = { warnings: ['coarse-steps'] } as const;
  const at40 = (...more: object[]) =>
    drawCurve(input({ catches: more.map((one, index) => sampleCatch(index, 40, one)) }), size)!;
  expect(at40(doubtful, doubtful).uprights[2]!.mean!.doubtful).toBe(true);
  const mixed = at40(doubtful, {});
  expect(mixed.uprights[2]!.mean!.doubtful).toBe(false);
  expect(mixed.uprights[2]!.repeats.filter((one) => one.doubtful)).toHaveLength(1);
  expect([mixed.doubtful, at40({}, { warnings: ['simulated'] }).doubtful]).toEqual([true, false]);
});

test('repeats of nearly one height stand beside each other instead of melting together', () => {
  const same = { flow_m3_per_s: sampleCatch(0, 40).flow_m3_per_s };
  const catches = [0, 1, 2].map((index) => sampleCatch(index, 40, same));
  const { repeats } = drawCurve(input({ catches }), size)!.uprights[2]!;
  expect(new Set(repeats.map(({ dx }) => dx)).size).toBe(3);
  const apart = [0, 1].map((index) =>
    sampleCatch(index, 40, { flow_m3_per_s: same.flow_m3_per_s! * (1 + index) }),
  );
  const lanes = drawCurve(input({ catches: apart }), size)!.uprights[2]!.repeats.map(({ dx }) => dx);
  expect(new Set(lanes).size).toBe(1);
});

test.each([285, 355, 600])(
  'twelve settings in %i px: no two labels run into each other, the lit one is there',
  (width) => {
    const plan = Array.from({ length: 12 }, (_, index) => ({
      setting_Pa: psi(15 + 5 * index),
      wanted: 1,
      done: 0,
    }));
    const drawn = drawCurve(input({ plan, litSetting_Pa: psi(35) }), { width, height: 270 })!;
    const written = drawn.uprights.filter(({ label }) => label !== '');
    expect(written.some(({ lit }) => lit)).toBe(true);
    // Two digits of 15 px lettering are about 17 px wide.
    for (const [index, { x }] of written.slice(1).entries())
      expect(x - written[index]!.x).toBeGreaterThan(18);
    expect(drawn.uprights).toHaveLength(12);
  },
);

test.each([285, 355, 600])('in %i px no upright crosses the word “rated”', (width) => {
  const drawn = drawCurve(input(), { width, height: 270 })!;
  const { x } = drawn.ratedLabel!;
  for (const upright of drawn.uprights) expect(Math.abs(upright.x - x)).toBeGreaterThan(19);
});

test('every drawn number is finite, also for one setting only', () => {
  const plan = [{ setting_Pa: psi(40), wanted: 1, done: 0 }];
  for (const drawn of [
    drawCurve(input(), size),
    drawCurve(input({ plan, picture: null, catches: [] }), size),
  ])
    expect(JSON.stringify(drawn)).not.toMatch(/NaN|Infinity/);
});

test('no room or no setting draws nothing', () => {
  expect(drawCurve(input(), { width: 0, height: 440 })).toBeNull();
  expect(drawCurve(input({ plan: [] }), size)).toBeNull();
});

test('where the instrument gave no number the trace breaks', () => {
  const [time, mass] = traceColumns([0, 1, 2], [1, Number.NaN, 2], shownUnits.metric);
  expect(time).toEqual([0, 1, 2]);
  expect(mass).toEqual([1000, null, 2000]);
});

test('each catch is bracketed with its setting and flow; void ones say so; the running one ends now', () => {
  const catches = [
    sampleCatch(0, 40),
    sampleCatch(1, 50, { voidBecause: 'over-range', flow_m3_per_s: null }),
  ];
  const drawn = brackets(catches, { elapsed_s: 5, setting_Pa: sampleSetup.settings_Pa[0]! }, 100, units);
  expect(drawn.map(({ kind }) => kind)).toEqual(['kept', 'void', 'running']);
  expect(drawn[0]!.label).toMatch(/^40 psi 0\.3\d+$/);
  expect(drawn[1]!.label).toBe('50 psi void');
  expect(drawn[2]).toMatchObject({ start_s: 95, stop_s: 100, label: '20 psi' });
});
