import { describe, expect, it } from 'vitest';
import { HandFedSweep } from '../builders/hand-fed-sweep.ts';
import { aSetup, psi } from '../builders/setup.ts';

const settings = psi(20, 40, 60);
const setup = aSetup({ settings_Pa: settings, catchesPerSetting: 1, targetRelative: 0.5 });
const started = (rig: Partial<typeof setup.rig> = {}): HandFedSweep =>
  new HandFedSweep({ ...setup, rig: { ...setup.rig, ...rig } }, settings).run(8);
const caught = (sweep: HandFedSweep): HandFedSweep => sweep.run(35, 20).run(6);

/** A hand that leans on the pail and lets go: announced as filling, then judged not to be water. */
function leaned(sweep: HandFedSweep): HandFedSweep {
  sweep.run(5, 60);
  sweep.grams -= 300;
  return sweep;
}

describe('what happens between two catches does not cling to the next one', () => {
  it('a strike of what turned out not to be water strikes nothing later', () => {
    const sweep = started();
    sweep.run(4.5, 60);
    const { running } = sweep.live.view();
    expect(running).not.toBeNull();
    const struck = sweep.live.strikeStarted(running!.start_s, 'oops', sweep.now_s);
    if (struck.ok) sweep.take(struck.value);
    sweep.grams -= 270;
    sweep.run(8);
    expect(sweep.kinds).toContain('not-water');
    caught(sweep);
    expect(sweep.live.analysis!.catches.map((c) => c.struck)).toEqual([false]);
  });

  it('striking another catch while one runs leaves the running one alone', () => {
    const sweep = caught(started()).run(20, 20);
    expect(sweep.live.phase).toMatch(/filling|shut-off/);
    const struck = sweep.live.strike(0, 'wand slipped', sweep.now_s);
    if (struck.ok) sweep.take(struck.value);
    expect(sweep.live.view().catches).toHaveLength(1);
    expect(sweep.live.strike(1, '', sweep.now_s)).toMatchObject({ because: 'nothing-to-strike' });
    sweep.run(12, 20).run(6);
    expect(sweep.live.view().catches.map((c) => c.struck)).toEqual([true, false]);
  });

  it('water again within two seconds of a stop: the prompt says to keep spraying again', () => {
    const sweep = new HandFedSweep({ ...setup, targetRelative: 0.001 }, settings).run(8);
    sweep.run(12, 20).run(1.6);
    expect(sweep.live.prompt.kind).toBe('hold-still');
    sweep.run(4, 20);
    expect(sweep.live.phase).toBe('filling');
    expect(sweep.live.prompt.kind).toBe('keep-spraying');
  });

  it('going on after a pause was asked for, but before the water stopped, goes on with the catch', () => {
    const sweep = new HandFedSweep({ ...setup, targetRelative: 0.001 }, settings).run(8).run(12, 20);
    sweep.take(sweep.live.pause(sweep.now_s));
    expect(sweep.live.prompt.kind).toBe('shut-off');
    sweep.take(sweep.live.goOn(sweep.now_s));
    expect(sweep.live.prompt.kind).toBe('keep-spraying');
    sweep.run(30, 20).run(6);
    expect(sweep.live.phase).toBe('setting');
  });

  it('a catch under eight seconds is told, struck and asked for again, in the file as on the screen', () => {
    const sweep = started().run(7.7, 20).run(6);
    const [only] = sweep.live.view().catches;
    expect(only).toMatchObject({ struck: true, struckReason: 'shorter than 8 s' });
    expect(sweep.said.at(-2)).toEqual({ kind: 'void', because: 'too-short', leftOut: true });
    expect(sweep.live.view().plan.map((p) => p.done)).toEqual([0, 0, 0]);
    expect(sweep.live.picture).toBeNull();
  });
});

describe('nothing is asked of the person while no readings can come', () => {
  it('not after a pause and go on', () => {
    const sweep = started().lose();
    sweep.take(sweep.live.pause(sweep.now_s));
    sweep.take(sweep.live.goOn(sweep.now_s));
    expect(sweep.live.phase).toBe('waiting-for-instrument');
    const asked = sweep.kinds.filter((kind) => kind === 'set-and-spray').length;
    sweep.back();
    expect(sweep.live.phase).toBe('setting');
    expect(sweep.kinds.filter((kind) => kind === 'set-and-spray')).toHaveLength(asked + 1);
  });

  it('not when something that is not water was still settling', () => {
    const sweep = leaned(started()).run(0.6).lose();
    expect(sweep.live.phase).toBe('waiting-for-instrument');
    expect(sweep.kinds.at(-1)).toBe('instrument-lost');
    sweep.back();
    expect(sweep.live.phase).toBe('setting');
  });

  it('a pause that was asked for stands when the instrument is back', () => {
    const sweep = started().lose();
    sweep.take(sweep.live.pause(sweep.now_s));
    sweep.back();
    expect(sweep.live.phase).toBe('paused');
  });
});

describe('emptying the pail', () => {
  it.each([
    ['the display shows dashes while the pail is off', (sweep: HandFedSweep) => sweep.dashes(7)],
    ['readings stop while the pail is off', (sweep: HandFedSweep) => sweep.lose('readings-stopped').back()],
  ])('ends also when %s', (_, interrupt) => {
    const sweep = caught(started({ pailVolume_m3: 0.0012 }));
    expect(sweep.live.phase).toBe('emptying');
    sweep.grams = 0;
    interrupt(sweep.run(1));
    expect(sweep.live.phase).toBe('emptying');
    sweep.grams = 1000;
    sweep.run(12);
    expect(sweep.live.phase).toBe('setting');
  });
});

describe('ending early', () => {
  it('in water that nobody asked for leaves that water out', () => {
    const sweep = caught(started());
    sweep.take(sweep.live.pause(sweep.now_s));
    sweep.run(20, 40).run(1.5);
    sweep.take(sweep.live.end(sweep.now_s));
    expect(sweep.live.picture!.curve.used).toEqual([0]);
  });

  it('while filling says that it is done and asks for nothing more', () => {
    const sweep = caught(started()).run(15, 20);
    const before = sweep.said.length;
    sweep.take(sweep.live.end(sweep.now_s));
    expect(sweep.kinds.slice(before)).not.toContain('set-and-spray');
    expect(sweep.kinds.at(-1)).toBe('done');
  });

  it('stays the end when a catch is struck afterwards, and the result is kept anew', () => {
    const sweep = caught(caught(started()));
    sweep.take(sweep.live.end(sweep.now_s));
    const struck = sweep.live.strike(0, 'wand slipped', sweep.now_s);
    expect(struck.ok && struck.value.map((c) => c.kind)).toContain('finished');
    expect(sweep.live.phase).toBe('done');
    expect(sweep.live.picture!.curve.used).toEqual([1]);
  });
});
