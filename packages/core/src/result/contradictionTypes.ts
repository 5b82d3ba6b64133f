/** One of two sources that say the same thing differently. */
export interface ContradictionSource {
  /** What it is, such as `air.pressure`. */
  readonly what: string;
  /** SI; null where it is no single number. */
  readonly value: number | null;
  readonly unit: string;
  /** For people, with unit. */
  readonly shown: string;
  /** Field of the trial file, or log and channel. */
  readonly where: string;
}

/** Something known twice that does not agree. */
export interface Contradiction {
  /** The pair that was compared, such as `station pressure`. */
  readonly name: string;
  readonly setups: readonly string[];
  readonly sources: readonly ContradictionSource[];
  /** How far they are apart, for people. */
  readonly difference: string;
  /** How far it may put the power of a setup off, as a share of power; signed where the sign is known. */
  readonly effects: readonly { readonly setup: string; readonly share: number }[];
  /** What explains it, likeliest first; where two explain it alike, both. */
  readonly mistakes: readonly { readonly name: string; readonly sentence: string }[];
  /** What to do, starting with a verb. */
  readonly fix: string;
}
