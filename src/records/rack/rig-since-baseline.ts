import { LOSS_THAT_MATTERS, pressureLost_Pa } from '../../analysis/diagnosis/hose-loss.ts';
import { rigCheckOfMark } from '../../analysis/diagnosis/rig-check-mark.ts';
import { wandRatio } from '../../analysis/diagnosis/wand-ratio.ts';
import type { CaptureHeader } from '../../signal/captures/header.ts';
import type { KeptSweep } from './kept-sweep.ts';
import type { RackBaseline } from './rack-view.ts';

/** What lies between gauge and tip, as a header tells it; null: not told. */
export type PlumbingTold = Parameters<typeof pressureLost_Pa>[0];

export function plumbingTold(header: Partial<CaptureHeader>): PlumbingTold {
  const { gaugeAt = null, hoseLength_m = null, hoseBore_m = null, tipAboveGauge_m = null } = header;
  return { gaugeAt, hoseLength_m, hoseBore_m, tipAboveGauge_m };
}

/** What a baseline has to say of the rig it was measured on: plumbing and flows of each sweep, and what a gauge at the wand read then. */
export function rigOfBaseline(sweeps: readonly KeptSweep[]): Pick<RackBaseline, 'measuredOn' | 'wand'> {
  const measuredOn = sweeps.flatMap(({ header, answer }) => {
    const points = answer.fitted?.curve.points ?? [];
    return points.length === 0
      ? []
      : [
          {
            plumbing: plumbingTold(header),
            points: points.map(({ pressure_Pa, flow_m3_per_s }) => ({ pressure_Pa, flow_m3_per_s })),
          },
        ];
  });
  const checks = sweeps.flatMap(({ marks }) =>
    marks.flatMap(({ mark }) => (mark.kind === 'rig-check' ? (rigCheckOfMark(mark) ?? []) : [])),
  );
  return { measuredOn, wand: wandRatio(checks) };
}

/**
 * Is pressure lost on the way otherwise than when the baseline was measured? Plumbing told alike (or never told) lost as much; otherwise
 * both losses are estimated at the baseline's flows: it is, where they differ by over 3 % of pressure or one of them is not known.
 */
export function isRigChanged({ measuredOn }: Pick<RackBaseline, 'measuredOn'>, now: PlumbingTold): boolean {
  return (measuredOn ?? []).some(({ plumbing, points }) => {
    if (isSame(plumbing, now)) return false;
    let [more_Pa, all_Pa] = [0, 0];
    for (const { pressure_Pa, flow_m3_per_s } of points) {
      const [lostThen_Pa, lostNow_Pa] = [
        pressureLost_Pa(plumbing, flow_m3_per_s),
        pressureLost_Pa(now, flow_m3_per_s),
      ];
      if (lostThen_Pa === null || lostNow_Pa === null) return true;
      more_Pa += lostNow_Pa - lostThen_Pa;
      all_Pa += pressure_Pa;
    }
    return Math.abs(more_Pa) > LOSS_THAT_MATTERS * all_Pa;
  });
}

function isSame(a: PlumbingTold, b: PlumbingTold): boolean {
  return (
    a.gaugeAt === b.gaugeAt &&
    a.hoseLength_m === b.hoseLength_m &&
    a.hoseBore_m === b.hoseBore_m &&
    a.tipAboveGauge_m === b.tipAboveGauge_m
  );
}
