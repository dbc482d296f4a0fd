import { ok, refused, type Outcome } from '../../base/outcome.ts';
import { combineUncertainty, type UncertaintyPart } from '../../base/statistics/welch-satterthwaite.ts';
import { doubtOfCatch, meanFlow, type SetCatch } from '../comparison/doubt-of-catch.ts';
import { halfWidth } from '../comparison/ratio.ts';

/** What was looked at before and after. */
export type SagSeenBy =
  /** Catches at one setting. `dial`: left alone between the two; or set anew, with what that is worth. */
  | {
      readonly by: 'flow';
      readonly first: readonly SetCatch[];
      readonly last: readonly SetCatch[];
      readonly dial:
        'untouched' | { readonly setting_Pa: number; readonly settingStandardUncertainty_Pa: number };
    }
  /** A pressure sensor while it sprayed, at one setting of the dial left alone. */
  | {
      readonly by: 'pressure';
      readonly first_Pa: number;
      readonly last_Pa: number;
      /** Of each reading by itself; what the sensor shares cancels. */
      readonly standardUncertainty_Pa: number;
    }
  /** The battery under load. */
  | {
      readonly by: 'battery';
      readonly first_V: number;
      readonly last_V: number;
      readonly standardUncertainty_V: number;
    };

export interface Sag {
  readonly by: SagSeenBy['by'];
  /** Lost from first to last, of the first; negative: it rose. Of what was looked at: flow, pressure or volts. */
  readonly lost: number;
  readonly expandedUncertainty95: number;
  readonly degreesOfFreedom: number;
  /** The same as flow, which goes as the root of the pressure; null for volts: what a pump makes of them is not known. */
  readonly lostFlow: number | null;
  readonly verdict: 'sags' | 'none-seen' | 'rises';
  /** Anything smaller would not have stood out of the ±; of what was looked at. */
  readonly smallestSeen: number;
  /** A dial that was set anew stands between the two and rules what can be seen. */
  readonly throughDial: boolean;
}

/**
 * What: has the pump or the battery faded from the first look to the last?
 * Formula: lost = 1 − last/first; u² = (last/first)²·(u²/n₁ + u²/n₂), relative u of one catch pooled (never below what catches claim),
 *   with (u_P/(2P))² of the dial for each of the two where it was set anew; t. Smallest sag seen: the half-width of the 95 % interval.
 * Source: JCGM 100:2008 5.1.2; measurement 11.11. With a knob good to 1.5 psi set anew at 40 psi it is 1.96·√2·1.5/80 = 5 % of flow.
 * Refused `too-few-catches` where a side has none or nothing says what a catch is worth; `flow-not-positive`; `setting-not-positive` for
 *   a pressure or a voltage that is none.
 */
export function sagOf(seen: SagSeenBy): Outcome<Sag> {
  if (seen.by === 'flow') return ofFlow(seen);
  const [first, last, u] =
    seen.by === 'pressure'
      ? [seen.first_Pa, seen.last_Pa, seen.standardUncertainty_Pa]
      : [seen.first_V, seen.last_V, seen.standardUncertainty_V];
  if (!(first > 0 && last > 0)) return refused('setting-not-positive');
  const part = { standardUncertainty: u / first, degreesOfFreedom: Infinity };
  const again = { standardUncertainty: u / last, degreesOfFreedom: Infinity };
  return ok(found(seen.by, last / first, [part, again], false));
}

function ofFlow({ first, last, dial }: Extract<SagSeenBy, { by: 'flow' }>): Outcome<Sag> {
  if (first.length === 0 || last.length === 0) return refused('too-few-catches');
  if (![...first, ...last].every((one) => one.flow_m3_per_s > 0)) return refused('flow-not-positive');
  const doubt = doubtOfCatch([first, last]);
  if (doubt === null) return refused('too-few-catches');
  if (dial !== 'untouched' && !(dial.setting_Pa > 0)) return refused('setting-not-positive');
  const setting = dial === 'untouched' ? 0 : dial.settingStandardUncertainty_Pa / (2 * dial.setting_Pa);
  const own = {
    standardUncertainty: doubt.standardUncertainty * Math.sqrt(1 / first.length + 1 / last.length),
    degreesOfFreedom: doubt.degreesOfFreedom,
  };
  const dials = { standardUncertainty: setting * Math.SQRT2, degreesOfFreedom: Infinity };
  const throughDial = dials.standardUncertainty > own.standardUncertainty;
  return ok(found('flow', meanFlow(last) / meanFlow(first), [own, dials], throughDial));
}

function found(
  by: SagSeenBy['by'],
  ratio: number,
  parts: readonly UncertaintyPart[],
  throughDial: boolean,
): Sag {
  const { standardUncertainty, degreesOfFreedom } = combineUncertainty(parts);
  const half = ratio * halfWidth(standardUncertainty, degreesOfFreedom);
  const lost = 1 - ratio;
  return {
    by,
    lost,
    expandedUncertainty95: half,
    degreesOfFreedom,
    lostFlow: by === 'flow' ? lost : by === 'pressure' ? 1 - Math.sqrt(ratio) : null,
    verdict: lost > half ? 'sags' : lost < -half ? 'rises' : 'none-seen',
    smallestSeen: half,
    throughDial,
  };
}
