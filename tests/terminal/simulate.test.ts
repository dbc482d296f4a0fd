import { describe, expect, it } from 'vitest';
import { runSimulate } from '../../src/terminal/simulate.ts';

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

interface Truth {
  readonly start_s: number;
  readonly stop_s: number;
  readonly flow_m3_per_s: number;
  readonly setting_Pa?: number;
}

function truthOf(capture: string): Truth[] {
  return JSON.parse(/^# truth: (.*)$/m.exec(capture)?.[1] ?? '') as Truth[];
}

describe('npm run simulate', () => {
  it('writes a capture that says it is simulated, with the truth of every fill', () => {
    const { code, out, err } = run('--scenario', 'typical', '--seed', '7', '--fills', '10');
    expect(code).toBe(0);
    expect(err).toBe('');
    expect(out.startsWith('#catchbench-capture 1\n# instrument: scale\n')).toBe(true);
    expect(out).toContain('\n# simulated: true\n');
    const truth = truthOf(out);
    expect(truth).toHaveLength(10);
    for (const { start_s, stop_s, flow_m3_per_s } of truth) {
      expect(stop_s - start_s).toBeGreaterThan(19.9);
      expect(flow_m3_per_s).toBeGreaterThan(7.9e-6);
      expect(flow_m3_per_s).toBeLessThan(4.1e-5);
    }
  });

  it('keeps its lines in the order of arrival', () => {
    const { out } = run('--settings', '20,60psi', '--catches', '2', '--scenario', 'worst');
    const times = [...out.matchAll(/^(\d+\.\d+)\t/gm)].map(([, t]) => Number(t));
    expect(times.length).toBeGreaterThan(500);
    expect(times.every((t, i) => t >= (times[i - 1] ?? 0))).toBe(true);
  });

  it('gives the same capture for the same words and another for another seed', () => {
    const words = ['--settings', '2,3bar', '--instrument', 'bench-board', '--catches', '1'];
    expect(run(...words, '--seed', '3').out).toBe(run(...words, '--seed', '3').out);
    expect(run(...words, '--seed', '3').out).not.toBe(run(...words, '--seed', '4').out);
  });

  it('marks each setting before its catch, every setting as often as asked', () => {
    const { out } = run('--settings', '20,30,40psi', '--catches', '4', '--seed', '2');
    const truth = truthOf(out);
    const marks = [...out.matchAll(/^(\S+)\t!setting (\S+)$/gm)].map(
      ([, t, p]) => [Number(t), Number(p)] as const,
    );
    expect(marks).toHaveLength(12);
    truth.forEach((fill, i) => {
      const [at_s, pressure_Pa] = marks[i] ?? [NaN, NaN];
      expect(pressure_Pa).toBe(fill.setting_Pa);
      expect(at_s).toBeLessThan(fill.start_s);
      expect(at_s).toBeGreaterThan(truth[i - 1]?.stop_s ?? 0);
    });
    const psi = truth.map(({ setting_Pa }) => Math.round((setting_Pa ?? 0) / 6894.757293168));
    for (const setting of [20, 30, 40]) expect(psi.filter((x) => x === setting)).toHaveLength(4);
  });

  it('makes a worn tip give more than is stamped on it', () => {
    const words = ['--settings', '40psi', '--catches', '5', '--dial', '0psi', '--rated-flow', '1.5L/min'];
    const healthy = truthOf(run(...words).out);
    const worn = truthOf(run(...words, '--fault', 'worn:10%').out);
    healthy.forEach((fill, i) => {
      expect((worn[i]?.flow_m3_per_s ?? 0) / fill.flow_m3_per_s).toBeCloseTo(1.1, 4);
      // 1.5 L/min, less half a percent a minute of sag
      expect(Math.abs(fill.flow_m3_per_s / 2.5e-5 - 1)).toBeLessThan(0.004);
    });
  });

  it('refuses in plain words, exit code 2, nothing on standard output', () => {
    const wrong: [string[], RegExp][] = [
      [['--scenario', 'calm'], /no scenario "calm"/],
      [['--fills', 'ten'], /--fills needs a whole number/],
      [['--fills', '0'], /--fills needs a whole number from 1/],
      [['--fills'], /--fills needs a value/],
      [['--fills', '3', '--fills', '4'], /given twice/],
      [['--speed', '3'], /"--speed" is not an option/],
      [['--fault', 'worn:10%'], /needs --settings/],
      [['--settings', '20,30'], /no pressure/],
      [['--settings', '20,20psi'], /twice/],
      [['--settings', '20psi', '--fault', 'worn:110%'], /percent between/],
      [['--settings', '20psi', '--fault', 'rusty:1%'], /no fault "rusty"/],
      [['--settings', '20psi', '--fills', '2', '--catches', '2'], /not both/],
      [['--instrument', 'thumb'], /no instrument "thumb"/],
      [['--meter', '455'], /bench-board/],
      [['--instrument', 'bench-board', '--dialect', 'bare-number'], /--dialect belongs/],
      [['--settings', '20psi', '--rated-flow', '3 buckets'], /no flow/],
    ];
    for (const [argv, words] of wrong) {
      const { code, out, err } = run(...argv);
      expect(code, argv.join(' ')).toBe(2);
      expect(out).toBe('');
      expect(err).toMatch(words);
    }
  });

  it('lists its options', () => {
    const { code, out } = run('--help');
    expect(code).toBe(0);
    for (const option of ['--scenario', '--settings', '--fault']) expect(out).toContain(option);
  });
});
