import { describe, expect, it } from 'vitest';
import { ClockCheckSession } from '../../../src/session/checks/clock-check-session.ts';
import {
  checkPressurePlan,
  PressureCheckSession,
} from '../../../src/session/checks/pressure-check-session.ts';
import { guidedCheck } from './guided-check.ts';

const board = {
  instrument: 'bench-board',
  scenario: 'typical80',
  pressureFullScale_Pa: 1_034_214,
} as const;

describe('a check of the board’s clock', () => {
  it('takes a minute and finds the resonator’s error', () => {
    const session = new ClockCheckSession();
    const check = guidedCheck(() => session, board);
    check.run(50);
    expect(session.isOver).toBe(false);
    expect(session.view().secondsLeft).toBeGreaterThan(5);
    check.run(20);
    const { result } = session.view();
    if (result?.kind !== 'clock') throw new Error('no result');
    // The truth is the board's own: the same clock maps the whole stream.
    expect(Math.abs(result.ratio - 1)).toBeLessThan(0.0055);
    expect(result.standardUncertainty).toBeLessThan(5e-4);
    expect(check.said.map((prompt) => prompt.kind)).toEqual(['leave-alone', 'check-done']);
  });

  it('says at once that a scale has none', () => {
    const session = new ClockCheckSession();
    guidedCheck(() => session).run(5);
    expect(session.view().failed).toMatchObject({ because: 'device-has-no-clock' });
  });
});

describe('a check of the pressure sensor', () => {
  const plan = { known_Pa: 400_000, knownStandardUncertainty_Pa: 2_000, fullScale_Pa: 1_034_214 };

  it('sees open to air and the known pressure by itself', () => {
    const session = new PressureCheckSession(plan);
    const check = guidedCheck(() => session, {
      ...board,
      dial: { protocol: 're-set', standardDeviation_Pa: 1 },
    });
    check.run(120);
    const { result } = session.view();
    if (result?.kind !== 'pressure') throw new Error(session.view().failed?.because ?? 'no result');
    expect(Math.abs(result.zero_Pa)).toBeLessThan(500);
    expect(result.gain).toBeCloseTo(1, 3);
    expect(result.standardUncertainty_Pa).toBeGreaterThanOrEqual(2_000);
  });

  it('gives up on a sensor that shows no zero, and says how far off it is', () => {
    const session = new PressureCheckSession(plan);
    const check = guidedCheck(() => session, board);
    check.hears = () => null;
    check.bench.setDial(300_000);
    check.run(80);
    expect(session.view().failed).toMatchObject({ because: 'pressure-zero-off' });
  });

  it.each([
    ['pressure-points-too-close', 50_000],
    ['pressure-points-too-close', 0],
    ['pressure-points-too-close', -5],
    ['pressure-beyond-sensor', 2e6],
  ] as const)('refuses what was typed, before the pump runs: %s', (because, known_Pa) => {
    expect(checkPressurePlan({ ...plan, known_Pa })).toMatchObject({ because });
  });
});
