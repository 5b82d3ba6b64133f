/** Which estimator a setup's power curve comes from. */
export interface EstimatorResult {
  readonly used: 'output-error fit' | 'local polynomial';
  /** Why not the output-error fit; null where it was used. */
  readonly why: string | null;
  /**
   * The longest stretch of engine speed in which the two estimators lie apart by more than both their bands; null where there is none.
   * `largestShare`: the local polynomial's power over the fit's, less 1, where that is largest.
   */
  readonly disagreement: { readonly fromRpm: number; readonly toRpm: number; readonly largestShare: number } | null;
}
