import { inTermsOfPieces } from './in-terms-of-pieces.ts';

/** A check as far as a later one is held against it. */
export interface CheckedFactor {
  /** True over shown mass, as found. */
  readonly factor: number;
  readonly from: 'mass-pieces' | 'water-volume';
  readonly relativeStandardUncertainty: number;
  /** Without the reference, which two checks of one kind share. */
  readonly ownRelativeStandardUncertainty: number;
}

export interface ScaleDrift {
  /** Factor after over factor before, both in terms of mass pieces, less 1. */
  readonly relative: number;
  /** Of that difference: both checks' own parts, and the references where one was a weight and the other a jug. */
  readonly standardUncertainty: number;
  /** Larger than its own ± (two standard uncertainties): the scale moved. */
  readonly moved: boolean;
}

/** How a scale moved between two checks; with references of one kind they are taken for the same, and cancel. */
export function scaleDrift(before: CheckedFactor, after: CheckedFactor): ScaleDrift {
  const relative = inTermsOfPieces(after) / inTermsOfPieces(before) - 1;
  const isShared = before.from === after.from;
  const u = (check: CheckedFactor): number =>
    isShared ? check.ownRelativeStandardUncertainty : check.relativeStandardUncertainty;
  const standardUncertainty = Math.hypot(u(before), u(after));
  return { relative, standardUncertainty, moved: Math.abs(relative) > 2 * standardUncertainty };
}
