import { describe, expect, it, vi } from 'vitest';
import { captureHeaderText, captureMarkLine } from '../../../src/signal/captures/write.ts';
import type { CaptureHeader } from '../../../src/signal/captures/header.ts';
import type { ScaleCheckMark } from '../../../src/session/sweep.ts';
import type { CheckRequest } from '../../../web/contract.ts';
import { headerOfChecks } from '../../../web/worker/checks/header-of-checks.ts';
import { InstrumentChecks, type SweepToCheck } from '../../../web/worker/checks/instrument-checks.ts';
import type { Source } from '../../../web/worker/device/source.ts';
import { memoryStore } from '../../../web/worker/storage/memory-store.ts';
import { anId } from '../../records/build-records.ts';

vi.mock('../../../web/worker/app-version.ts', () => ({ APP_VERSION: 'under test' }));

const weight: CheckRequest = {
  kind: 'scale',
  limit_kg: 30,
  references: [{ kind: 'mass-pieces', mass_kg: 10, standardUncertainty_kg: 1e-3 }],
};
const jug: CheckRequest = {
  kind: 'scale',
  limit_kg: 30,
  references: [
    { kind: 'water-volume', volume_m3: 10e-3, standardUncertainty_m3: 1e-7, temperature_degC: 20 },
  ],
};

/** A bench whose scale shows true mass over `factor`, to the gram, and a session of checks on it. */
function aBench() {
  let now_s = 0;
  const told: string[] = [];
  const source: Source = {
    description: { kind: 'scale', bareUnit: 'kg', averagedReadings: 1 },
    simulated: true,
    trueNozzleConstant_m3_per_s_per_sqrtPa: null,
    headerFacts: {},
    start: () => Promise.resolve({ ok: true, value: true }),
    follow: (prompt) => void told.push(prompt.kind),
    now_s: () => now_s,
    close: () => Promise.resolve(),
  };
  const session = () =>
    new InstrumentChecks(source, {
      store: memoryStore(),
      announce: () => undefined,
      changed: () => undefined,
    });
  /** `true_kg` of what is asked for stands on it until it is asked off again. */
  async function checked(
    checks: InstrumentChecks,
    factor: number,
    sweep: SweepToCheck | null,
    request = weight,
    true_kg = 10,
  ) {
    expect(await checks.begin(request, sweep)).toEqual({ ok: true, value: true });
    let on_kg = 0;
    for (const end_s = now_s + 300; now_s < end_s && checks.isRunning; now_s += 0.1) {
      const kind = checks.prompt?.kind;
      if (kind === 'put-on') on_kg = true_kg;
      if (kind === 'take-off' || kind === 'clear-scale') on_kg = 0;
      const mass_kg = Math.round((on_kg / factor) * 1e3) / 1e3;
      const reading = {
        time_s: now_s,
        arrival_s: now_s,
        device_s: null,
        mass_kg,
        state: 'ok' as const,
        stable: null,
        net: null,
        step_kg: 1e-3,
        pulses: null,
        edge_s: null,
        supplyFraction: null,
      };
      checks.accept([{ kind: 'reading', reading }]);
    }
    const { result } = checks.view!;
    if (result?.kind !== 'scale') throw new Error(JSON.stringify(checks.view));
    return { result, decisions: checks.view!.decisions };
  }
  return { session, checked, told };
}

/** A finished sweep as far as checks touch it: what its header said, and what has been marked since. */
function aSweep(header: Partial<CaptureHeader> = {}) {
  const marked: ScaleCheckMark[] = [];
  const sweep: SweepToCheck = {
    sweepId: anId(1),
    headerText: captureHeaderText({ instrument: 'scale', ...header, unknown: {} }),
    get marks() {
      return marked.map((mark) => captureMarkLine(9, mark)).join('');
    },
    captureText: () => Promise.resolve(''),
    scaleChecked: (mark) => {
      if (mark.kind === 'scale-check') marked.push(mark);
    },
  };
  return { sweep, marked };
}

const withFacts = (checks: InstrumentChecks): Partial<CaptureHeader> =>
  headerOfChecks(checks.inForce) as Partial<CaptureHeader>;

describe('the simulated person', () => {
  it('is told when the check is over or stopped: what was put on has to go', async () => {
    const { session, checked, told } = aBench();
    const checks = session();
    await checked(checks, 1, null);
    expect(told).toEqual(['check-done']);
    checks.dismiss();
    await checks.begin(weight, null);
    checks.dismiss();
    expect(told).toEqual(['check-done', 'take-off']);
  });
});

describe('a check after a sweep that stands on an earlier check', () => {
  it('corrects nothing of it and says so, also where another session made that check', async () => {
    const { session, checked } = aBench();
    const before = session();
    await checked(before, 1.01, null);
    before.decide('correct');
    const { sweep, marked } = aSweep(withFacts(before));
    // The page was loaded anew: nothing is in force here.
    const after = session();
    const { result, decisions } = await checked(after, 1.01, sweep);
    expect(result.drift).toMatchObject({ moved: false });
    expect(marked).toEqual([expect.not.objectContaining({ corrects: true })]);
    // What is asked is for the sweeps that come, and touches this one no more.
    expect(decisions).toEqual(['correct', 'leave', 'refuse']);
    after.decide('correct');
    expect(marked).toHaveLength(1);
    expect(withFacts(after).scaleFactor).toBeCloseTo(1.01, 3);
  });

  it('that was marked in it counts like one of its header', async () => {
    const { session, checked } = aBench();
    const { sweep, marked } = aSweep();
    const checks = session();
    expect((await checked(checks, 1.01, sweep)).decisions).toEqual(['correct', 'leave']);
    checks.decide('correct');
    expect(marked).toEqual([expect.objectContaining({ corrects: true })]);
    const again = await checked(session(), 1.01, sweep);
    expect(again.result.drift).toMatchObject({ moved: false });
    expect(marked[1]).not.toHaveProperty('corrects');
  });

  it('asks of a sweep that nobody checked, whatever was checked since', async () => {
    const { session, checked } = aBench();
    const checks = session();
    await checked(checks, 1.01, null);
    checks.decide('correct');
    const { sweep, marked } = aSweep();
    const { result, decisions } = await checked(checks, 1.01, sweep);
    expect(result.drift).toBeNull();
    expect(decisions).toEqual(['correct', 'leave']);
    checks.decide('correct');
    expect(marked).toEqual([expect.objectContaining({ corrects: true })]);
  });
});

describe('a scale newly found off after a sweep', () => {
  it('is put to the person for what comes, where it agreed before', async () => {
    const { session, checked } = aBench();
    const checks = session();
    expect((await checked(checks, 1, null)).result.verdict).toBe('agrees');
    const { sweep, marked } = aSweep(withFacts(checks));
    const { result, decisions } = await checked(checks, 1.05, sweep);
    expect(result.drift).toMatchObject({ moved: true });
    expect(decisions).toEqual(['correct', 'leave', 'refuse']);
    // The sweep has its drift at once, whatever is said.
    expect(marked).toHaveLength(1);
    checks.decide('refuse');
    expect(checks.inForce.scale?.decision).toBe('refuse');
    expect(marked).toHaveLength(1);
  });

  it('is asked again once it has moved, not while it is as it was decided on', async () => {
    const { session, checked } = aBench();
    const checks = session();
    await checked(checks, 1.01, null);
    checks.decide('correct');
    const { sweep } = aSweep(withFacts(checks));
    expect((await checked(checks, 1.01, sweep)).decisions).toEqual([]);
    expect(checks.inForce.scale?.decision).toBe('correct');
    expect((await checked(checks, 1.03, sweep)).decisions).toHaveLength(3);
    checks.dismiss();
    expect(checks.inForce.scale?.decision).toBe('leave');
  });
});

describe('a scale that was found off and left as it is', () => {
  it('has drift counted from what was found', async () => {
    const { session, checked } = aBench();
    const checks = session();
    await checked(checks, 1.01, null);
    checks.decide('leave');
    const facts = withFacts(checks);
    expect(facts.scaleFactor).toBeUndefined();
    expect(facts.scaleFactorFound).toBeCloseTo(1.01, 3);
    const { sweep } = aSweep(facts);
    expect((await checked(session(), 1.01, sweep)).result.drift).toMatchObject({ moved: false });
    expect((await checked(session(), 0.99, sweep)).result.drift).toMatchObject({ moved: true });
  });
});

describe('a jug before and a weight after', () => {
  it('find no drift in a scale that stood still: the air that lifts the water is none', async () => {
    const { session, checked } = aBench();
    const checks = session();
    // 10 l at 20 °C weigh 9.982067 kg (tables), and show 1.00105 times less in air (arithmetic).
    const first = await checked(checks, 1.01 * 1.0010534, null, jug, 9.982067);
    expect(first.result.from).toBe('water-volume');
    checks.decide('correct');
    const { sweep } = aSweep(withFacts(checks));
    const { result } = await checked(checks, 1.01, sweep);
    expect(Math.abs(result.drift!.relative)).toBeLessThan(3e-4);
    expect(result.drift!.moved).toBe(false);
  });
});
