import { mkdtempSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { CaptureAnalyser } from '../../src/analysis/sweep/capture-analyser.ts';
import type { Analysis } from '../../src/analysis/sweep/analysis.ts';
import { simulateCapture } from '../../src/simulation/simulated-capture.ts';
import type { CaptureRequest } from '../../src/simulation/simulated-capture.ts';
import { scaleDialects } from '../../src/simulation/scale-voice.ts';
import { main } from '../../src/terminal/analyse.ts';
import type { AnalysisWithBudget } from '../../src/terminal/analyse.ts';
import { sealBenchSentence } from '../../src/signal/lines/crc16.ts';
import { shapeFaults } from '../analysis/sweep/documented-shape.ts';

const PSI = 6894.757293168;
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'catchbench-analyse-'));
});
afterAll(() => rmSync(folder, { recursive: true }));

async function analyse(
  ...argv: string[]
): Promise<{ code: number; out: string; told: string; lines: unknown[] }> {
  let out = '';
  let told = '';
  const code = await main(
    argv,
    (text) => (out += text),
    (text) => (told += text),
  );
  const lines = argv.includes('--pretty')
    ? []
    : out
        .split('\n')
        .filter(Boolean)
        .map((line) => JSON.parse(line) as unknown);
  return { code, out, told, lines };
}

function saved(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

interface Truth {
  readonly start_s: number;
  readonly stop_s: number;
  readonly flow_m3_per_s: number;
}
const truthOf = (text: string): Truth[] => JSON.parse(/^# truth: (.*)$/m.exec(text)![1]!) as Truth[];

const sweep = (instrument: CaptureRequest['instrument']): string =>
  simulateCapture({
    scenario: 'typical',
    seed: 41,
    fills: 6,
    instrument,
    sweep: { settings_Pa: [20 * PSI, 40 * PSI, 60 * PSI] },
  });

describe('analyse --budget', () => {
  it('adds one member to each object, only when asked, and changes nothing else', async () => {
    const path = saved('budget.txt', sweep({ kind: 'scale' }));
    const plain = await analyse(path);
    const asked = await analyse('--budget', path, 'not-there.txt');
    expect(asked.code).toBe(1);
    const { budget, ...rest } = asked.lines[0] as AnalysisWithBudget;
    expect(`${JSON.stringify(rest)}\n`).toBe(plain.out);
    expect(plain.out).not.toContain('budget"');
    expect(asked.lines[1]).toMatchObject({ refused: 'file-not-found' });
    expect(budget.catches).toHaveLength(rest.catches.length);
    rest.catches.forEach((c, i) => {
      expect(budget.catches[i]!.value).toBe(c.flow_m3_per_s);
      expect(budget.catches[i]!.expandedUncertainty95 / c.expandedUncertainty95_m3_per_s!).toBeCloseTo(1, 12);
    });
    expect(budget.nozzleConstant!.value).toBe(rest.curve!.nozzleConstant_m3_per_s_per_sqrtPa);
    expect(budget.ratioToRated).toBeNull();
  });
});

describe('npm run analyse', () => {
  it('a reference or a bore beyond all sense is refused by name, and the files after it are analysed', async () => {
    const text = sweep({ kind: 'scale' });
    const told = (key: string, value: string): string => text.replace('\n', `\n# ${key}: ${value}\n`);
    const absurd = ([key, value]: readonly [string, string]): string =>
      saved(`${key}-${value}.txt`, told(key, value));
    const keys = [
      ['referenceNozzleConstant_m3_per_s_per_sqrtPa', '1e-300'],
      ['referenceNozzleConstant_m3_per_s_per_sqrtPa', '0.9'],
      ['hoseBore_m', '1e-300'],
    ] as const;
    const { code, lines } = await analyse(...keys.map(absurd), saved('good.txt', text));
    expect(code).toBe(1);
    for (const [i, [key]] of keys.entries())
      expect(lines[i]).toMatchObject({ refused: 'capture-header-wrong', facts: { key } });
    expect((lines[3] as Analysis).catches).toHaveLength(6);
  });

  it('a mistake of ours with one file loses none of the others', async () => {
    const text = sweep({ kind: 'scale' });
    const [first, second] = [saved('first.txt', text), saved('second.txt', text)];
    const broken = vi.spyOn(CaptureAnalyser.prototype, 'finish').mockImplementationOnce(() => {
      throw new RangeError('made to break');
    });
    const { code, lines } = await analyse(first, second);
    broken.mockRestore();
    expect(code).toBe(1);
    expect(lines[0]).toMatchObject({ refused: 'analysis-failed', facts: { said: 'made to break' } });
    expect((lines[1] as Analysis).catches).toHaveLength(6);
  });

  it.each(scaleDialects)(
    'reads the %s dialect of a scale and finds every fill within four of its own u',
    async (dialect) => {
      const text = sweep({ kind: 'scale', dialect });
      const { code, lines } = await analyse(saved(`${dialect}.txt`, text));
      const analysis = lines[0] as Analysis;
      expect(code).toBe(0);
      expect(shapeFaults(analysis)).toEqual([]);
      scored(analysis, truthOf(text));
    },
  );

  it('reads a bench board, shows its clock’s ratio and finds every fill', async () => {
    const text = sweep({ kind: 'bench-board' });
    const { lines } = await analyse(saved('board.txt', text));
    const analysis = lines[0] as Analysis;
    expect(shapeFaults(analysis)).toEqual([]);
    expect(analysis.clockRatioStandardUncertainty).toBeLessThan(1e-4);
    scored(analysis, truthOf(text));
  });

  it('reads a meter and a sensor: pressure beside every catch', async () => {
    const text = sweep({
      kind: 'bench-board',
      meterPulsesPerCubicMetre: 455e3,
      pressureFullScale_Pa: 1034214,
    });
    const analysis = (await analyse(saved('sensor.txt', text))).lines[0] as Analysis;
    for (const caught of analysis.catches) {
      expect(Math.abs(caught.pressure_Pa! / caught.setting_Pa! - 1)).toBeLessThan(0.25);
    }
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('takes the flow from the pulses of a board without a load cell', async () => {
    const text = sweep({ kind: 'bench-board', meterPulsesPerCubicMetre: 455e3 });
    const truth = truthOf(text);
    const analysis = (await analyse(saved('no-cell.txt', withoutLoadCell(text)))).lines[0] as Analysis;
    expect(analysis.warnings).toContain('meter-not-checked');
    expect(analysis.catches).toHaveLength(truth.length);
    // A check at one flow knows the factor and no offset.
    const checked = withoutLoadCell(text).replace(
      '# wand:',
      '# pulsesPerLitreStandardUncertainty: 0.6\n# wand:',
    );
    expect(checked).toContain('pulsesPerLitreStandardUncertainty');
    expect(((await analyse(saved('one-flow.txt', checked))).lines[0] as Analysis).warnings).not.toContain(
      'meter-not-checked',
    );
    analysis.catches.forEach((caught, i) => {
      expect(caught).toMatchObject({ flowFrom: 'pulses', mass_kg: null, massBecause: 'no-mass' });
      expect(Math.abs(caught.flow_m3_per_s! / truth[i]!.flow_m3_per_s - 1)).toBeLessThan(0.02);
    });
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('prints one object a file in the order of the arguments, goes on after a refusal and ends with 1', async () => {
    const good = saved('good.txt', sweep({ kind: 'scale' }));
    const bad = saved('bad.txt', 'to be or not to be\n');
    const newer = saved('newer.txt', '#catchbench-capture 2\n');
    const { code, lines } = await analyse(bad, join(folder, 'nothing.txt'), good, newer);
    expect(code).toBe(1);
    expect(lines.map((line) => (line as { refused?: string }).refused)).toEqual([
      'not-a-capture',
      'file-not-found',
      undefined,
      'capture-version-newer',
    ]);
    expect(lines[3]).toMatchObject({ facts: { found: 2, known: 1 } });
    expect((lines[2] as Analysis).file).toBe(good);
  });

  it('refuses over 512 MB with both sizes, without reading it', async () => {
    const path = saved('big.txt', '#catchbench-capture 1\n');
    truncateSync(path, 512_000_001);
    const { code, lines } = await analyse(path);
    expect(code).toBe(1);
    expect(lines[0]).toMatchObject({
      refused: 'capture-too-big',
      facts: { size_bytes: 512_000_001, limit_bytes: 512_000_000 },
    });
  });

  it('keeps what a capture cut short holds, and says that it was', async () => {
    const text = sweep({ kind: 'scale' });
    const { code, lines } = await analyse(saved('cut.txt', text.slice(0, Math.floor(text.length * 0.6))));
    const analysis = lines[0] as Analysis;
    expect(code).toBe(0);
    expect(analysis.warnings).toContain('capture-cut-short');
    expect(analysis.catches.length).toBeGreaterThan(1);
    expect(shapeFaults(analysis)).toEqual([]);
  });

  it('prints for people with --pretty, nothing but JSON, and the same object', async () => {
    const path = saved('pretty.txt', sweep({ kind: 'scale' }));
    const [plain, pretty] = [await analyse(path), await analyse('--pretty', path)];
    expect(pretty.out).toMatch(/^\{\n {2}"format"/);
    expect(JSON.parse(pretty.out)).toEqual(plain.lines[0]);
  });

  it('asks for a file if none is named, and knows no other option', async () => {
    expect(await analyse()).toMatchObject({ code: 1, out: '' });
    const wrong = await analyse('--fancy', 'x.txt');
    expect(wrong).toMatchObject({ code: 1, out: '' });
    expect(wrong.told).toContain('--fancy');
  });

  it('finds a file from the caller’s folder when npm has moved to its own', async () => {
    saved('here.txt', sweep({ kind: 'scale' }));
    const before = { name: process.env['npm_lifecycle_event'], from: process.env['INIT_CWD'] };
    process.env['npm_lifecycle_event'] = 'analyse';
    process.env['INIT_CWD'] = folder;
    try {
      const { code, lines } = await analyse('here.txt');
      expect(code).toBe(0);
      expect((lines[0] as Analysis).file).toBe('here.txt');
    } finally {
      restore('npm_lifecycle_event', before.name);
      restore('INIT_CWD', before.from);
    }
  });
});

function restore(name: string, value: string | undefined): void {
  if (value === undefined) Reflect.deleteProperty(process.env, name);
  else process.env[name] = value;
}

/** Every fill found once, with its setting, and its flow within four standard uncertainties and the jet's drift. */
function scored(analysis: Analysis, truth: readonly Truth[]): void {
  expect(analysis.catches.map((c) => c.voidBecause)).toEqual(truth.map(() => null));
  analysis.catches.forEach((caught, i) => {
    const error = caught.flow_m3_per_s! - truth[i]!.flow_m3_per_s;
    expect(Math.abs(error)).toBeLessThan(4 * caught.standardUncertainty_m3_per_s!);
    expect(caught.expandedUncertainty95_m3_per_s! / caught.flow_m3_per_s!).toBeLessThan(0.015);
    expect(caught.setting_Pa).not.toBeNull();
  });
}

/** The same board with no load cell answering: raw empty, flag 10, sealed anew. */
function withoutLoadCell(text: string): string {
  return text.replace(
    /\$S,(\d+),(\d+),-?\d+,(.*),[0-9A-F]{2}\*[0-9A-F]{4}/g,
    (_all, seq: string, t: string, rest: string) => sealBenchSentence(`S,${seq},${t},,${rest},10`),
  );
}
