import { describe, expect, it } from 'vitest';
import type { Prompt } from '../../src/session/prompt.ts';
import { SimulatedPerson, type DueAction, type PersonPrompt } from '../../src/simulation/simulated-person.ts';

const spray = (turnAwayFirst: boolean, setting_Pa = 2e5): Prompt => ({
  kind: 'set-and-spray',
  setting_Pa,
  turnAwayFirst,
  sameAgain: false,
});
const told = (prompt: Prompt): Prompt => prompt;
const kinds = (due: readonly DueAction[]): string[] => due.map(({ action }) => action.kind);

describe('the simulated person', () => {
  it('takes the prompts of the session as they are', () => {
    const prompt: PersonPrompt = spray(true) satisfies Prompt;
    expect(prompt.kind).toBe('set-and-spray');
  });

  it('reacts in 0.5-2 s, turns the dial in 1-3 s a turn, then sprays until told to shut off', () => {
    for (let seed = 0; seed < 200; seed += 1) {
      const person = new SimulatedPerson({ seed });
      person.follow(spray(true), 10);
      expect(kinds(person.actionsDueBy(12.4))).not.toContain('open-trigger');
      const due = [...person.actionsDueBy(60)];
      const all = person.actionsDueBy(1e9);
      expect(all).toEqual([]);
      const open = due.at(-1);
      expect(open?.action.kind).toBe('open-trigger');
      expect(open?.at_s).toBeGreaterThan(10 + 0.5 + 1 + 1 + 0.5 - 1e-9);
      expect(open?.at_s).toBeLessThan(10 + 2 + 3 + 3 + 1.5);
      person.follow({ kind: 'keep-spraying', setting_Pa: 2e5 }, 30);
      expect(person.actionsDueBy(100)).toEqual([]);
      person.follow(told({ kind: 'shut-off', because: 'enough' }), 100);
      const closed = person.actionsDueBy(1e9);
      expect(kinds(closed)).toEqual(['close-trigger']);
      expect(closed[0]?.at_s).toBeGreaterThanOrEqual(100.5);
      expect(closed[0]?.at_s).toBeLessThanOrEqual(102);
    }
  });

  it('turns away and back when asked, and leaves a dial alone that already points right', () => {
    const person = new SimulatedPerson({ seed: 1 });
    person.follow(spray(true), 0);
    const first = person.actionsDueBy(1e3);
    expect(kinds(first)).toEqual(['set-dial', 'set-dial', 'open-trigger']);
    expect(first[0]?.action).not.toEqual({ kind: 'set-dial', setting_Pa: 2e5 });
    expect(first[1]?.action).toEqual({ kind: 'set-dial', setting_Pa: 2e5 });
    person.follow({ kind: 'hold-still' }, 30);
    expect(kinds(person.actionsDueBy(1e3))).toEqual(['close-trigger']);
    person.follow(spray(false), 40);
    expect(kinds(person.actionsDueBy(1e3))).toEqual(['open-trigger']);
  });

  it('takes away what a check leaves on the scale, and nothing where it leaves nothing', () => {
    const after = (leaves?: 'water-in-pail' | 'jug'): string[] => {
      const person = new SimulatedPerson({ seed: 2 });
      person.follow({ kind: 'check-done', ...(leaves !== undefined && { leaves }) }, 5);
      return kinds(person.actionsDueBy(1e3));
    };
    expect(after('water-in-pail')).toEqual(['lift-pail', 'put-back-empty']);
    expect(after('jug')).toEqual(['put-known']);
    expect(after()).toEqual([]);
  });

  it('empties the pail in 6-12 s and sprays only after it is back', () => {
    for (let seed = 0; seed < 100; seed += 1) {
      const person = new SimulatedPerson({ seed });
      person.follow(told({ kind: 'empty-pail', because: 'will-not-fit' }), 5);
      const lift = person.actionsDueBy(5 + 2 + 3);
      expect(kinds(lift)).toEqual(['lift-pail']);
      person.follow(spray(false), 10.5);
      const rest = person.actionsDueBy(1e3);
      expect(kinds(rest)).toEqual(['put-back-empty', 'set-dial', 'open-trigger']);
      const away_s = (rest[0]?.at_s ?? 0) - (lift[0]?.at_s ?? 0);
      expect(away_s).toBeGreaterThanOrEqual(6);
      expect(away_s).toBeLessThanOrEqual(12);
      expect(rest[1]?.at_s).toBeGreaterThan(rest[0]?.at_s ?? Infinity);
    }
  });

  it('drops what it had not begun when it is told to shut off', () => {
    const person = new SimulatedPerson({ seed: 3 });
    person.follow(spray(true), 0);
    person.follow(told({ kind: 'shut-off', because: 'paused' }), 0.1);
    expect(person.actionsDueBy(1e3)).toEqual([]);
  });

  it('lets the trigger go before it sprays anew, when told to set and spray while spraying', () => {
    const person = new SimulatedPerson({ seed: 3 });
    person.follow(spray(false), 0);
    person.actionsDueBy(20);
    person.follow({ kind: 'keep-spraying', setting_Pa: 2e5 }, 20);
    person.follow(spray(true), 25);
    expect(kinds(person.actionsDueBy(1e3))).toEqual([
      'close-trigger',
      'set-dial',
      'set-dial',
      'open-trigger',
    ]);
  });

  it('does nothing when paused, waiting or done, except to let the trigger go', () => {
    for (const kind of ['paused', 'wait-for-instrument', 'done'] as const) {
      const idle = new SimulatedPerson({ seed: 4 });
      idle.follow({ kind }, 0);
      expect(idle.actionsDueBy(1e3)).toEqual([]);
      const spraying = new SimulatedPerson({ seed: 4 });
      spraying.follow(spray(false), 0);
      spraying.actionsDueBy(20);
      spraying.follow({ kind }, 20);
      expect(kinds(spraying.actionsDueBy(1e3))).toEqual(['close-trigger']);
    }
  });

  it('goes on as before when it hears the same words twice', () => {
    const once = new SimulatedPerson({ seed: 5 });
    const twice = new SimulatedPerson({ seed: 5 });
    once.follow(spray(true), 0);
    twice.follow(spray(true), 0);
    twice.follow(spray(true), 1);
    expect(twice.actionsDueBy(1e3)).toEqual(once.actionsDueBy(1e3));
  });
});
