import { compareWays, type OneWay, type Way } from '../../src/analysis/comparison/compare-ways.ts';
import { ownUncertainty } from '../../src/analysis/flow/catch-uncertainty.ts';
import { ok, refused, type Outcome } from '../../src/base/outcome.ts';
import type { SweepRecord } from '../../src/records/bench-record.ts';
import { standing } from '../../src/records/standing.ts';
import type { AnalysedFile, WayCompared } from '../contract.ts';
import { openKept } from './kept-sweeps.ts';
import { measuredWith, notInCommon, type MeasuredWith } from './not-in-common.ts';
import type { BenchStore } from './storage/bench-store.ts';

/** Sweeps further back than this are another tip by now. Judgement, no source. */
const MOST_LOOKED_AT = 20;

/** A sweep against the newest of the same tip and rig that was made the other way; see the contract. */
export async function compareOtherWay(store: BenchStore, sweepId: string): Promise<Outcome<WayCompared>> {
  const listed = await store.sweeps();
  if (!listed.ok) return listed;
  const asked = await oneWay(store, sweepId);
  if (!asked.ok) return asked;
  const { tip, rig } = asked.value.record.setup;
  const candidates = listed.value.filter(
    (one) =>
      one.sweepId !== sweepId &&
      one.unreadable === null &&
      !one.timedByHand &&
      one.tipName === tip.name &&
      one.rigName === rig.name &&
      // Invented water is never held against real water.
      one.simulated === asked.value.record.simulated,
  );
  let cannotTell = false;
  for (const { sweepId: other } of candidates.slice(0, MOST_LOOKED_AT)) {
    const found = await oneWay(store, other);
    if (!found.ok || !isOtherWay(found.value.side.way, asked.value.side.way)) continue;
    if (found.value.side.catches.length === 0) continue;
    if (!isSameWater(found.value.record, asked.value.record)) continue;
    const notShared = notInCommon(asked.value.measured, found.value.measured);
    if (notShared === null) {
      cannotTell = true;
      continue;
    }
    return compareWays(
      { ...asked.value.side, sharedRelative: notShared[0] },
      { ...found.value.side, sharedRelative: notShared[1] },
    );
  }
  return refused(cannotTell ? 'instruments-not-checked' : 'no-sweep-the-other-way');
}

/** Driven alike; and of invented tips, which all have one name, the very same. */
function isSameWater(a: SweepRecord, b: SweepRecord): boolean {
  return (
    a.setup.rig.kind === b.setup.rig.kind &&
    a.trueNozzleConstant_m3_per_s_per_sqrtPa === b.trueNozzleConstant_m3_per_s_per_sqrtPa
  );
}

function isOtherWay(a: Way, b: Way): boolean {
  return (a === 'pail') !== (b === 'pail');
}

async function oneWay(
  store: BenchStore,
  sweepId: string,
): Promise<
  Outcome<{ readonly record: SweepRecord; readonly side: OneWay; readonly measured: MeasuredWith }>
> {
  const records = await store.records(sweepId);
  if (!records.ok) return records;
  const { sweep: record } = standing(records.value);
  if (record === null) return refused('record-not-found', { sweepId });
  // Water of several tips is nobody's.
  if (record.setup.routine !== null) return refused('sweeps-not-alike');
  const file = await openKept(store, sweepId);
  if (!file.ok) return file;
  const side = sideOf(file.value, record);
  return ok({ record, side, measured: measuredWith(record, side.way === 'meter', file.value) });
}

function sideOf({ analysis }: AnalysedFile, { setup }: SweepRecord): OneWay {
  const good = analysis.catches.flatMap((c) => {
    const { setting_Pa, flow_m3_per_s, typeA_m3_per_s, typeADegreesOfFreedom } = c;
    if (c.struck || c.voidBecause !== null || setting_Pa === null || flow_m3_per_s === null) return [];
    const own = ownUncertainty({
      typeA_m3_per_s: typeA_m3_per_s ?? 0,
      typeADegreesOfFreedom: typeADegreesOfFreedom ?? 1,
      jetAllowance_m3_per_s: c.jetAllowance_m3_per_s ?? 0,
      ownTypeB_m3_per_s: c.ownTypeB_m3_per_s ?? 0,
      sharedTypeB_m3_per_s: 0,
    });
    return [
      {
        setting_Pa,
        flow_m3_per_s,
        ownStandardUncertainty_m3_per_s: own.standardUncertainty,
        ownDegreesOfFreedom: own.degreesOfFreedom,
        fromPulses: c.flowFrom === 'pulses',
      },
    ];
  });
  const byMeter = good.length > 0 && good.every((c) => c.fromPulses);
  return {
    way: byMeter ? 'meter' : setup.rig.standsOnScale,
    catches: good,
    // Told by what is not the same in both: `notInCommon`.
    sharedRelative: 0,
    settingStandardUncertainty_Pa:
      setup.rig.control === 'turns-freely' ? setup.rig.settingStandardUncertainty_Pa : 0,
  };
}
