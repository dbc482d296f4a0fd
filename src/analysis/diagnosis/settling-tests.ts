import type { Cause, FinerCause, SettlingTest } from './diagnosis.ts';
import type { RigCheckKind } from './evidence.ts';
import { rigCheckKinds } from './evidence.ts';

export interface SettlingFacts {
  readonly cause: Cause;
  /** Null: what was named does not fit. */
  readonly said: FinerCause | null;
  readonly orElse: Cause | null;
  /** The same cause stood in the sweep before. */
  readonly foundTwice: boolean;
  readonly pressureMayBeLost: boolean;
  readonly fromRating: boolean;
  readonly shapeTrusted: boolean;
  /** So far from the reference that it may be another tip. */
  readonly farOff: boolean;
  readonly standsApart: boolean;
  readonly scaleChecked: boolean;
  readonly pressureMeasured: boolean;
  readonly made: readonly RigCheckKind[];
}

/** What tells a cause from the others in minutes (measurement 5.3 "Extra data", 5.5), the best first. */
const testsOf: Readonly<Record<Cause, readonly SettlingTest[]>> = {
  'no fault shown': [],
  worn: [],
  restricted: [],
  leaking: ['blank-tip'],
  'pump-limited': ['wand-gauge', 'sag-test'],
  'threshold-or-dial-high': ['dial-at-zero', 'flow-stops-at'],
  'dial-low': ['dial-at-zero', 'wand-gauge'],
};

/**
 * What would settle it, the one to do next first. A pair is told apart by the test of the one that bends the curve. What multiplies the
 * whole curve (wear, restriction, a dial's or a scale's gain, pressure lost) no sweep of one tip can tell: it needs a gauge at the wand, a
 * check of the scale, another tip, the reference again. A second sweep makes sure of the sweep, not of the reference, which it shares
 * (measurement 11.17). Checks already made are left out; with a sensor in the line so are those that read the dial.
 */
export function settlingTests(facts: SettlingFacts): SettlingTest[] {
  const { cause, orElse } = facts;
  const wanted: SettlingTest[] = [];
  // A meter that nobody checked may be off by that much itself.
  if (!facts.shapeTrusted) wanted.push('check-the-meter');
  if (facts.farOff) wanted.push('is-this-the-tip');
  if (facts.standsApart) wanted.push('more-catches');
  if (facts.said === null) {
    wanted.push('dial-at-zero', 'blank-tip', 'sag-test');
    if (!facts.foundTwice) wanted.push('second-sweep');
  } else if (cause === 'no fault shown') {
    if (facts.pressureMayBeLost) wanted.push('wand-gauge');
  } else {
    const scales = cause === 'worn' || cause === 'restricted';
    // The pair's test comes first where it is the other that has one.
    if (orElse !== null) wanted.push(...testsOf[scales ? orElse : cause].slice(0, 1));
    if (cause === 'restricted' && facts.pressureMayBeLost) wanted.push('wand-gauge');
    wanted.push(...testsOf[cause], ...(orElse === null ? [] : testsOf[orElse]));
    if (!facts.foundTwice) wanted.push('second-sweep');
    if (scales) {
      if (!facts.scaleChecked) wanted.push('check-the-scale');
      wanted.push('another-tip', 'measure-the-reference-again');
    }
  }
  if (facts.fromRating) wanted.push('take-a-baseline');
  return [...new Set(wanted)].filter((test) => !isMade(test, facts));
}

function isMade(test: SettlingTest, { made, pressureMeasured }: SettlingFacts): boolean {
  const kind = rigCheckKinds.find((known) => known === test);
  if (kind === undefined) return false;
  const readsDial = kind === 'dial-at-zero' || kind === 'flow-stops-at';
  return made.includes(kind) || (readsDial && pressureMeasured);
}
