/** Rows of the table twin of the curve, in words and figures. */
import type { CatchView } from '../contract.ts';
import { sentenceOf } from './because.ts';
import { doubtsOf } from './doubts.ts';
import { isLeftOut, leftOutState } from './left-out.ts';
import { fixed, significant, withUncertainty } from './number.ts';
import { words } from './page.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

export interface CatchRow {
  readonly index: number;
  readonly number: number;
  readonly setting: string;
  readonly flow: string;
  readonly plusMinus: string;
  readonly drip: string;
  readonly state: string;
  /** Why it is void, doubtful or struck out; empty when it is good. */
  readonly why: string;
  readonly struck: boolean;
  readonly void: boolean;
  /** It counts, but with a doubt: the same diamond as on the curve. */
  readonly doubtful: boolean;
}

function stateOf(thisCatch: CatchView): Pick<CatchRow, 'state' | 'why' | 'doubtful'> {
  const text = words.table;
  if (thisCatch.struck)
    return {
      state: isLeftOut(thisCatch.struckReason) ? leftOutState : text.struck,
      why: thisCatch.struckReason === 'unasked' ? words.running.unasked : (thisCatch.struckReason ?? ''),
      doubtful: false,
    };
  if (thisCatch.voidBecause !== null)
    return { state: text.void, why: sentenceOf(thisCatch.voidBecause).what, doubtful: false };
  const doubts = doubtsOf(thisCatch);
  if (doubts.length > 0)
    return {
      state: text.doubtful,
      why: doubts.map((warning) => sentenceOf(warning).what).join(' '),
      doubtful: true,
    };
  return { state: text.good, why: '', doubtful: false };
}

function settingText({ setting_Pa }: CatchView, units: ShownUnits): string {
  return setting_Pa === null ? '–' : pressureText(setting_Pa, units);
}

export function catchRow(thisCatch: CatchView, units: ShownUnits): CatchRow {
  const flow = thisCatch.flow_m3_per_s;
  const half = thisCatch.expandedUncertainty95_m3_per_s;
  const cut =
    flow === null || half === null ? null : withUncertainty(units.flow.fromSI(flow), units.flow.fromSI(half));
  return {
    index: thisCatch.index,
    number: thisCatch.index + 1,
    setting: thisCatch.label ?? settingText(thisCatch, units),
    flow: cut?.value ?? (flow === null ? '–' : significant(units.flow.fromSI(flow), 2)),
    plusMinus: cut?.plusMinus ?? '–',
    drip:
      thisCatch.drip_m3_per_s === null
        ? '–'
        : fixed(units.drip.fromSI(thisCatch.drip_m3_per_s), units.system === 'us' ? 2 : 1),
    ...stateOf(thisCatch),
    struck: thisCatch.struck,
    void: thisCatch.voidBecause !== null,
  };
}

/** "40 psi, 0.340 gal/min." */
export function catchName(thisCatch: CatchView, units: ShownUnits): string {
  const row = catchRow(thisCatch, units);
  return `${row.setting}, ${row.flow} ${units.flow.label}.`;
}
