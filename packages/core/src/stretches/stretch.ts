/** Kinds of stretches: full load in one gear, idle, steady driving, rolling in neutral, a standing-start run through the gears. */
export type StretchKind = 'pull' | 'idle' | 'cruise' | 'coast' | 'pass';

/** A span of a log of one kind. */
export interface Stretch {
  readonly kind: StretchKind;
  readonly startS: number;
  readonly endS: number;
  readonly fromRpm: number | null;
  readonly toRpm: number | null;
  /** Engine speed over road speed, rpm per m/s, where both are known. */
  readonly rpmPerMps: number | null;
  /** What told it, in words for people. */
  readonly evidence: string;
}

/** A stretch at full load in one gear, with the parts that may be used. */
export interface Pull extends Stretch {
  readonly kind: 'pull';
  /** Parts without a shift, lift, wheelspin or torque cut, trimmed at both ends. Never empty. */
  readonly spans: readonly { readonly fromS: number; readonly toS: number }[];
  /** What was cut out of it and why. */
  readonly cuts: readonly { readonly fromS: number; readonly toS: number; readonly reason: string }[];
}

/** What looks like a pull and has too few readings of engine speed to be used. */
export interface SparsePull {
  readonly startS: number;
  readonly endS: number;
  readonly readings: number;
  readonly needed: number;
}
