/** How power answers to air density, as exponents of density: lowest and highest that the engine's kind allows. */
export interface DensityExponents {
  readonly low: number;
  readonly high: number;
  readonly reason: string;
}

/**
 * Range of the exponent q in power ∝ density^q by how boost is made.
 *
 * Common practice, no source for the ends: friction does not thin with air, so a naturally aspirated engine loses a little more than
 * its air (ISO 1585 has 1.2 on pressure); a fixed-ratio blower follows inlet density (40 CFR 89.331 groups it with naturally aspirated
 * engines), a boost controller makes up for it wholly or in part (UN R85 Supplement 7 exists because of that).
 */
export function densityExponents(boostControl: 'none' | 'fixed-ratio' | 'controlled' | null): DensityExponents {
  switch (boostControl) {
    case 'none':
      return { low: 0.7, high: 1.2, reason: 'no boost: power follows air density' };
    case 'fixed-ratio':
      return { low: 0.5, high: 1.2, reason: 'fixed-ratio blower: power follows air density, less surely' };
    case 'controlled':
      return { low: 0, high: 0.7, reason: 'controlled boost: the controller makes up for air density wholly or in part' };
    case null:
      return { low: 0, high: 1.2, reason: 'the kind of boost control is not stated' };
  }
}

/** What the change of air density alone could have made of the power before, at each engine speed, W. */
export interface AirShare {
  readonly lowW: Float64Array;
  readonly highW: Float64Array;
  /** The end of the range that explains most. */
  readonly mostW: Float64Array;
}

/**
 * Power that the air alone could have added or taken: P (r^q − 1) over the range of q and of the density ratio r.
 *
 * @param beforeW Power before, W.
 * @param densityRatio Density after over density before.
 * @param ratioSpread Relative uncertainty of that ratio beyond what an outing's luck covers: 0 when both were entered.
 * @param exponents Range of q.
 */
export function airShare(beforeW: Float64Array, densityRatio: number, ratioSpread: number, exponents: DensityExponents): AirShare {
  const ends = [-1.96, 1.96].flatMap((k) =>
    [exponents.low, exponents.high].map((q) => Math.exp(q * (Math.log(densityRatio) + k * ratioSpread)) - 1),
  );
  const low = Math.min(...ends);
  const high = Math.max(...ends);
  const most = Math.abs(low) > Math.abs(high) ? low : high;
  return { lowW: beforeW.map((w) => w * low), highW: beforeW.map((w) => w * high), mostW: beforeW.map((w) => w * most) };
}
