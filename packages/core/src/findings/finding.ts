/** How much a finding matters: an `error` means something could not be used, a `warning` may change the answer, a `note` explains. */
export type Severity = 'error' | 'warning' | 'note';

/** Where in the input a finding lies. Only what is known is present. */
export interface Place {
  /** Path as the user wrote it (relative to the trial file where there is one). */
  readonly path?: string;
  /** Line of the file, first line is 1. */
  readonly line?: number;
  /** Row of data, the first row below the header (and units row) is 1. */
  readonly row?: number;
  /** Channel or column name as the file has it. */
  readonly channel?: string;
  /** Field of the trial file, for example `setups[0].runs[1].air.pressure`. */
  readonly field?: string;
  /** Character of a formula, the first is 1. */
  readonly character?: number;
  readonly setup?: string;
  readonly fromTimeS?: number;
  readonly toTimeS?: number;
  readonly fromRpm?: number;
  readonly toRpm?: number;
}

/** Something a person should know: what, where, how much it matters, what to do. Plain data; goes into the result as it is. */
export interface Finding {
  /** Upper-case words joined by underscores, for example `W_GAP`. */
  readonly code: string;
  readonly severity: Severity;
  /** What, with values and units, and why it matters. */
  readonly message: string;
  readonly where: Place;
  /** What to do about it. */
  readonly fix: string;
  /** How often it was seen, where that can be counted. */
  readonly count?: number;
}
