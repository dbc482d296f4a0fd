import { describe, expect, it } from 'vitest';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import type { CaptureMark } from '../../src/signal/captures/mark.ts';
import { CaptureReader } from '../../src/signal/captures/read.ts';
import { readFault } from '../../src/terminal/fault-arguments.ts';
import { runSimulate } from '../../src/terminal/simulate.ts';

const PSI = 6894.757293168;

function run(...argv: string[]): { code: number; out: string; err: string } {
  let out = '';
  let err = '';
  const code = runSimulate(
    argv,
    (text) => (out += text),
    (text) => (err += text),
  );
  return { code, out, err };
}

const flows = (text: string): number[] =>
  (JSON.parse(/^# truth: (.*)$/m.exec(text)?.[1] ?? '[]') as { flow_m3_per_s: number }[]).map(
    (fill) => fill.flow_m3_per_s,
  );

describe('faults of npm run simulate', () => {
  it('reads each fault with its size', () => {
    expect(readFault('leaking:6%:0.5')).toEqual({ kind: 'leaking', share: 0.06, exponent: 0.5 });
    expect(readFault('check-valve:8psi')).toEqual({ kind: 'check-valve', opensAt_Pa: 8 * PSI });
    expect(readFault('dial-gain:-8%')).toEqual({ kind: 'dial-gain', share: -0.08 });
    expect(readFault('sag:3%')).toEqual({ kind: 'battery-sag', share: 0.03, per: 'sweep' });
    expect(readFault('sag:0.5%/min')).toEqual({ kind: 'battery-sag', share: 0.005, per: 'minute' });
    const hose = readFault('hose:300ft:0.5in:-2m');
    expect(hose).toEqual({
      kind: 'hose-loss',
      length_m: expect.closeTo(91.44, 9) as number,
      bore_m: expect.closeTo(0.0127, 9) as number,
      tipAboveGauge_m: -2,
    });
    expect(readFault('loss:6psi')).toEqual({ kind: 'pressure-loss', lost_Pa: 6 * PSI });
  });

  it('refuses what can not be meant, in plain words', () => {
    const wrong: [string, RegExp][] = [
      ['leaking:5%:2', /0.5 to 1.5/],
      ['hose:300ft', /no length/],
      ['hose:300ft:40ft', /no hose/],
      ['worn:10%:2', /more than this fault/],
      ['sag:3psi', /percent between/],
      ['rusty:1%', /no fault "rusty"/],
    ];
    for (const [text, words] of wrong) {
      const { code, out, err } = run('--settings', '20psi', '--fault', text);
      expect(code, text).toBe(2);
      expect(out).toBe('');
      expect(err).toMatch(words);
    }
    expect(run('--settings', '20psi', '--reference', '0.4gpm').err).toMatch(/percent between/);
    expect(run('--settings', '20psi', '--reference-from', 'baseline').err).toMatch(/needs --reference/);
    expect(run('--settings', '20psi', '--rig-checks', 'kick-it').err).toMatch(/no check "kick-it"/);
  });

  it('has several faults at once', () => {
    const words = ['--settings', '40psi', '--catches', '3', '--dial', '0psi', '--rated-flow', '1.5L/min'];
    const sound = flows(run(...words).out);
    const both = flows(run(...words, '--fault', 'worn:10%', '--fault', 'leaking:5%').out);
    expect(both).toHaveLength(3);
    both.forEach((flow, i) => expect(flow / (sound[i] ?? 0)).toBeCloseTo(1.15, 4));
  });

  it('lets the battery fall over the sweep, in the order of the catches', () => {
    const words = ['--settings', '40psi', '--catches', '6', '--dial', '0psi', '--rated-flow', '1.5L/min'];
    const sound = flows(run(...words).out);
    const sagging = flows(run(...words, '--fault', 'sag:6%').out).map((flow, i) => flow / (sound[i] ?? 0));
    expect(sagging[0]).toBeCloseTo(1, 9);
    expect(sagging.at(-1)).toBeCloseTo(Math.sqrt(0.94), 4);
    expect(sagging.every((ratio, i) => i === 0 || ratio < (sagging[i - 1] ?? 0))).toBe(true);
  });

  it('writes a reference and the marks of checks, so that a finding can be scored', () => {
    const { out } = run(
      ...[
        '--settings',
        '20,40,60psi',
        '--catches',
        '1',
        '--rated-flow',
        '0.4gpm',
        '--fault',
        'dial-high:4psi',
      ],
      ...['--reference', '0.4gpm:1%', '--reference-from', 'baseline', '--rig-checks', 'all'],
    );
    let header: CaptureHeader = { instrument: 'scale', unknown: {} };
    const marks: CaptureMark[] = [];
    const reader = new CaptureReader({
      header: (read) => {
        header = read;
      },
      line: () => undefined,
      mark: (_, mark) => marks.push(mark),
    });
    reader.push(out);
    expect(reader.finish().ok).toBe(true);
    expect(header.referenceNozzleConstant_m3_per_s_per_sqrtPa).toBeCloseTo(
      (0.4 * 3.785411784e-3) / 60 / Math.sqrt(40 * PSI),
      14,
    );
    expect(header.referenceRelativeStandardUncertainty).toBe(0.01);
    expect(header.referenceFrom).toBe('baseline');
    const checks = marks.filter((mark) => mark.kind === 'rig-check');
    expect(checks.map((mark) => mark.check).sort()).toEqual([
      'blank-tip',
      'dial-at-zero',
      'flow-stops-at',
      'sag-test',
      'wand-gauge',
    ]);
    const zero = checks.find((mark) => mark.check === 'dial-at-zero');
    expect(Math.abs((zero?.value ?? 0) / PSI - 4)).toBeLessThan(4 * 0.7);
  });

  it('lists the faults in its help', () => {
    const { out } = run('--help');
    for (const word of ['check-valve:8psi', 'sag:3%', 'hose:300ft:0.5in', 'dial-gain:8%', '--reference'])
      expect(out).toContain(word);
  });
});
