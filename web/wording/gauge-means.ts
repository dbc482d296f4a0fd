/** What a gauge at the wand says by itself, beside the dial. Loaded with the checks of the rig. */
import type { RigCheckFound } from '../contract.ts';
import { LOST_OR_DIAL } from './flow-lost.ts';
import { fixed, withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import type { ShownUnits } from './units.ts';

type Gauge = Extract<RigCheckFound, { kind: 'wand-gauge' }>;

/** "6.0 psi are missing at 60 psi: lost on the way, or the dial shows too much. Read the dial at zero next." */
export function gaugeMeans(found: Gauge, units: ShownUnits): string {
  const { pressure } = units;
  const missing = pressure.fromSI(found.setting_Pa) - pressure.fromSI(found.wand_Pa);
  const half = 2 * pressure.fromSI(found.standardUncertainty_Pa);
  const at = pressureText(found.setting_Pa, units);
  if (!(Math.abs(missing) > half))
    return `What reaches the wand at ${at} is what the dial shows, within what these gauges can tell.`;
  const much = `${withUncertainty(Math.abs(missing), half)?.value ?? fixed(Math.abs(missing), 1)} ${pressure.label}`;
  return missing > 0
    ? `${much} are missing at ${at}: ${LOST_OR_DIAL}. Read the dial at zero next.`
    : `The gauge shows ${much} more at ${at}: the dial shows too little, or that gauge too much. Read the dial at zero next.`;
}
