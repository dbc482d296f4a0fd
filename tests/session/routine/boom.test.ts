import { describe, expect, it } from 'vitest';
import type { SweepSetup } from '../../../src/session/sweep-setup.ts';
import { guidedSweep, type GuidedSweep } from '../../builders/guided-sweep.ts';
import { HandFedSweep } from '../../builders/hand-fed-sweep.ts';
import { aSetup, psi } from '../../builders/setup.ts';

function aBoom(positions: number, changes: Partial<SweepSetup> = {}): SweepSetup {
  return aSetup({
    settings_Pa: psi(40),
    catchesPerSetting: 1,
    routine: { kind: 'boom', positions },
    ...changes,
  });
}

const good = (sweep: GuidedSweep): (string | undefined)[] =>
  sweep.live
    .view()
    .catches.filter((c) => !c.struck && c.voidBecause === null)
    .map((c) => c.label);

describe('the nozzles of a boom on the simulated bench', () => {
  it.each([2, 6])(
    'visits five positions and the first one again, and tells each from the mean (seed %i)',
    (seed) => {
      const sweep = guidedSweep({ setup: aBoom(5), seed });
      sweep.run(3000);
      expect(sweep.live.phase).toBe('done');
      expect(good(sweep)).toEqual(['1', '2', '3', '4', '5', '1']);
      const { several } = sweep.live.view().routine!;
      if (several?.kind !== 'set' || several.compared === null) throw new Error('no comparison');
      const { members, repeat } = several.compared;
      expect(members.map((m) => m.label)).toEqual(['1', '2', '3', '4', '5']);
      const shares = members.map((_, index) => sweep.bench.nozzleShare({ of: 'boom', index }));
      const mean = shares.reduce((a, b) => a + b) / shares.length;
      members.forEach((member, i) => {
        const { ratio, expandedUncertainty95 } = member.againstMean;
        expect(Math.abs(ratio - shares[i]! / mean)).toBeLessThan(expandedUncertainty95);
      });
      expect(members.filter((m) => m.habit === 'outside').length).toBeGreaterThan(0);
      expect(repeat).not.toBeNull();
    },
  );

  it('asks to move the pail before each position and waits until it rests there', () => {
    const sweep = guidedSweep({ setup: aBoom(3) });
    sweep.run(2000);
    const asked = sweep.announcements.flatMap((a) =>
      a.kind === 'move-pail' || (a.kind === 'set-and-spray' && a.nozzle !== undefined)
        ? [`${a.kind} ${a.nozzle!.label}`]
        : [],
    );
    expect(asked).toEqual(['1', '2', '3', '1'].flatMap((at) => [`move-pail ${at}`, `set-and-spray ${at}`]));
  });

  it('does not believe in a move that nobody made, however long the pail rests', () => {
    const sweep = guidedSweep({
      setup: aBoom(3),
      hears: (prompt) => prompt.kind !== 'move-pail' || prompt.isFirst,
    });
    sweep.run(600);
    expect(sweep.live.prompt).toMatchObject({ kind: 'move-pail', nozzle: { label: '2' } });
    expect(good(sweep)).toEqual(['1']);
  });
});

describe('at the boom, what no one should do', () => {
  /** At position 1 one good catch; then the pail is to be moved to position 2. */
  function atTheMove(): HandFedSweep {
    const setup = aBoom(2, { targetRelative: 0.02 });
    const sweep = new HandFedSweep(setup, [
      setup.settings_Pa[0]!,
      setup.settings_Pa[0]!,
      setup.settings_Pa[0]!,
    ]);
    sweep.run(6).run(40, 25).run(8);
    expect(sweep.live.prompt).toMatchObject({ kind: 'move-pail', nozzle: { label: '2' } });
    return sweep;
  }

  it('water before the pail was moved counts for no position, and that is said', () => {
    const sweep = atTheMove();
    sweep.run(3).run(20, 25).run(8);
    expect(sweep.said).toContainEqual({ kind: 'void', because: 'pail-not-moved-yet' });
    expect(sweep.live.prompt).toMatchObject({ kind: 'move-pail', nozzle: { label: '2' } });
    expect(sweep.live.view().routine!.plan.map((p) => p.done)).toEqual([1, 0]);
  });

  it('goes on once the pail was lifted, emptied and rests again', () => {
    const sweep = atTheMove();
    sweep.run(2);
    sweep.grams = 0;
    sweep.run(5);
    sweep.grams = 1005;
    sweep.run(6);
    expect(sweep.live.prompt).toMatchObject({ kind: 'set-and-spray', nozzle: { of: 'boom', label: '2' } });
  });

  it('hears a scale that is carried at once, pail and all, though it ends on the same level', () => {
    const sweep = atTheMove();
    const before = sweep.grams;
    for (const swing of [60, -80, 50, -40, 30]) {
      sweep.grams = before + swing;
      sweep.run(0.3);
    }
    sweep.grams = before + 2;
    sweep.run(8);
    expect(sweep.live.prompt).toMatchObject({ kind: 'set-and-spray', nozzle: { of: 'boom', label: '2' } });
  });

  it('says that a scale does not come to rest', () => {
    const sweep = atTheMove();
    for (let i = 0; i < 300; i += 1) {
      sweep.grams = 1000 + (i % 2) * 80;
      sweep.run(0.2);
    }
    expect(sweep.said).toContainEqual(expect.objectContaining({ kind: 'move-pail', restless: true }));
    expect(sweep.live.prompt).toMatchObject({ kind: 'move-pail' });
  });

  it('takes a scale that was switched off to be carried as moved', () => {
    const sweep = atTheMove();
    sweep.run(2).lose();
    expect(sweep.live.prompt.kind).toBe('wait-for-instrument');
    sweep.now_s += 30;
    sweep.grams = 0;
    sweep.back();
    sweep.run(6);
    expect(sweep.live.prompt).toMatchObject({ kind: 'set-and-spray', nozzle: { label: '2' } });
  });
});
