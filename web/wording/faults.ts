/** What was switched on at the simulated bench, told with the truth at the end. */
import type { RigFault } from '../contract.ts';
import { plain } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

/** "What was wrong: the tip is worn, 9 % over what it gave when new." */
export function faultTruth(faults: readonly RigFault[], units: ShownUnits): string {
  if (faults.length === 0) return 'Nothing is wrong with this tip and rig.';
  return `${faults.map((fault) => oneFault(fault, units)).join('; ')}.`;
}

function oneFault(fault: RigFault, units: ShownUnits): string {
  const pressure = (value_Pa: number): string =>
    pressureText(units.pressure.toSI(Number(units.pressure.fromSI(value_Pa).toPrecision(2))), units);
  const percent = (share: number): string => `${plain(Number((100 * Math.abs(share)).toPrecision(2)))} %`;
  switch (fault.kind) {
    case 'none':
      return 'nothing';
    case 'worn':
      return `the tip is worn: ${percent(fault.share)} more than when new`;
    case 'restricted':
      return `the tip is partly blocked: ${percent(fault.share)} less than when new`;
    case 'leaking':
      return `a seal leaks beside the tip: ${percent(fault.share)} of its flow at ${pressure(275790)}`;
    case 'pump-limited':
      return `the pump gives no more than ${pressure(fault.pressure_Pa)}`;
    case 'dial-high':
      return `the dial shows ${pressure(Math.abs(fault.offset_Pa))} ${fault.offset_Pa > 0 ? 'more' : 'less'} than there is`;
    case 'dial-gain':
      return `the dial shows ${percent(fault.share)} ${fault.share > 0 ? 'more' : 'less'} than there is`;
    case 'check-valve':
      return `a check valve holds back ${pressure(fault.opensAt_Pa)}`;
    case 'battery-sag':
      return `the battery fades: the pressure falls by ${percent(fault.share)} ${fault.per === 'minute' ? 'in each minute of water' : 'over a sweep'}`;
    case 'hose-loss':
      return `${plain(Math.round(units.length.fromSI(fault.length_m)))} ${units.length.label} of hose, ${plain(Number(units.bore.fromSI(fault.bore_m).toPrecision(3)))} ${units.bore.label} inside, eat pressure before the tip`;
    case 'pressure-loss':
      return `${pressure(fault.lost_Pa)} is lost before the tip`;
  }
}
