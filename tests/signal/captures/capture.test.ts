import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { CAPTURE_LIMIT_BYTES, CaptureReader, refuseTooBig } from '../../../src/signal/captures/read.ts';
import { describeInstrument, type CaptureHeader } from '../../../src/signal/captures/header.ts';
import { markText, parseMark, type CaptureMark } from '../../../src/signal/captures/mark.ts';
import { HeaderParser } from '../../../src/signal/captures/parse-header.ts';
import { captureDataLine, captureHeaderText, captureMarkLine } from '../../../src/signal/captures/write.ts';

interface Found {
  readonly headers: CaptureHeader[];
  readonly happened: (readonly [number, string | CaptureMark])[];
}

function read(...pieces: string[]) {
  const found: Found = { headers: [], happened: [] };
  const reader = new CaptureReader({
    header: (header) => found.headers.push(header),
    line: (arrival_s, line) => found.happened.push([arrival_s, line]),
    mark: (at_s, mark) => found.happened.push([at_s, mark]),
  });
  for (const piece of pieces) reader.push(piece);
  return { ...found, outcome: reader.finish() };
}

const documented = `#catchbench-capture 1
# instrument: scale
# startedAt: 2026-05-04T09:12:00Z
# unit: g
# waterTemperature_degC: 18
# averagedReadings: 4
# scaleFactorFrom: mass-pieces
# settingStandardUncertainty_Pa: 10342
# settingProtocol: set-once
# wand: guided
# tip: left knapsack
# ratedFlow_m3_per_s: 2.5236e-5
# ratedPressure_Pa: 275790
# referenceNozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8
# referenceRelativeStandardUncertainty: 0.01
# sweepId: abc
# simulated: true
# truth: [{"start_s":4.3}]
0.0000	  512.0 g
0.1031	  512.0 g
4.2100	!setting 275790
`;

describe('a capture', () => {
  test('is read as documented, header, lines and marks', () => {
    const { headers, happened, outcome } = read(documented);
    expect(headers).toEqual([
      {
        instrument: 'scale',
        startedAt: '2026-05-04T09:12:00Z',
        unit: 'g',
        waterTemperature_degC: 18,
        averagedReadings: 4,
        scaleFactorFrom: 'mass-pieces',
        settingStandardUncertainty_Pa: 10342,
        settingProtocol: 'set-once',
        wand: 'guided',
        tip: 'left knapsack',
        ratedFlow_m3_per_s: 2.5236e-5,
        ratedPressure_Pa: 275790,
        referenceNozzleConstant_m3_per_s_per_sqrtPa: 4.8e-8,
        referenceRelativeStandardUncertainty: 0.01,
        sweepId: 'abc',
        simulated: true,
        unknown: { truth: '[{"start_s":4.3}]' },
      },
    ]);
    expect(happened).toEqual([
      [0, '  512.0 g'],
      [0.1031, '  512.0 g'],
      [4.21, { kind: 'setting', pressure_Pa: 275790 }],
    ]);
    expect(outcome).toEqual({
      ok: true,
      value: {
        lines: 2,
        marks: 1,
        unknownMarks: 0,
        malformedLines: 0,
        firstMalformedLine: null,
        cutShort: false,
        firstArrival_s: 0,
        lastArrival_s: 0.1031,
        warnings: [],
      },
    });
  });

  test('written again has the same header, byte for byte after the first time', () => {
    const [header] = read(documented).headers;
    const written = captureHeaderText(header!);
    expect(read(written).headers).toEqual([header]);
    expect(captureHeaderText(read(written).headers[0]!)).toBe(written);
    expect(written.split('\n').slice(0, 4)).toEqual(documented.split('\n').slice(0, 4));
  });

  test('keeps every mark', () => {
    const marks: CaptureMark[] = [
      { kind: 'setting', pressure_Pa: 206842.71879504 },
      { kind: 'plan-one-pour', pressures_Pa: [1e5, 2e5, 3e5] },
      { kind: 'struck', start_s: 4.312345678901234 },
      { kind: 'undo-struck', start_s: 4.312345678901234 },
      { kind: 'gap', reason: 'device-lost' },
      { kind: 'note', text: 'hose kinked,\nthen straight; 20 °C \\ !' },
      { kind: 'unknown', text: 'colour blue' },
    ];
    const text = captureHeaderText({ instrument: 'scale', unknown: {} });
    const { happened, outcome } = read(text + marks.map((mark) => captureMarkLine(1.5, mark)).join(''));
    expect(happened).toEqual(marks.map((mark) => [1.5, mark]));
    expect(outcome).toMatchObject({ value: { unknownMarks: 1, warnings: ['unknown-mark'] } });
  });

  test.each([
    'setting -5',
    'setting 0',
    'setting 1e12',
    'setting',
    'setting 2 psi',
    'plan one-pour',
    'plan one-pour 1 x',
    'struck soon',
  ])('keeps a mark that can not be meant as unknown: !%s', (text) => {
    expect(read(`#catchbench-capture 1\n# instrument: scale\n1.000\t!${text}\n`).happened).toEqual([
      [1, { kind: 'unknown', text }],
    ]);
  });

  test('takes a gap with a reason of a later version for a gap all the same', () => {
    const { happened } = read('#catchbench-capture 1\n# instrument: scale\n1.000\t!gap meteor\n');
    expect(happened).toEqual([[1, { kind: 'gap', reason: 'lines-lost' }]]);
  });

  test('brings any bytes at any times back, however the file is cut into pieces (fast-check, seed 20261125)', () => {
    const line = fc.record({
      step_us: fc.integer({ min: 0, max: 2_000_000 }),
      bytes: fc.uint8Array({ maxLength: 30 }),
    });
    fc.assert(
      fc.property(fc.array(line, { maxLength: 10 }), fc.integer({ min: 1, max: 50 }), (lines, size) => {
        let time_us = 0;
        const written = lines.map(({ step_us, bytes }) => {
          time_us += step_us;
          return { arrival_s: time_us / 1e6, line: String.fromCharCode(...bytes), cut: false };
        });
        const text =
          captureHeaderText({ instrument: 'bench-board', tip: 'Düse', unknown: {} }) +
          written.map(captureDataLine).join('');
        const pieces = Array.from({ length: Math.ceil(text.length / size) }, (_, i) =>
          text.slice(i * size, (i + 1) * size),
        );
        const { happened, outcome } = read(...pieces);
        expect(happened).toEqual(written.map((raw) => [raw.arrival_s, raw.line]));
        expect(outcome).toMatchObject({ ok: true, value: { lines: lines.length, cutShort: false } });
      }),
      { seed: 20261125, numRuns: 500 },
    );
  });

  test('writes arrival with three to six decimals', () => {
    const written = [0, 0.5, 4.21, 1.0031, 2.0000005].map((arrival_s) =>
      captureDataLine({ arrival_s, line: '', cut: false }),
    );
    expect(written).toEqual(['0.000\t\n', '0.500\t\n', '4.210\t\n', '1.0031\t\n', '2.000001\t\n']);
  });

  test('can not have a header line forged by the name of a tip', () => {
    const text = captureHeaderText({ instrument: 'scale', tip: 'a\n# unit: kg\r\n', unknown: {} });
    expect(read(text).headers).toEqual([{ instrument: 'scale', tip: 'a # unit: kg', unknown: {} }]);
  });
});

describe('a capture that is not whole', () => {
  test('loses only its last piece when it is cut short, anywhere, and says so (every cut of a small file)', () => {
    const headerEnd = documented.indexOf('0.0000');
    for (let cut = headerEnd; cut < documented.length; cut += 1) {
      const { happened, outcome } = read(documented.slice(0, cut));
      const whole = documented.slice(headerEnd, cut).split('\n').length - 1;
      expect(happened).toHaveLength(whole);
      const cutShort = documented[cut - 1] !== '\n';
      expect(outcome).toMatchObject({ value: { cutShort, warnings: cutShort ? ['capture-cut-short'] : [] } });
    }
  });

  test('never crashes wherever the header is cut', () => {
    for (let cut = 0; cut < 500; cut += 1) {
      const { outcome } = read(documented.slice(0, cut));
      const expected =
        cut === 0 ? 'capture-empty' : cut < 22 ? 'not-a-capture' : cut < 42 ? 'capture-header-wrong' : 'ok';
      expect(outcome.ok ? 'ok' : outcome.because).toBe(expected);
    }
  });

  test('skips and counts lines that are none, and lines that go back in time', () => {
    const { happened, outcome } = read(
      '#catchbench-capture 1\n# instrument: scale\n1.000\ta\nnonsense\n-1.000\tb\n0.999\tc\n1e3\td\n\n# late: 1\n1.000\te\n',
    );
    expect(happened).toEqual([
      [1, 'a'],
      [1, 'e'],
    ]);
    expect(outcome).toMatchObject({
      value: { malformedLines: 5, firstMalformedLine: 4, warnings: ['lines-refused'] },
    });
  });

  test('is read although an editor gave it a byte order mark and CRLF', () => {
    const { headers, happened, outcome } = read(`\ufeff${documented.replaceAll('\n', '\r\n')}`);
    expect(headers[0]?.unit).toBe('g');
    expect(happened).toHaveLength(3);
    expect(outcome).toMatchObject({ value: { malformedLines: 0, cutShort: false } });
  });

  test('holds no endless line: it is skipped and counted', () => {
    const pieces = Array.from({ length: 30 }, () => 'x'.repeat(100_000));
    const { happened, outcome } = read(
      '#catchbench-capture 1\n# instrument: scale\n',
      ...pieces,
      '\n2.000\ta\n',
    );
    expect(happened).toEqual([[2, 'a']]);
    expect(outcome).toMatchObject({ value: { malformedLines: 1, firstMalformedLine: 3 } });
  });
});

describe('a file is refused', () => {
  test.each([
    ['', { because: 'capture-empty' }],
    ['hello\n', { because: 'not-a-capture' }],
    ['time,mass\n0,1\n', { because: 'not-a-capture' }],
    ['\x89PNG\r\n\x1a\n', { because: 'not-a-capture' }],
    ['#catchbench-capture one\n', { because: 'not-a-capture' }],
    ['#catchbench-capture 0\n', { because: 'not-a-capture' }],
    ['#catchbench-capture 2\n# x: y\n', { because: 'capture-version-newer', facts: { found: 2, known: 1 } }],
    ['#catchbench-capture 1\n', { because: 'capture-header-wrong', facts: { key: 'instrument' } }],
  ])('when it is no capture of ours: %j', (text, refusal) => {
    expect(read(text).outcome).toMatchObject({ ok: false, ...refusal });
  });

  test('after a few characters, not after its first line end', () => {
    const reader = new CaptureReader({ header: () => 0, line: () => 0, mark: () => 0 });
    expect(reader.push('PK\x03\x04')).toMatchObject({ because: 'not-a-capture' });
    expect(reader.push('#catchbench-capture 1\n')).toMatchObject({ because: 'not-a-capture' });
  });

  test.each([
    'instrument: thermometer',
    'unit: stone',
    'waterTemperature_degC: 291',
    'waterTemperature_degC: warm',
    'waterTemperature_degC: NaN',
    'averagedReadings: 2.5',
    'averagedReadings: 0',
    'gramsPerCount: 0',
    'gramsPerCount: 1e400',
    'gramsPerCount: Infinity',
    'pulsesPerLitre: -455',
    'pressureFullScale_Pa: 0',
    'settingStandardUncertainty_Pa: -1',
    'ratedFlow_m3_per_s: 25',
    'ratedPressure_Pa: -275790',
    'referenceRelativeStandardUncertainty: 50',
    'simulated: maybe',
    'wand: shaky',
    'scaleFactorFrom: guess',
  ])('for a header value that can not be meant, key and line named: %s', (line) => {
    const text = `#catchbench-capture 1\n${line.startsWith('instrument') ? '' : '# instrument: scale\n'}# ${line}\n`;
    expect(read(text).outcome).toMatchObject({
      ok: false,
      because: 'capture-header-wrong',
      facts: { key: line.split(':')[0], line: line.startsWith('instrument') ? 2 : 3 },
    });
  });

  test('for two different values of one key', () => {
    const text = '#catchbench-capture 1\n# instrument: scale\n# unit: g\n# unit: kg\n';
    expect(read(text).outcome).toMatchObject({
      because: 'capture-header-wrong',
      facts: { key: 'unit', line: 4 },
    });
  });

  test('over 512 MB, with both sizes', () => {
    expect(refuseTooBig(CAPTURE_LIMIT_BYTES)).toBeNull();
    expect(refuseTooBig(CAPTURE_LIMIT_BYTES + 1)).toMatchObject({
      because: 'capture-too-big',
      facts: { size_bytes: 512_000_001, limit_bytes: 512_000_000 },
    });
  });
});

describe('an instrument described by a header', () => {
  test('is a scale with what a bare number means', () => {
    expect(describeInstrument({ instrument: 'scale', unit: 'lb', averagedReadings: 4, unknown: {} })).toEqual(
      {
        ok: true,
        value: { kind: 'scale', bareUnit: 'lb', averagedReadings: 4 },
      },
    );
  });

  test('is a board with its factors in SI', () => {
    const header: CaptureHeader = {
      instrument: 'bench-board',
      gramsPerCount: 0.25,
      pulsesPerLitre: 455,
      meterOffset_Hz: 0.4,
      pressureFullScale_Pa: 1034214,
      unknown: {},
    };
    expect(describeInstrument(header)).toEqual({
      ok: true,
      value: {
        kind: 'bench-board',
        kilogramsPerCount: 0.00025,
        countsAtZero: 0,
        averagedReadings: null,
        pulsesPerCubicMetre: 455000,
        meterOffset_Hz: 0.4,
        pressureFullScale_Pa: 1034214,
      },
    });
  });
});

describe('what a check found', () => {
  const keys = {
    standsOnScale: 'sprayer',
    rigKind: 'pumped-while-spraying',
    strokePeriod_s: 1.2,
    scaleFactor: 1.0021,
    scaleFactorRelativeStandardUncertainty: 0.0004,
    scaleFactorFound: 1.0021,
    pulsesPerLitreStandardUncertainty: 0.7,
    meterOffsetStandardUncertainty_Hz: 0.02,
    meterCorrelation: 0.9,
    meterReferenceRelativeStandardUncertainty: 0.0005,
    meterLowestFlow_m3_per_s: 8e-6,
    clockRatio: 1.0031,
    clockRatioStandardUncertainty: 2e-5,
    pressureZero_Pa: -1200,
    pressureGain: 1.013,
    pressureStandardUncertainty_Pa: 1500,
  } as const;

  it('stands in the header and comes back as it was written', () => {
    const text = captureHeaderText({ instrument: 'scale', ...keys, unknown: {} });
    const parser = new HeaderParser();
    text
      .split('\n')
      .slice(1, -1)
      .forEach((line, i) => expect(parser.take(line, i + 2)).toBeNull());
    expect(parser.finish(99)).toEqual({ ok: true, value: { instrument: 'scale', ...keys, unknown: {} } });
  });

  it.each([
    ['scaleFactor', '0'],
    ['meterCorrelation', '1.2'],
    ['rigKind', 'hovering'],
    ['strokePeriod_s', '-1'],
    ['meterLowestFlow_m3_per_s', '0'],
    ['pulsesPerLitre', '1e-300'],
    ['pressureFullScale_Pa', '1e-300'],
  ])('is refused where it can not be meant: %s %s', (key, value) => {
    expect(new HeaderParser().take(`# ${key}: ${value}`, 3)).toMatchObject({
      because: 'capture-header-wrong',
    });
  });

  it('comes as a mark while the capture runs', () => {
    const mark = { kind: 'scale-check', factor: 1.0007, relativeStandardUncertainty: 3e-4 } as const;
    expect(parseMark(markText(mark))).toEqual(mark);
    expect(parseMark('!scale-check 1')).toMatchObject({ kind: 'unknown' });
    expect(parseMark('!scale-check 0 0.1')).toMatchObject({ kind: 'unknown' });
    expect(parseMark('!scale-check 1 0.1 7')).toMatchObject({ kind: 'unknown' });
  });

  it.each([
    { check: 'dial-at-zero', value: -6900, standardUncertainty: 4800, at_Pa: null },
    { check: 'flow-stops-at', value: 55000, standardUncertainty: 0, at_Pa: null },
    { check: 'blank-tip', value: 1e-7, standardUncertainty: 2e-8, at_Pa: 413685 },
    { check: 'wand-gauge', value: 251000, standardUncertainty: 5000, at_Pa: 275790 },
    { check: 'sag-test', value: 0.021, standardUncertainty: 0.003, at_Pa: 275790, after_s: 152 },
  ] as const)('is a mark too where the rig was checked: $check', (found) => {
    const mark = { kind: 'rig-check', ...found } as const;
    expect(parseMark(markText(mark))).toEqual(mark);
  });

  it.each([
    'blank-tip 1e-7 2e-8',
    'blank-tip 1e-7 2e-8 at 0',
    'blank-tip 1 2e-8 at 413685',
    'dial-at-zero 1 2 at 3',
    'dial-at-zero 1',
    'dial-at-zero 1 -2',
    'dial-at-noon 1 2',
    'dial-at-zero 1e8 700',
    'dial-at-zero -172370 700',
    'dial-at-zero 0 1e8',
    'flow-stops-at 1e8 700',
    'wand-gauge 1e8 0 at 1',
    'wand-gauge -1 700 at 275790',
    'wand-gauge 413686 700 at 275790',
    'wand-gauge 1 2 by 3',
    'wand-gauge 1 2 at 3 after 4',
    'sag-test 0.02 0.003 at 275790',
    'sag-test 0.02 0.003 at 275790 after 0',
    'sag-test 2 0.003 at 275790 after 150',
  ])('is kept as unknown where it can not be meant: %s', (text) => {
    expect(parseMark(`!rig-check ${text}`)).toEqual({ kind: 'unknown', text: `rig-check ${text}` });
  });

  it('keeps the farthest that the checks themselves take: 25 psi at zero, half as much again at the wand', () => {
    for (const text of [
      'dial-at-zero 172368 700',
      'flow-stops-at 400000 7000',
      'wand-gauge 413685 700 at 275790',
      'wand-gauge 120000 700 at 20000',
      'wand-gauge 0 700 at 275790',
    ]) {
      expect(parseMark(`!rig-check ${text}`), text).toMatchObject({ kind: 'rig-check' });
    }
  });

  it('names the tip that gives the water, whatever its name holds', () => {
    const mark = { kind: 'tip', label: 'left é\\n\u0007 "2"' } as const;
    expect(markText(mark)).toMatch(/^!tip [ -~]+$/);
    expect(parseMark(markText(mark))).toEqual(mark);
  });
});
