/** A number as a summary shows it: never without its band, where it has one, and its standing. */
export interface SummaryNumber {
  readonly what: string;
  readonly value: string;
  /** Both bounds as text, or why there are none. */
  readonly band: string;
  readonly standing: string;
}

/** What every summary is made of, in the order in which it is read. */
export interface SummaryParts {
  readonly title: string;
  readonly answers: readonly { readonly about: string; readonly sentence: string }[];
  /** The warning line; null where the result has none. */
  readonly warning: { readonly stop: boolean; readonly sentence: string; readonly details: readonly string[] } | null;
  readonly numbers: readonly SummaryNumber[];
  readonly cautions: readonly string[];
  readonly next: readonly string[];
}
