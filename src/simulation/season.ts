import { PSI_PA } from '../base/units/constants.ts';
import type { BenchRecord } from '../records/bench-record.ts';
import { RECORD_VERSION, type Envelope } from '../records/envelope.ts';
import type { RigSetup } from '../records/sweep-setup.ts';
import { Random } from './random.ts';
import type { RigFault } from './rig-fault.ts';
import { seasonSweep, type SeasonRig, type SeasonTip, type SweepOrder } from './season-sweep.ts';

const DAY_ms = 24 * 3600 * 1000;
const WEEK_ms = 7 * DAY_ms;
/** Weekly checks; the last one was yesterday. */
export const SEASON_WEEKS = 14;

const wholeCurve_Pa = [20, 30, 40, 50, 60].map((psi) => psi * PSI_PA);
const checked_Pa = [30, 50].map((psi) => psi * PSI_PA);

const rigSetup: Omit<RigSetup, 'name' | 'control' | 'settingStandardUncertainty_Pa' | 'plumbing'> = {
  scaleLimit_kg: 20,
  pailVolume_m3: 0.02,
  wand: 'guided',
  kind: 'held',
  strokePeriod_s: null,
  standsOnScale: 'pail',
};

/** A battery backpack: its knob turns freely and lands anew each time. */
const backpack: SeasonRig = {
  setup: {
    ...rigSetup,
    name: 'Invented backpack',
    control: 'turns-freely',
    settingStandardUncertainty_Pa: 0.7 * PSI_PA,
    plumbing: {
      gaugeAt: 'wand',
      hoseLength_m: null,
      hoseBore_m: null,
      tipAboveGauge_m: null,
      weakestRating_Pa: null,
    },
  },
  dial: { protocol: 're-set', standardDeviation_Pa: 0.7 * PSI_PA },
};
/** A hose reel on a truck: its regulator clicks, and comes back to the same wrong pressure. */
const reel: SeasonRig = {
  setup: {
    ...rigSetup,
    name: 'Invented hose reel',
    control: 'clicks-or-shows',
    settingStandardUncertainty_Pa: 1.5 * PSI_PA,
    plumbing: {
      gaugeAt: 'pump',
      hoseLength_m: 30,
      hoseBore_m: 0.0127,
      tipAboveGauge_m: 0,
      weakestRating_Pa: 1e6,
    },
  },
  dial: { protocol: 'set-once', standardDeviation_Pa: 1.5 * PSI_PA },
};

/** The week in which the reel's regulator slipped, and the one in which it was put back. */
export const SLIPPED_FROM = 9;
export const SLIPPED_UNTIL = 11;
const slip: RigFault = { kind: 'dial-gain', share: 0.1 };
/** In this week somebody checked another tip under the name of "Reel C". */
export const SWAPPED_IN = 12;

/** What became of a tip in a week; week 0 is the baseline. */
interface Life {
  readonly tip: SeasonTip;
  readonly rig: SeasonRig;
  readonly isoSize: string | null;
  readonly note: string;
  readonly drawer: boolean;
  readonly faults: (week: number) => readonly RigFault[];
  /** Weeks without a check. */
  readonly skips?: (week: number) => boolean;
}

function tipOf(name: string, flowAt40psi_L_per_min: number, isStamped: boolean): SeasonTip {
  const flow = flowAt40psi_L_per_min / 60_000;
  return {
    name,
    nozzleConstant_m3_per_s_per_sqrtPa: flow / Math.sqrt(40 * PSI_PA),
    ratedFlow_m3_per_s: isStamped ? flow : null,
  };
}

const none = () => [];
const worn =
  (perWeek: number, from = 0) =>
  (week: number): readonly RigFault[] =>
    week > from ? [{ kind: 'worn', share: perWeek * (week - from) }] : [];

const lives: readonly Life[] = [
  {
    tip: tipOf('Backpack A', 1.52, true),
    rig: backpack,
    isoSize: '04',
    note: '',
    drawer: false,
    faults: none,
  },
  {
    tip: tipOf('Backpack B', 1.5, true),
    rig: backpack,
    isoSize: '04',
    note: 'used every day',
    drawer: false,
    faults: worn(0.006),
  },
  {
    tip: tipOf('Backpack C', 0.76, true),
    rig: backpack,
    isoSize: '02',
    note: '',
    drawer: false,
    faults: (week) => (week >= 10 ? [{ kind: 'restricted', share: 0.12 }] : []),
  },
  {
    tip: tipOf('Reel D', 1.51, false),
    rig: reel,
    isoSize: null,
    note: 'came without a marking',
    drawer: false,
    faults: (week) => (week >= 11 ? [{ kind: 'leaking', share: 0.08 }] : []),
  },
  {
    tip: tipOf('Drawer', 1.5, true),
    rig: backpack,
    isoSize: '04',
    note: 'never sprayed with',
    drawer: true,
    faults: none,
    skips: (week) => week < SEASON_WEEKS,
  },
  { tip: tipOf('Reel A', 3.04, true), rig: reel, isoSize: '08', note: '', drawer: false, faults: none },
  {
    tip: tipOf('Reel B', 2.28, true),
    rig: reel,
    isoSize: '06',
    note: '',
    drawer: false,
    faults: worn(0.009, 3),
  },
  { tip: tipOf('Reel C', 1.53, true), rig: reel, isoSize: '04', note: '', drawer: false, faults: none },
];
const swapped = tipOf('Reel C', 0.92, false);

/**
 * An invented book of one season: two rigs and eight tips (sound, worn, restricted, leaking, one never sprayed with), three sweeps of each
 * as its baseline, weekly checks at two settings, whole curves in the last week; a regulator that slipped for two weeks, and one check of
 * another tip under the same name. All of it is marked simulated; it is never kept.
 * @param seed equal seeds, equal numbers. @param end_ms the evening of the last day, epoch ms.
 */
export function simulatedSeason(seed: number, end_ms: number): readonly BenchRecord[] {
  const random = new Random(seed);
  const envelope = envelopes();
  const begin_ms = end_ms - SEASON_WEEKS * WEEK_ms - DAY_ms;
  const records: BenchRecord[] = [];
  for (const [place, life] of lives.entries()) {
    const { tip, isoSize, drawer, note } = life;
    const said = envelope(null, begin_ms - 4 * DAY_ms + place);
    records.push({
      ...said,
      kind: 'tip',
      name: tip.name,
      isoSize,
      drawer,
      retired: false,
      note,
      baselineSweepIds: null,
    });
    for (const order of ordersOf(life, place, begin_ms)) {
      const dial = random.stream(`dial of ${life.rig.setup.name}`);
      records.push(
        ...seasonSweep(order, random.stream(`${tip.name} ${order.at_ms - begin_ms}`), dial, envelope),
      );
    }
  }
  records.push({
    ...envelope(null, begin_ms + (SLIPPED_UNTIL - 0.5) * WEEK_ms),
    kind: 'rig-check',
    rigName: reel.setup.name,
    found: { kind: 'dial-at-zero', shown_Pa: 0.4 * PSI_PA, standardUncertainty_Pa: 0.7 * PSI_PA },
  });
  return records;
}

function ordersOf(life: Life, place: number, begin_ms: number): readonly SweepOrder[] {
  const { tip, rig, faults, skips } = life;
  // Half an hour a tip, one after the other.
  const later_ms = (place * DAY_ms) / 48;
  const baseline = [-3, -2, -1].map((day): SweepOrder => ({
    at_ms: begin_ms + day * DAY_ms + later_ms,
    rig,
    tip,
    faults: [],
    occasion: 'new-tip',
    settings_Pa: wholeCurve_Pa,
  }));
  const checks = Array.from({ length: SEASON_WEEKS }, (_, i) => i + 1)
    .filter((week) => skips?.(week) !== true)
    .map((week): SweepOrder => {
      const isLast = week === SEASON_WEEKS;
      const slipped = rig === reel && week >= SLIPPED_FROM && week < SLIPPED_UNTIL;
      return {
        at_ms: begin_ms + week * WEEK_ms + later_ms,
        rig,
        tip:
          tip.name === swapped.name && week === SWAPPED_IN
            ? { ...swapped, ratedFlow_m3_per_s: tip.ratedFlow_m3_per_s }
            : tip,
        faults: [...faults(week), ...(slipped ? [slip] : [])],
        occasion: isLast ? 'sweep' : 'weekly-check',
        settings_Pa: isLast ? wholeCurve_Pa : checked_Pa,
      };
    });
  return [...baseline, ...checks];
}

/** Ids in the shape of a UUID version 7, counted and not drawn: they name nothing outside this book. */
function envelopes(): (sweepId: string | null, at_ms: number) => Envelope {
  let count = 0;
  return (sweepId, at_ms) => {
    count += 1;
    const time = Math.floor(at_ms).toString(16).padStart(12, '0').slice(-12);
    const id = `${time.slice(0, 8)}-${time.slice(8)}-7000-8000-${count.toString(16).padStart(12, '0')}`;
    return {
      id,
      recordVersion: RECORD_VERSION,
      sweepId: sweepId ?? id,
      recordedAt_ms: Math.floor(at_ms),
      timeZone: 'UTC',
      replaces: null,
      simulated: true,
      appVersion: 'simulated season',
    };
  };
}
