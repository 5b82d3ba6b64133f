export function study(
  cars: number,
  draws?: number,
  fromSeed?: number,
): {
  readonly cars: number;
  readonly notConverged: number;
  readonly etRmsS: number;
  readonly etSameRmsS: number;
  readonly trapRmsMph: number;
  readonly trapSameRmsMph: number;
  readonly etCoverage: number;
  readonly trapCoverage: number;
};

export function mistypedStudy(
  cars: number,
  fromSeed?: number,
): {
  readonly cars: number;
  readonly accused: number;
  readonly times: number;
  readonly timesNamed: number;
  readonly timesAlone: number;
  readonly speeds: number;
  readonly speedsNamed: number;
  readonly speedsAlone: number;
};
