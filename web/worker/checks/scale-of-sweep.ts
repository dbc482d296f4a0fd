import { isScaleChecked } from '../../../src/analysis/budget/scale-factor.ts';
import type { CheckedFactor } from '../../../src/analysis/checks/scale-drift.ts';
import { parseMark } from '../../../src/signal/captures/mark.ts';
import { readHeader } from '../read-header.ts';

/**
 * The check of the scale that a sweep stands on: of its header, or else the first that was marked in it. Null: nobody has checked it yet.
 * How much of its ± is the reference is not known any more; the whole then counts as its own.
 */
export function scaleOfSweep(headerText: string, marks: string): CheckedFactor | null {
  const read = readHeader(headerText);
  if (read.ok && isScaleChecked(read.value)) {
    const {
      scaleFactor,
      scaleFactorFound,
      scaleFactorFrom,
      scaleFactorRelativeStandardUncertainty: u = 0,
    } = read.value;
    return {
      factor: scaleFactor ?? scaleFactorFound ?? 1,
      from: scaleFactor !== undefined && scaleFactorFrom === 'water-volume' ? 'water-volume' : 'mass-pieces',
      relativeStandardUncertainty: u,
      ownRelativeStandardUncertainty: u,
    };
  }
  for (const line of marks.split('\n')) {
    const mark = parseMark(line.slice(line.indexOf('\t') + 1));
    if (mark.kind !== 'scale-check') continue;
    const { factor, relativeStandardUncertainty: u } = mark;
    return {
      factor,
      from: 'mass-pieces',
      relativeStandardUncertainty: u,
      ownRelativeStandardUncertainty: u,
    };
  }
  return null;
}
