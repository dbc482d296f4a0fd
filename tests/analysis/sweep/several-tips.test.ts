import { describe, expect, it } from 'vitest';
import { analysed, scaleCapture } from './analysed.ts';
import { severalTips } from '../../../src/analysis/sweep/several-tips.ts';
import { captureMarkLine } from '../../../src/signal/captures/write.ts';

const SPRAY_S = 30;
const GAP_S = 30;

/** Catches of the given flows, one after the other, each announced with its label. */
function turns(
  caught: readonly (readonly [label: string, flow_g_per_s: number])[],
  header: Record<string, string> = {},
  marks: readonly (readonly [number, string])[] = [],
) {
  const pours = caught.map(([, flow_g_per_s], i) => {
    const start_s = 20 + i * (SPRAY_S + GAP_S);
    return { start_s, stop_s: start_s + SPRAY_S, flow_g_per_s };
  });
  const said = caught.map(([label], i): readonly [number, string] => {
    const line = captureMarkLine(pours[i]!.start_s - 5, { kind: 'tip', label }).trimEnd();
    return [pours[i]!.start_s - 5, line.slice(line.indexOf('!') + 1)];
  });
  const until_s = pours.at(-1)!.stop_s + 20;
  return analysed(
    scaleCapture({ pours, until_s, header, marks: [[1, 'setting 275790'], ...said, ...marks] }),
  );
}

describe('a capture in which two tips take turns', () => {
  const abba = [
    ['grey 7', 25],
    ['grey 8', 25.75],
    ['grey 8', 25.75],
    ['grey 7', 25],
  ] as const;

  it('tells the ratio of the later over the first, and has no curve', () => {
    const { analysis, labels, several, picture } = turns(abba);
    expect(labels).toEqual(['grey 7', 'grey 8', 'grey 8', 'grey 7']);
    if (several?.kind !== 'two' || several.compared === null) throw new Error('no comparison');
    expect(several).toMatchObject({ tip: 'grey 8', against: 'grey 7' });
    expect(Math.abs(several.compared.ratio - 1.03)).toBeLessThan(several.compared.expandedUncertainty95);
    expect(several.compared.expandedUncertainty95).toBeLessThan(0.01);
    expect(several.compared.verdict).toBe('different');
    expect(picture).toBeNull();
    expect(analysis.curve).toBeNull();
    expect(analysis.curveBecause).toBe('several-tips');
  });

  it('of two alike it says how large a difference there could still be', () => {
    const { several } = turns(abba.map(([label]) => [label, 25] as const));
    if (several?.kind !== 'two' || several.compared === null) throw new Error('no comparison');
    expect(several.compared.verdict).toBe('none-seen');
    expect(several.compared.largestDifference).toBeGreaterThan(Math.abs(several.compared.ratio - 1));
  });

  it('the scale’s gain, the water and the air are in neither: a factor changes the flows and not the ratio', () => {
    const [bare, corrected] = [turns(abba), turns(abba, { scaleFactor: '1.01' })];
    if (bare.several?.kind !== 'two' || corrected.several?.kind !== 'two') throw new Error('not two');
    expect(corrected.several.compared!.ratio).toBeCloseTo(bare.several.compared!.ratio, 12);
    expect(corrected.several.compared!.expandedUncertainty95).toBeCloseTo(
      bare.several.compared!.expandedUncertainty95,
      12,
    );
    expect(corrected.analysis.catches[0]!.flow_m3_per_s).not.toBe(bare.analysis.catches[0]!.flow_m3_per_s);
  });

  it('a flow that sags by 3 % from first to last leaves the ratio where it is', () => {
    // Measurement 11.10: over eight catches A B A B would be 0.43 % off, A B B A is not.
    const flows = [0, 1, 1, 0, 0, 1, 1, 0].map(
      (b, i) => [b === 1 ? 'B' : 'A', (b === 1 ? 25.5 : 25) * (1 - (0.03 * i) / 7)] as const,
    );
    const { several } = turns(flows);
    if (several?.kind !== 'two' || several.compared === null || several.drift === null) throw new Error('?');
    expect(Math.abs(several.compared.ratio / 1.02 - 1)).toBeLessThan(0.0015);
    expect(several.drift.relative).toBeCloseTo(-0.03, 2);
  });

  it('a tip that is announced in the middle of water makes that catch void, for its water is of two', () => {
    const middle_s = 20 + SPRAY_S / 2;
    const { analysis, labels, several } = turns(abba, {}, [[middle_s, 'tip grey 8']]);
    expect(analysis.catches[0]!.voidBecause).toBe('tip-changed-while-spraying');
    expect(analysis.catches[0]!.flow_m3_per_s).toBeNull();
    expect(labels[0]).toBeNull();
    expect(several).not.toBeNull();
  });

  it('the same tip announced again in the middle of its water changes nothing', () => {
    const again = turns(abba, {}, [[20 + SPRAY_S / 2, 'tip grey 7']]);
    expect(again.analysis.catches).toEqual(turns(abba).analysis.catches);
    expect(again.labels).toEqual(['grey 7', 'grey 8', 'grey 8', 'grey 7']);
  });

  it('a mark up to half a second late still holds for water that had begun, as a setting does', () => {
    const { labels } = turns([['A', 25]], {}, [[20.3, 'tip B']]);
    expect(labels).toEqual(['B']);
  });

  it('labels with any characters come back as they were typed', () => {
    const odd = ['=1+1 "a", b', '<b>tip</b> \\ 8\t\u{1F4A7} é'];
    const { labels } = turns([
      [odd[0]!, 25],
      [odd[1]!, 25.5],
    ]);
    expect(labels).toEqual(odd);
  });

  it('one catch of each is no comparison yet, and the reason is told', () => {
    const { several, analysis } = turns([
      ['A', 25],
      ['B', 26],
    ]);
    expect(several).toMatchObject({ kind: 'two', compared: null, comparedBecause: 'too-few-catches' });
    expect(analysis.catches.every((c) => c.flow_m3_per_s !== null)).toBe(true);
  });
});

describe('captures of one tip, and of many', () => {
  it('one label, or none, is an ordinary capture: it has its curve', () => {
    const one = turns([
      ['A', 25],
      ['A', 25],
    ]);
    expect(one.several).toBeNull();
    expect(one.analysis.curve).not.toBeNull();
    const none = analysed(
      scaleCapture({
        pours: [{ start_s: 20, stop_s: 50, flow_g_per_s: 25 }],
        until_s: 70,
        marks: [[1, 'setting 275790']],
      }),
    );
    expect(none.several).toBeNull();
    expect(none.labels).toEqual([null]);
    expect(none.analysis.curve).not.toBeNull();
  });

  it('three labels are a set, each against the mean of all', () => {
    const { several } = turns([
      ['1', 25],
      ['2', 28],
      ['3', 25],
    ]);
    if (several?.kind !== 'set' || several.compared === null) throw new Error('no set');
    expect(several.compared.mean_m3_per_s * 998.2e3).toBeCloseTo(26 * 1.00105, 1);
    expect(several.compared.members[1]!.againstMean.ratio).toBeCloseTo(28 / 26, 2);
    expect(several.compared.repeat).toBeNull();
  });

  it('of a boom the first position caught again at the end is its repeat, also of a boom of two', () => {
    const boom = (again: number) =>
      turns(
        [
          ['1', 25],
          ['2', 25],
          ['1', again],
        ],
        { routine: 'boom' },
      ).several;
    const [still, moved] = [boom(25), boom(24)];
    if (still?.kind !== 'set' || moved?.kind !== 'set') throw new Error('no set');
    expect(still.compared!.members.map((m) => m.catches)).toEqual([1, 1]);
    expect(still.compared!.repeat!.verdict).toBe('none-seen');
    expect(moved.compared!.repeat!.verdict).toBe('different');
    expect(moved.compared!.repeat!.ratio).toBeCloseTo(24 / 25, 2);
  });
});

describe('tips caught at different settings', () => {
  const SETTINGS = ['setting 137895', 'setting 275790'] as const;
  /** Each tip at a setting of its own: at one pressure they would give the same. */
  const at = (labels: readonly string[], header: Record<string, string> = {}) =>
    turns(
      labels.map((label) => [label, label === 'A' ? 25 : 25 * Math.SQRT2] as const),
      header,
      labels.map((label, i) => [17 + i * (SPRAY_S + GAP_S), label === 'A' ? SETTINGS[0] : SETTINGS[1]]),
    );

  it('are not compared: the pressure differed', () => {
    const two = at(['A', 'B', 'B', 'A']);
    expect(two.several).toMatchObject({
      kind: 'two',
      compared: null,
      comparedBecause: 'tips-at-several-settings',
    });
    expect(two.analysis.catches.every((one) => one.flow_m3_per_s !== null)).toBe(true);
    for (const set of [at(['A', 'B', 'C']), at(['A', 'B', 'A'], { routine: 'boom' })]) {
      expect(set.several).toMatchObject({
        kind: 'set',
        compared: null,
        comparedBecause: 'tips-at-several-settings',
      });
    }
  });

  it('are compared at one pressure where a sensor read every catch, and not where it missed one', () => {
    const read = (labels: readonly string[], header: Record<string, string> = {}) => {
      const { analysis } = at(labels, header);
      const catches = analysis.catches.map((one) => ({ ...one, pressure_Pa: one.setting_Pa }));
      return { catches, labels, header };
    };
    const of = ({ catches, labels }: ReturnType<typeof read>) => severalTips(catches, labels, {});
    const two = of(read(['A', 'B', 'B', 'A']));
    if (two?.kind !== 'two' || two.compared === null) throw new Error('not compared');
    expect(Math.abs(two.compared.ratio - 1)).toBeLessThan(0.005);
    const three = of(read(['A', 'B', 'C']));
    if (three?.kind !== 'set' || three.compared === null) throw new Error('not compared');
    for (const { againstMean } of three.compared.members)
      expect(Math.abs(againstMean.ratio - 1)).toBeLessThan(0.005);
    const missed = read(['A', 'B', 'B', 'A']);
    const catches = missed.catches.map((one, i) => (i === 2 ? { ...one, pressure_Pa: null } : one));
    expect(severalTips(catches, missed.labels, {})).toMatchObject({
      comparedBecause: 'tips-at-several-settings',
    });
  });
});
