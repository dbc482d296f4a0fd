/** The newest checks of a rig, a line each: when, and what was found. */
import type { RackRig, RigCheckFound } from '../contract.ts';
import { withUncertainty } from './number.ts';
import { pressureText } from './prompts.ts';
import { dayText } from './rack.ts';
import { minutesText, sagText } from './sag.ts';
import type { ShownUnit, ShownUnits } from './units.ts';

/** A value with its 95 % half-width, taken as twice the standard uncertainty. */
function told(value: number, standardUncertainty: number, unit: ShownUnit): string {
  const cut = withUncertainty(unit.fromSI(value), 2 * unit.fromSI(standardUncertainty));
  return cut === null
    ? `${unit.fromSI(value)} ${unit.label}`
    : `${cut.value} ${unit.label}, give or take ${cut.plusMinus}`;
}

function foundText(found: RigCheckFound, units: ShownUnits): string {
  const { pressure } = units;
  switch (found.kind) {
    case 'dial-at-zero':
      return `at no pressure the dial showed ${told(found.shown_Pa, found.standardUncertainty_Pa, pressure)}`;
    case 'flow-stops-at':
      return `turned down, the flow stopped at ${told(found.shown_Pa, found.standardUncertainty_Pa, pressure)}`;
    case 'blank-tip':
      return `a blank tip at ${pressureText(found.pressure_Pa, units)} let through ${told(found.leak_m3_per_s, found.standardUncertainty_m3_per_s, units.drip)}`;
    case 'wand-gauge':
      return `at ${pressureText(found.setting_Pa, units)} on the dial the gauge at the wand read ${told(found.wand_Pa, found.standardUncertainty_Pa, pressure)}`;
    case 'sag-test':
      return `at ${pressureText(found.setting_Pa, units)}, over ${minutesText(found.sprayed_s)} of spraying, the flow ${sagText(found)}`;
  }
}

/** "Rig check, 19 Nov 2026: at no pressure the dial showed 2.0 psi, give or take 1.4." */
export function rigCheckLines(
  checks: RackRig['checks'],
  units: ShownUnits,
  locale?: string,
): readonly string[] {
  return checks.map(
    ({ at_ms, found }) => `Rig check, ${dayText(at_ms, null, locale)}: ${foundText(found, units)}.`,
  );
}
