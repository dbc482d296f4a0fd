import { UNTOLD_OFFSET_HZ } from '../../analysis/budget/meter-parts.ts';
import type { PressureOfSweep, TipSweep } from '../../analysis/comparison/tip-sweep.ts';
import { sharedOffset_Pa } from '../../analysis/curve/compare-with-rated.ts';
import type { NozzleCurve } from '../../analysis/curve/nozzle-curve.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import { keyOf, type BookRig } from './book.ts';
import { dayOf } from './day-of.ts';
import type { KeptSweep } from './kept-sweep.ts';

/** A sweep of the book as a comparison of tips needs it; null without a curve. `rig`: what was found of the rig it was made on. */
export function tipSweepOf(key: string, sweep: KeptSweep, rig: BookRig | null): TipSweep | null {
  const { answer, setup, header, simulated } = sweep;
  if (answer.fitted === null || answer.picture === null) return null;
  const { curve } = answer.fitted;
  return {
    tip: key,
    curve,
    settings: answer.picture.settings,
    shared: sweep.shared,
    flowFrom: sweep.flowFrom,
    instrument: sweep.instrument,
    rig: keyOf(setup.rig.name, simulated),
    day: dayOf(sweep),
    simulated,
    pressure: pressureOf(curve, sweep, rig),
    held: setup.rig.kind === 'held' || setup.rig.kind === 'hose-reel',
    meterOffsetStandardUncertainty_m3_per_s: sweep.flowFrom === 'pulses' ? meterOffset(header) : 0,
  };
}

/**
 * A sensor at the wand feels what the tip feels; what its check left is in its shared part. A dial, or a sensor at the pump, is tied to
 * the tip by a gauge held to the wand, and only as well as the two agreed: the difference is not taken off, so all of it is doubt.
 */
function pressureOf(curve: NozzleCurve, { setup, header }: KeptSweep, rig: BookRig | null): PressureOfSweep {
  const measured = curve.pressureMeasured;
  const atWand = (setup.rig.plumbing?.gaugeAt ?? header.gaugeAt ?? null) === 'wand';
  return {
    source: measured ? 'sensor' : 'dial',
    returns: setup.rig.control === 'clicks-or-shows',
    sharedOffsetStandardUncertainty_Pa: measured
      ? curve.pressureSharedStandardUncertainty_Pa
      : sharedOffset_Pa(curve),
    sharedGainRelativeStandardUncertainty: measured && atWand ? 0 : tieOf(rig),
  };
}

function tieOf(rig: BookRig | null): number | null {
  const ties = (rig?.checks ?? []).flatMap(({ found }) =>
    found.kind === 'wand-gauge'
      ? [Math.hypot(found.wand_Pa / found.setting_Pa - 1, found.standardUncertainty_Pa / found.setting_Pa)]
      : [],
  );
  return ties.length === 0 ? null : Math.max(...ties);
}

function meterOffset(header: CaptureHeader): number {
  const perHertz = 1e-3 / (header.pulsesPerLitre ?? Infinity);
  const { meterOffset_Hz, meterOffsetStandardUncertainty_Hz } = header;
  const u_Hz =
    meterOffset_Hz === undefined ? UNTOLD_OFFSET_HZ / Math.sqrt(3) : (meterOffsetStandardUncertainty_Hz ?? 0);
  return u_Hz * perHertz;
}
