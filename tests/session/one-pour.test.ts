import { describe, expect, it } from 'vitest';
import type { CaptureAnalyser } from '../../src/analysis/sweep/capture-analyser.ts';
import { checkSetup, makeOrder } from '../../src/session/plan.ts';
import { OnePourSweep } from '../../src/session/one-pour/one-pour-sweep.ts';
import { nextPour, settingsThatFit } from '../../src/session/one-pour/pour-plan.ts';
import { CaptureReader } from '../../src/signal/captures/read.ts';
import { analyseText } from '../../web/worker/analyse-text.ts';
import { readHeader } from '../../web/worker/read-header.ts';
import { guidedSweep, type GuidedSweep } from '../builders/guided-sweep.ts';
import { aSetup, psi } from '../builders/setup.ts';

const five = aSetup({ protocol: 'one-pour', catchesPerSetting: 1 });
const three = aSetup({ protocol: 'one-pour', catchesPerSetting: 1, settings_Pa: psi(20, 40, 60) });
const kinds = (sweep: GuidedSweep): string[] => sweep.announcements.map((a) => a.kind);
const done = (sweep: GuidedSweep): number[] => sweep.live.view().plan.map((p) => p.done);
/** In the setting at this place of the pour, some seconds of it over. */
const inPlace = (place: number, psi_: number) => (sweep: GuidedSweep) => {
  const view = sweep.live.view();
  return view.settingNow_Pa === psi(psi_)[0] && (view.running?.elapsed_s ?? 0) > 6 && place >= 0;
};
const capture = async (sweep: GuidedSweep) => {
  const again = await analyseText('sweep', [sweep.captureText()]);
  if (!again.ok) throw new Error(again.because);
  return again.value;
};

describe('one pour through several settings, live', () => {
  it('takes five settings in one pour of under two minutes, each within its own ± (seeds 1, 4)', () => {
    for (const seed of [1, 4]) {
      const sweep = guidedSweep({ setup: five, seed });
      sweep.run(400);
      expect(sweep.live.phase).toBe('done');
      expect(done(sweep)).toEqual([1, 1, 1, 1, 1]);
      expect(sweep.bench.truth).toHaveLength(1);
      expect(sweep.bench.truth[0]!.stop_s! - sweep.bench.truth[0]!.start_s).toBeLessThan(120);
      const k = sweep.live.picture!.curve.nozzleConstant_m3_per_s_per_sqrtPa;
      const half = sweep.live.picture!.nozzleConstantExpanded95_m3_per_s_per_sqrtPa;
      expect(Math.abs(k - sweep.bench.trueNozzleConstant_m3_per_s_per_sqrtPa)).toBeLessThan(half);
      const turn = ['turn-while-spraying', 'steady-again'];
      expect(kinds(sweep)).toEqual([
        'set-and-spray',
        'start-heard',
        ...turn,
        ...turn,
        ...turn,
        ...turn,
        'enough',
        'pour-kept',
        'done',
      ]);
    }
  }, 20_000);

  it.each(['scale', 'bench-board'] as const)(
    'writes the plan before the pour and gives the same numbers from its saved capture as it shows (%s)',
    async (instrument) => {
      const sweep = guidedSweep({ setup: three, bench: { instrument, pressureFullScale_Pa: 1034214 } });
      sweep.run(400);
      const { analysis, picture } = await capture(sweep);
      expect(analysis).toEqual(sweep.live.analysis);
      expect(picture).toEqual(sweep.live.picture);
      const marks = sweep.captureText().match(/![a-z].*/g)!;
      expect(marks.map((mark) => mark.replaceAll(/ .*/g, ''))).toEqual(['!plan', '!setting', '!setting']);
      expect(marks[0]).toBe(`!plan one-pour ${psi(20, 40, 60).join(' ')}`);
      expect(new Set(analysis.catches.map((c) => c.pour))).toEqual(new Set([1]));
    },
  );

  it('weighs each setting as set once, whatever the knob: the dial does not average out', () => {
    const sweep = guidedSweep({ setup: three });
    expect(sweep.live.headerText).toContain('# settingProtocol: set-once');
  });

  it('runs each setting at least fifteen seconds, fills in the plan on the way, and shows what comes next', () => {
    const sweep = guidedSweep({ setup: three });
    sweep.run(100, inPlace(1, 40));
    expect(sweep.live.view()).toMatchObject({
      phase: 'filling',
      prompt: { kind: 'keep-spraying', setting_Pa: psi(40)[0] },
      nextPrompt: { kind: 'turn-while-spraying', setting_Pa: psi(60)[0] },
    });
    expect(done(sweep)).toEqual([1, 0, 0]);
    expect(sweep.live.view().catches).toHaveLength(1);
    sweep.run(400);
    for (const c of sweep.live.analysis!.catches) expect(c.stop_s - c.start_s).toBeGreaterThan(14);
  });

  it('after the last setting nothing more is asked for: while it is shut off and settles, that is all', () => {
    const sweep = guidedSweep({ setup: three });
    const next: string[] = [];
    sweep.run(400, ({ live }) => {
      if (['shut-off', 'settling'].includes(live.phase)) next.push(live.view().nextPrompt!.kind);
      return false;
    });
    expect(new Set(next)).toEqual(new Set(['done']));
  });

  it('says of each setting that did not reach the wanted ±, as for a catch, that it did not', () => {
    const sweep = guidedSweep({ setup: { ...three, targetRelative: 0.001 }, bench: { scenario: 'rough' } });
    sweep.run(400);
    const turns = sweep.announcements.filter((a) => a.kind === 'turn-while-spraying');
    expect(turns.map(({ missed }) => missed)).toEqual([true, true]);
    expect(sweep.announcements).toContainEqual({ kind: 'enough', because: 'longest-catch' });
    const easy = guidedSweep({ setup: { ...three, targetRelative: 0.05 } });
    easy.run(400);
    expect(easy.announcements).toContainEqual({ kind: 'enough', because: 'enough' });
    expect(easy.announcements.some((a) => a.kind === 'turn-while-spraying' && a.missed === true)).toBe(false);
  });

  it('goes up in the first pour and down in the next, and takes all settings in each', () => {
    const setup = { ...three, catchesPerSetting: 2 };
    expect(makeOrder(setup, () => 0)).toEqual(psi(20, 40, 60, 60, 40, 20));
    const sweep = guidedSweep({ setup, seed: 4 });
    sweep.run(600);
    expect(done(sweep)).toEqual([2, 2, 2]);
    expect(sweep.bench.truth).toHaveLength(2);
  });

  it('works from the meter alone: the same pour with the load cell taken out of the header', async () => {
    const sweep = guidedSweep({
      setup: five,
      bench: { instrument: 'bench-board', meterPulsesPerCubicMetre: 455e3 },
    });
    sweep.run(400);
    const text = sweep.captureText().replace(/^# gramsPerCount.*\n/m, '');
    const again = await analyseText('a', [text]);
    if (!again.ok) throw new Error(again.because);
    const { catches } = again.value.analysis;
    expect(catches.map((c) => c.setting_Pa)).toEqual(five.settings_Pa);
    catches.forEach((c, i) => {
      const byMass = sweep.live.analysis!.catches[i]!;
      expect(c).toMatchObject({ flowFrom: 'pulses', massBecause: 'plateau-of-a-pour', voidBecause: null });
      expect(Math.abs(c.flow_m3_per_s! - byMass.flow_m3_per_s!)).toBeLessThan(
        1.5 * byMass.expandedUncertainty95_m3_per_s!,
      );
    });
  });
});

describe('when a pour is interrupted', () => {
  it('keeps the settings that were finished when the person shuts off early, and asks for the rest in a further pour', () => {
    const sweep = guidedSweep({ setup: three });
    sweep.run(100, inPlace(1, 40));
    sweep.bench.closeTrigger();
    sweep.run(10, (s) => kinds(s).includes('pour-kept'));
    expect(sweep.announcements).toContainEqual({ kind: 'pour-kept', kept: 1, missing: 2 });
    sweep.run(400);
    expect(done(sweep)).toEqual([1, 1, 1]);
    expect(sweep.captureText()).toContain(`!plan one-pour ${psi(40, 60).join(' ')}`);
  });

  it.each(['lift', 'gap'] as const)(
    'keeps what was finished when the pail is lifted or readings break off (%s)',
    async (what) => {
      const sweep = guidedSweep({ setup: three });
      sweep.run(100, inPlace(1, 40));
      if (what === 'lift') {
        sweep.bench.liftPail();
        sweep.run(4);
        sweep.bench.closeTrigger();
        sweep.bench.putBackPail(true);
      } else sweep.apply(sweep.live.gap(sweep.bench.now_s, 'buffer-overflow'));
      sweep.run(600);
      expect(done(sweep)).toEqual([1, 1, 1]);
      // The first setting was not asked for a second time.
      const first = sweep.live.analysis!.catches.filter((c) => c.setting_Pa === psi(20)[0]);
      expect(first.map((c) => [c.pour, c.voidBecause])).toEqual([[1, null]]);
      const voids = sweep.live
        .analysis!.catches.filter((c) => c.voidBecause !== null)
        .map((c) => c.voidBecause);
      expect(voids).toEqual([what === 'lift' ? 'lifted-while-filling' : 'buffer-overflow']);
      expect((await capture(sweep)).analysis).toEqual(sweep.live.analysis);
    },
  );

  it('asks again when the dial is not turned, and shuts off in the end with the first setting kept', () => {
    const sweep = guidedSweep({ setup: three, hears: (prompt) => prompt.kind !== 'turn-while-spraying' });
    sweep.run(200, (s) => s.live.phase === 'shut-off');
    expect(sweep.live.prompt).toEqual({ kind: 'shut-off', because: 'change-not-seen' });
    expect(sweep.announcements.filter((a) => a.kind === 'turn-while-spraying')).toMatchObject([
      { kind: 'turn-while-spraying', setting_Pa: psi(40)[0], again: false },
      { kind: 'turn-while-spraying', setting_Pa: psi(40)[0], again: true },
      { kind: 'turn-while-spraying', setting_Pa: psi(40)[0], again: true },
    ]);
    sweep.run(20, (s) => s.live.analysis !== null && s.live.phase === 'setting');
    // It ran on for half a minute after the next was announced: nobody knows that nothing was turned.
    expect(sweep.live.analysis!.catches).toHaveLength(1);
    expect(sweep.live.prompt).toMatchObject({ kind: 'set-and-spray' });
  });

  it('goes on after a pause: the finished ones stay, the others come in another pour', () => {
    const sweep = guidedSweep({ setup: three });
    sweep.run(100, inPlace(1, 40));
    sweep.apply(sweep.live.pause(sweep.bench.now_s));
    expect(sweep.live.prompt).toEqual({ kind: 'shut-off', because: 'paused' });
    sweep.run(60, (s) => s.live.phase === 'paused');
    expect(done(sweep)[0]).toBe(1);
    sweep.apply(sweep.live.goOn(sweep.bench.now_s));
    sweep.run(400);
    expect(sweep.live.phase).toBe('done');
    expect(done(sweep)).toEqual([1, 1, 1]);
  });

  it('strikes the setting in hand and goes on to the next; it is asked for again; a strike can be taken back', async () => {
    const sweep = guidedSweep({ setup: three });
    sweep.run(100, inPlace(1, 40));
    const struck = sweep.live.strikeStarted(
      sweep.live.view().running!.start_s,
      'wand moved',
      sweep.bench.now_s,
    );
    if (struck.ok) sweep.apply(struck.value);
    expect(sweep.live.prompt).toMatchObject({ kind: 'turn-while-spraying', setting_Pa: psi(60)[0] });
    sweep.run(400);
    expect(done(sweep)).toEqual([1, 1, 1]);
    const views = sweep.live.view().catches;
    const gone = views.find((c) => c.struckReason === 'wand moved');
    const finished = views.find((c) => c.setting_Pa === psi(60)[0])!;
    expect(gone?.setting_Pa ?? psi(40)[0]).toBe(psi(40)[0]);
    expect(sweep.live.strike(finished.index, ' ', sweep.bench.now_s)).toMatchObject({
      because: 'reason-needed',
    });
    const again = sweep.live.strike(finished.index, 'spray missed', sweep.bench.now_s);
    if (again.ok) sweep.apply(again.value);
    expect(done(sweep)).toEqual([1, 1, 0]);
    const undone = sweep.live.undoStrike(finished.index, sweep.bench.now_s);
    if (undone.ok) sweep.apply(undone.value);
    expect(done(sweep)).toEqual([1, 1, 1]);
    expect((await capture(sweep)).analysis.catches).toEqual(sweep.live.analysis!.catches);
  });

  it('splits what the pail does not hold over several pours, and says so by asking for it to be emptied', () => {
    const setup = { ...five, tip: { name: 'a', ratedFlow_m3_per_s: 2.15e-5, ratedPressure_Pa: psi(40)[0]! } };
    const sweep = guidedSweep({ setup: { ...setup, rig: { ...setup.rig, pailVolume_m3: 0.002 } } });
    sweep.run(1200);
    expect(sweep.live.phase).toBe('done');
    expect(done(sweep)).toEqual([1, 1, 1, 1, 1]);
    expect(kinds(sweep)).toContain('empty-pail');
    expect(sweep.bench.truth.length).toBeGreaterThan(1);
  });

  it('takes a kept pour up again with what it had finished when the program stopped in the middle of it', () => {
    const sweep = guidedSweep({ setup: three });
    sweep.run(100, inPlace(1, 40));
    const text = sweep.captureText();
    const header = readHeader(sweep.live.headerText);
    if (!header.ok) throw new Error(header.because);
    const live = new OnePourSweep({ setup: three, header: header.value, order: makeOrder(three, () => 0) });
    const commands = live.restore((sink: CaptureAnalyser) => {
      let last_s = 0;
      const reader = new CaptureReader({
        header: () => undefined,
        line: (at_s, line) => sink.line((last_s = at_s), line),
        mark: (at_s, mark) => sink.mark((last_s = at_s), mark),
      });
      reader.push(text);
      reader.finish();
      return last_s + 1;
    });
    expect(live.view().plan.map((p) => p.done)).toEqual([1, 0, 0]);
    expect(live.prompt).toMatchObject({ kind: 'set-and-spray', setting_Pa: psi(40)[0] });
    expect(commands.some((c) => c.kind === 'keep-text' && c.text.includes('!plan one-pour'))).toBe(true);
  });

  it('refuses settings too close to tell apart, names them, and leaves catches one at a time alone', () => {
    const close = { ...five, settings_Pa: psi(40, 20, 42) };
    expect(checkSetup(close)).toMatchObject({ ok: false, because: 'settings-too-close' });
    expect(checkSetup({ ...close, protocol: 'each-catch' })).toEqual({ ok: true, value: true });
    expect(checkSetup({ ...close, protocol: 'each-catch', settingsFrom: 'sensor' })).toMatchObject({
      ok: false,
    });
  });
});

describe('what a pour visits', () => {
  it('is the first round with something missing', () => {
    const order = [1, 2, 3, 3, 2, 1];
    expect(nextPour(order, 3, new Map())).toEqual([1, 2, 3]);
    expect(
      nextPour(
        order,
        3,
        new Map([
          [1, 1],
          [3, 1],
        ]),
      ),
    ).toEqual([2]);
    expect(
      nextPour(
        order,
        3,
        new Map([
          [1, 1],
          [2, 1],
          [3, 2],
        ]),
      ),
    ).toEqual([2, 1]);
    expect(
      nextPour(
        order,
        3,
        new Map([
          [1, 2],
          [2, 2],
          [3, 2],
        ]),
      ),
    ).toEqual([]);
  });

  it('is as much of it as fits: 24 s a setting, and the push of the last jet (2.4 s of its flow)', () => {
    const flowAt = () => 0.1;
    expect(settingsThatFit(2.65, [1, 2, 3], flowAt)).toBe(1);
    expect(settingsThatFit(2.63, [1, 2, 3], flowAt)).toBe(0);
    expect(settingsThatFit(5.05, [1, 2, 3], flowAt)).toBe(2);
    expect(settingsThatFit(0, [1, 2, 3], () => null)).toBe(3);
  });
});
