import { expect, it } from 'vitest';
import { allRigReaders } from '../../src/analysis/rigs/all-rig-readers.ts';
import { provideRigReaders } from '../../src/analysis/rigs/rig-readers.ts';
import { LiveSweep } from '../../src/session/live-sweep.ts';
import type { SweepCommand } from '../../src/session/sweep-command.ts';
import { describeInstrument } from '../../src/signal/captures/describe-instrument.ts';
import type { CaptureHeader } from '../../src/signal/captures/header.ts';
import { createDecoder } from '../../src/signal/streams/decoder.ts';
import { benchLine } from '../builders/bench-lines.ts';
import { seeded } from '../builders/seeded.ts';
import { aSetup, psi } from '../builders/setup.ts';

provideRigReaders(allRigReaders);

it('every point of a falling pour is withdrawn when it was a hand that leaned on the pail', () => {
  const gramsPerCount = 0.01;
  const header: CaptureHeader = {
    instrument: 'bench-board',
    gramsPerCount,
    averagedReadings: 1,
    pressureFullScale_Pa: psi(100)[0]!,
    rigKind: 'pumped-up',
    wand: 'guided',
    unknown: {},
  };
  const live = new LiveSweep({
    setup: aSetup({ rig: { ...aSetup().rig, kind: 'pumped-up' }, settings_Pa: psi(30) }),
    order: psi(30, 30),
    header,
  });
  const commands: SweepCommand[] = [...live.begin(0)];
  const described = describeInstrument(header);
  if (!described.ok) throw new Error(described.because);
  const decoder = createDecoder(described.value);
  const noise = seeded(4);
  /** Leant on ever harder for 30 s, held for 4 s, let go. */
  const grams = (t: number): number => 500 + (t < 40 ? 6 * Math.min(30, Math.max(0, t - 5)) : 0);
  for (let i = 0; i < 550; i++) {
    const arrival_s = i / 10;
    const raw_counts = Math.round((grams(arrival_s) + 0.3 * (noise() - 0.5)) / gramsPerCount);
    const line = benchLine({ seq: i, t_us: i * 1e5, raw: raw_counts, adc: 12000 });
    const raw = { arrival_s, line, cut: false };
    commands.push(...live.accept(raw, decoder.decode(raw)));
  }
  const kept = commands.filter((command) => command.kind === 'catch-closed');
  const withdrawn = commands.flatMap((one) => (one.kind === 'catch-withdrawn' ? [one.start_s] : []));
  expect(kept.length).toBeGreaterThan(1);
  expect(withdrawn).toHaveLength(kept.length);
  expect(new Set(withdrawn).size).toBe(kept.length);
  expect(live.view().catches).toEqual([]);
});
