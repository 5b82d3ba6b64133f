/** What was found about the zero of a manifold-pressure channel. */
export interface ReferenceEvidence {
  readonly reference: 'absolute' | 'gauge' | 'cannot tell';
  readonly evidence: string;
}

/**
 * Tells from the readings whether a manifold-pressure channel is absolute or gauge.
 *
 * An absolute channel reads the weather's pressure with the engine off and something between a fifth of it and that at idle; a gauge channel reads about zero with the engine off and below zero at idle. Absolute pressure is never negative.
 *
 * @param valuesPa manifold pressure, Pa; NaN where there is none
 * @param engineSpeedRpm same length; NaN where there is none
 * @param options `stationPressurePa`, default 101325
 * @returns the reference and the reading that tells it; `cannot tell` when none does
 *
 * Validity: a throttled spark-ignition engine.
 */
export function pressureReferenceOf(
  valuesPa: Float64Array,
  engineSpeedRpm: Float64Array,
  options: { readonly stationPressurePa?: number | null } = {},
): ReferenceEvidence {
  const stationPa = options.stationPressurePa ?? 101325;
  const kpa = (pa: number): string => `${(pa / 1000).toFixed(1)} kPa`;
  const finite: number[] = [];
  const off: number[] = [];
  for (let i = 0; i < valuesPa.length; i++) {
    if (!Number.isFinite(valuesPa[i]!)) continue;
    finite.push(valuesPa[i]!);
    if (engineSpeedRpm[i]! < 50) off.push(valuesPa[i]!);
  }
  if (finite.length < 10) return { reference: 'cannot tell', evidence: 'fewer than ten readings' };
  const lowPa = quantile(finite, 0.02);
  const highPa = quantile(finite, 0.98);
  // Beyond what any sensor's zero error could make of an absolute reading.
  if (lowPa < -5000) return { reference: 'gauge', evidence: `it reads below zero, down to ${kpa(lowPa)}, which absolute pressure cannot` };
  if (off.length >= 5) {
    const offPa = quantile(off, 0.5);
    if (Math.abs(offPa - stationPa) < 0.1 * stationPa)
      return { reference: 'absolute', evidence: `with the engine off it reads ${kpa(offPa)}` };
    if (Math.abs(offPa) < 0.1 * stationPa) return { reference: 'gauge', evidence: `with the engine off it reads ${kpa(offPa)}` };
  }
  if (lowPa > 0.1 * stationPa && highPa > 0.85 * stationPa) {
    return { reference: 'absolute', evidence: `it reads from ${kpa(lowPa)} to ${kpa(highPa)} and never near zero` };
  }
  return { reference: 'cannot tell', evidence: `it reads from ${kpa(lowPa)} to ${kpa(highPa)}, which either could` };
}

function quantile(values: readonly number[], share: number): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.round(share * (sorted.length - 1))]!;
}
