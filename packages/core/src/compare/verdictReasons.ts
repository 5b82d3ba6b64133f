/** Half-width of the band beyond which "no clear change" would mislead, as a share of power; common practice, no source. */
export const uselessShare = 0.12;

/** A reason that a verdict carries: what it says by itself, what stands behind "Cannot tell:", and what to do. */
export interface VerdictReason {
  readonly sentence: string;
  /** Null for a reason that takes no answer away. */
  readonly whyNot: string | null;
  readonly remedy: string;
  readonly severity: 'warning' | 'note';
}

export type VerdictReasonCode =
  | 'NO_PULLS'
  | 'CURVE_UNDETERMINED'
  | 'NO_OVERLAP'
  | 'SAME_FILE'
  | 'REPEATABILITY_UNKNOWN'
  | 'SPEED_IN_DOUBT'
  | 'CONTRADICTION'
  | 'BAND_TOO_WIDE'
  | 'WEATHER_UNKNOWN'
  | 'OTHER_CHANGE_COULD_EXPLAIN'
  | 'AIR_COULD_EXPLAIN'
  | 'MAY_HIDE_A_CHANGE'
  | 'OUTING_ASSUMED';

/** Every reason that a verdict may carry. Of several that take the answer away, the first of this list is said. */
export const verdictReasons: Readonly<Record<VerdictReasonCode, VerdictReason>> = {
  NO_PULLS: {
    sentence: 'A setup has no usable full-load pull.',
    whyNot: 'a setup has no usable full-load pull',
    remedy: 'Run check on the log: it says what was found and what is missing.',
    severity: 'warning',
  },
  CURVE_UNDETERMINED: {
    sentence: 'The readings in the pulls of a setup are too few to work out its power.',
    whyNot: 'the readings in the pulls of a setup are too few to work out its power',
    remedy: 'Log only engine speed, road speed and pedal, so that each is read more often; make more pulls, in a higher gear.',
    severity: 'warning',
  },
  NO_OVERLAP: {
    sentence: 'The pulls of the two setups share no range of engine speed.',
    whyNot: 'the pulls share no range of engine speed',
    remedy: 'Log pulls of both setups over the same range of engine speed in the same gear.',
    severity: 'warning',
  },
  SAME_FILE: {
    sentence: 'Both setups rest on the same recording.',
    whyNot: null,
    remedy: 'Give each setup its own logs.',
    severity: 'warning',
  },
  REPEATABILITY_UNKNOWN: {
    sentence: 'No setup has two pulls of one outing, so how well pulls repeat is unknown.',
    whyNot: 'one pull a setup does not show how well pulls repeat',
    remedy: 'Log at least three pulls of each setup in one outing.',
    severity: 'warning',
  },
  SPEED_IN_DOUBT: {
    sentence: 'A speed that power is worked out from contradicts its name or unit; power follows its square or its cube.',
    whyNot: 'a speed that power is worked out from contradicts its name or unit',
    remedy: 'Do what the warning on that channel says.',
    severity: 'warning',
  },
  CONTRADICTION: {
    sentence: 'Two sources contradict each other by more than the difference.',
    whyNot: 'two sources contradict each other',
    remedy: 'Do what the warning on the contradiction says.',
    severity: 'warning',
  },
  BAND_TOO_WIDE: {
    sentence: `The band is wider than ±${(100 * uselessShare).toFixed(0)} % of power: a change worth having could hide in it.`,
    whyNot: 'the band is too wide for any change worth having',
    remedy: 'Log more pulls of each setup, at a higher rate, on one road in both directions.',
    severity: 'warning',
  },
  WEATHER_UNKNOWN: {
    sentence: 'The weather was not entered, and different air could account for the difference or hide one.',
    // The explanation says whose weather.
    whyNot: null,
    remedy: 'Enter the weather of every run: air: { temperature, pressure, humidity }.',
    severity: 'warning',
  },
  OTHER_CHANGE_COULD_EXPLAIN: {
    sentence: 'Something besides the part could have made the difference.',
    // The explanation says what.
    whyNot: null,
    remedy: 'Do what the explanation says would settle it.',
    severity: 'warning',
  },
  AIR_COULD_EXPLAIN: {
    sentence: 'The change of the air could explain the difference.',
    whyNot: null,
    remedy: 'Log both setups in the same hour, or more than once each on days of different air.',
    severity: 'warning',
  },
  MAY_HIDE_A_CHANGE: {
    sentence: 'Something else that changed may hide a gain or a loss.',
    whyNot: null,
    remedy: 'Do what the explanation says would settle it.',
    severity: 'warning',
  },
  OUTING_ASSUMED: {
    sentence: 'The setups were logged in different or unknown outings; how much outings differ is assumed.',
    whyNot: null,
    remedy: 'Log both setups in one outing, before-after-before, and name the outing in the trial.',
    severity: 'note',
  },
};

/** Why a comparison cannot tell, to stand behind a colon. */
export function whyNotTold(reasons: readonly VerdictReasonCode[]): string | null {
  const codes = Object.keys(verdictReasons) as VerdictReasonCode[];
  const first = codes.find((code) => reasons.includes(code) && verdictReasons[code].whyNot !== null);
  return first === undefined ? null : verdictReasons[first].whyNot;
}
