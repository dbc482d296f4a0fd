import type { CaptureMark } from '../../signal/captures/mark.ts';
import type { RigCheckFound } from './evidence.ts';

type RigCheckMark = Extract<CaptureMark, { readonly kind: 'rig-check' }>;

/** A check of the rig as a capture keeps it. */
export function rigCheckMark(found: RigCheckFound): RigCheckMark {
  const { kind: check } = found;
  switch (check) {
    case 'dial-at-zero':
    case 'flow-stops-at':
      return mark(check, found.shown_Pa, found.standardUncertainty_Pa, null);
    case 'blank-tip':
      return mark(check, found.leak_m3_per_s, found.standardUncertainty_m3_per_s, found.pressure_Pa);
    case 'wand-gauge':
      return mark(check, found.wand_Pa, found.standardUncertainty_Pa, found.setting_Pa);
    case 'sag-test':
      return {
        ...mark(check, found.flowLostRelative, found.relativeStandardUncertainty, found.setting_Pa),
        after_s: found.sprayed_s,
      };
  }
}

/** The check that a mark tells of; null where a pressure that belongs to it is missing (the reader of marks never lets that through). */
export function rigCheckOfMark(told: RigCheckMark): RigCheckFound | null {
  const { check: kind, value, standardUncertainty, at_Pa } = told;
  switch (kind) {
    case 'dial-at-zero':
    case 'flow-stops-at':
      return { kind, shown_Pa: value, standardUncertainty_Pa: standardUncertainty };
    case 'blank-tip':
      if (at_Pa === null) return null;
      return {
        kind,
        leak_m3_per_s: value,
        standardUncertainty_m3_per_s: standardUncertainty,
        pressure_Pa: at_Pa,
      };
    case 'wand-gauge':
      if (at_Pa === null) return null;
      return { kind, setting_Pa: at_Pa, wand_Pa: value, standardUncertainty_Pa: standardUncertainty };
    case 'sag-test':
      if (at_Pa === null || told.after_s === undefined) return null;
      return {
        kind,
        setting_Pa: at_Pa,
        flowLostRelative: value,
        relativeStandardUncertainty: standardUncertainty,
        sprayed_s: told.after_s,
      };
  }
}

function mark(
  check: RigCheckMark['check'],
  value: number,
  standardUncertainty: number,
  at_Pa: number | null,
): RigCheckMark {
  return { kind: 'rig-check', check, value, standardUncertainty, at_Pa };
}
