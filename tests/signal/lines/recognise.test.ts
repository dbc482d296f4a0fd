import { describe, expect, test } from 'vitest';
import { InstrumentRecogniser, type Recognition } from '../../../src/signal/lines/recognise.ts';
import { benchLine } from '../../builders/bench-lines.ts';
import { seeded } from '../../builders/seeded.ts';

function hear(lines: readonly string[]): Recognition {
  const recogniser = new InstrumentRecogniser();
  let recognition: Recognition = { kind: 'undecided' };
  for (const line of lines) recognition = recogniser.take({ arrival_s: 0, line, cut: false });
  return recognition;
}

const times = (count: number, line: string) => Array<string>(count).fill(line);

describe('what speaks is recognised', () => {
  test('as a bench board by two good sentences, boot text before them or not', () => {
    expect(hear(['hello', benchLine({ seq: 1, t_us: 1 })])).toEqual({ kind: 'undecided' });
    expect(hear(['hello', benchLine({ seq: 1, t_us: 1 }), benchLine({ seq: 2, t_us: 2 })])).toEqual({
      kind: 'bench-board',
    });
  });

  test('as a scale by five lines of one shape, with its unit or the lack of one', () => {
    expect(hear(times(4, 'ST,GS,+ 1.25 kg'))).toEqual({ kind: 'undecided' });
    expect(hear(times(5, 'ST,GS,+ 1.25 kg'))).toEqual({ kind: 'scale', unit: 'kg' });
    expect(hear(times(5, '  512.0'))).toEqual({ kind: 'scale', unit: null });
  });

  test('not as a scale while unit or decimals change from line to line', () => {
    expect(hear(['1 g', '1.0 g', '1 kg', '1 g', '1.00 g', '2 g'])).toEqual({ kind: 'undecided' });
  });

  test('as noise of a wrong baud rate, not as a scale (seeds 0-49)', () => {
    for (let seed = 0; seed < 50; seed += 1) {
      const random = seeded(seed);
      const lines = Array.from({ length: 40 }, () =>
        Array.from({ length: 1 + Math.floor(random() * 12) }, () => String.fromCharCode(256 * random())).join(
          '',
        ),
      );
      expect(hear(lines)).toMatchObject({ kind: 'refused', refusal: { because: 'wrong-baud-likely' } });
    }
  });

  test('as another device when its lines are clean but say no weight', () => {
    expect(hear(times(40, '$XXABC,123519,4807.038,N*47'))).toMatchObject({
      kind: 'refused',
      refusal: { because: 'not-an-instrument-we-read' },
    });
    expect(hear(times(40, '12.5 ct'))).toMatchObject({
      refusal: { because: 'not-an-instrument-we-read', facts: { linesHeard: 40, printableShare: 1 } },
    });
  });
});
