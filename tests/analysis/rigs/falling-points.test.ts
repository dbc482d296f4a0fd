import { describe, expect, it } from 'vitest';
import { runSimulate } from '../../../src/terminal/simulate.ts';
import { analysed, scaleCapture } from '../sweep/analysed.ts';

/** A can that falls from 10 to 6.5 g/s over its 30 s, standing on the scale; its hose relaxes by `step_g` when the water starts. */
function canOnScale(step_g: number): string {
  const [start_s, stop_s] = [8, 38];
  const lost_g = (t: number): number => {
    const s = Math.min(Math.max(t - start_s, 0), stop_s - start_s);
    return 10 * s - (3.5 / 60) * s * s;
  };
  const pull_g = (t: number): number => (t > start_s && t < stop_s ? step_g : 0);
  return scaleCapture({
    header: { rigKind: 'pumped-up', standsOnScale: 'sprayer', wand: 'hand-held' },
    pours: [],
    until_s: 60,
    extra: (t) => 15_000 - lost_g(t) - pull_g(t),
  });
}

describe('a pumped-up can that stands on the scale', () => {
  // Arithmetic: the flow falls on a straight line, so in the middle of the 30 s it is (10 + 6.5)/2 g/s.
  it.each([0, 20])('has no jet’s push taken off when its hose gives way by %s g at the start', (step_g) => {
    const { analysis, rig } = analysed(canOnScale(step_g));
    const [caught] = analysis.catches;
    const mid_s = (caught!.start_s + caught!.stop_s) / 2;
    expect(mid_s).toBeCloseTo(23, 0);
    // The steady window begins later than the catch: its mean lies a little below that of the whole.
    expect(caught!.massFlow_kg_per_s! * 1e3).toBeGreaterThan(8.25 * 0.985);
    expect(caught!.massFlow_kg_per_s! * 1e3).toBeLessThan(8.25 * 1.003);
    const seen = rig!.catches[0];
    if (seen?.kind !== 'falling') throw new Error('falling expected');
    // By the end 10·30 − 0.0583·30² = 247.5 g have come, less what ran after the last reading counted; the hose's 20 g are no water.
    expect(seen.rows[2]!.given_m3 * 1e6).toBeGreaterThan(238);
    expect(seen.rows[2]!.given_m3 * 1e6).toBeLessThan(250);
  });
});

describe('the points of a falling pour whose pressure was measured', () => {
  let text = '';
  runSimulate(
    '--scenario pumped-up --seed 4 --settings 30,45psi --catches 2 --rated-flow 0.2gpm --instrument bench-board --sensor 100psi'.split(
      ' ',
    ),
    (out) => (text += out),
    () => undefined,
  );
  const whole = analysed(text).analysis.catches;
  const marked = (...marks: string[]) =>
    analysed(`${text}${marks.map((mark) => `9999\t!${mark}\n`).join('')}`).analysis.catches;
  const struckIn = (catches: typeof whole): number[] => catches.flatMap((c, i) => (c.struck ? [i] : []));

  it('are struck one by one, and counted again one by one', () => {
    expect(whole.filter((c) => c.pour === 1).length).toBeGreaterThan(2);
    const third = `struck ${whole[2]!.start_s.toFixed(3)}`;
    expect(struckIn(marked(third))).toEqual([2]);
    expect(struckIn(marked(third, `undo-${third}`))).toEqual([]);
    expect(struckIn(marked(`struck ${whole[0]!.start_s.toFixed(3)}`))).toEqual([0]);
  });

  it('are all struck by a strike of the pour’s own start', () => {
    const truth = JSON.parse(/^# truth: (.*)$/m.exec(text)![1]!) as { start_s: number }[];
    const first = whole.flatMap((c, i) => (c.pour === 1 ? [i] : []));
    expect(whole[0]!.start_s - truth[0]!.start_s).toBeGreaterThan(1);
    expect(struckIn(marked(`struck ${truth[0]!.start_s.toFixed(3)}`))).toEqual(first);
  });
});
