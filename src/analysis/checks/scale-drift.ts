/** A check as far as a later one is held against it. */
export interface CheckedFactor {
  readonly factor: number;
  /** Without the reference, which both checks share. */
  readonly ownRelativeStandardUncertainty: number;
}

export interface ScaleDrift {
  /** Factor after over factor before, less 1. */
  readonly relative: number;
  /** Of that difference, from both checks' own parts. */
  readonly standardUncertainty: number;
  /** Larger than its own ± (two standard uncertainties): the scale moved. */
  readonly moved: boolean;
}

/** How a scale moved between two checks with the same reference. */
export function scaleDrift(before: CheckedFactor, after: CheckedFactor): ScaleDrift {
  const relative = after.factor / before.factor - 1;
  const standardUncertainty = Math.hypot(
    before.ownRelativeStandardUncertainty,
    after.ownRelativeStandardUncertainty,
  );
  return { relative, standardUncertainty, moved: Math.abs(relative) > 2 * standardUncertainty };
}
