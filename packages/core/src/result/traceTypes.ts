/** Readings of one channel along a pull; SI, ratios 0–1. */
export interface TraceChannel {
  /** Such as `engine-speed`; a pressure in the manifold is absolute. */
  readonly quantity: string;
  /** As the log names it. */
  readonly name: string;
  readonly unit: string;
  /** One for each time; null where the row brings no new reading. */
  readonly value: readonly (number | null)[];
  /** Usual time between new readings, s; null where there are fewer than two. A longer wait is a gap. */
  readonly refreshS: number | null;
}

/** A pull as it was recorded, reading by reading, with a little of what came before and after. */
export interface PullTrace {
  /** Places of setup and pull in the result. */
  readonly setup: number;
  readonly pull: number;
  /** From the start of the pull. */
  readonly timeS: readonly number[];
  readonly channels: readonly TraceChannel[];
  /** Parts that the power was worked out from. */
  readonly used: readonly { readonly fromS: number; readonly toS: number }[];
  /** Parts that were left out, and why. */
  readonly cuts: readonly { readonly fromS: number; readonly toS: number; readonly reason: string }[];
  /** Lambda as entered for the trial; null where it was not. */
  readonly limits: { readonly targetLambda: number | null; readonly leanestLambda: number | null };
}
