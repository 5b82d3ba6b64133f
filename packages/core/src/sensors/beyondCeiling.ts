import { type CensoredFit, censoredMean, censoredRegression, type ModelEstimate } from './censoredRegression.js';
import { type Ceiling, readingsOnCeiling } from './findCeilings.js';

/** Options of {@link beyondCeiling}. */
export interface BeyondCeilingOptions {
  /** Degree of the polynomial in the axis. Default 1: a higher one bends freely where nothing was read. */
  readonly degree?: number;
  /** Default 0.95. */
  readonly level?: number;
}

export interface BeyondCeiling {
  /** One for each point asked for. */
  readonly estimates: readonly ModelEstimate[];
  readonly fit: CensoredFit;
  /** For people, to stand beside the numbers. */
  readonly label: string;
}

/**
 * What a curve may have been above a ceiling, as a model: a polynomial through readings of which those on the ceiling count as "at least".
 *
 * @param axis what the quantity runs along, such as engine speed, one value a reading
 * @param values readings; rows with NaN are left out
 * @param ceiling from findCeilings
 * @param at points to estimate at
 * @returns estimates with the band of the mean, never lower than the model says, labelled as model-based
 * @throws as censoredRegression
 *
 * Validity: a curve that the polynomial can follow, errors of one size. Nothing was read up there.
 */
export function beyondCeiling(
  axis: Float64Array,
  values: Float64Array,
  ceiling: Ceiling,
  at: readonly number[],
  options: BeyondCeilingOptions = {},
): BeyondCeiling {
  const { degree = 1, level = 0.95 } = options;
  const onCeiling = readingsOnCeiling(values, ceiling);
  const rows: number[] = [];
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i]!) && Number.isFinite(axis[i]!)) rows.push(i);
  const low = Math.min(...rows.map((i) => axis[i]!));
  const high = Math.max(...rows.map((i) => axis[i]!));
  const centred = (point: number): number => (high > low ? (2 * point - low - high) / (high - low) : 0);
  const powers = (point: number): number[] => Array.from({ length: degree + 1 }, (_, k) => centred(point) ** k);
  const design = Array.from({ length: degree + 1 }, (_, k) => Float64Array.from(rows, (i) => centred(axis[i]!) ** k));
  const sign = ceiling.side === 'upper' ? 1 : -1;
  const fit = censoredRegression(
    design,
    Float64Array.from(rows, (i) => (onCeiling[i] === 1 ? ceiling.value : values[i]!)),
    Int8Array.from(rows, (i) => (onCeiling[i] === 1 ? sign : 0)),
  );
  return {
    estimates: at.map((point) => censoredMean(fit, powers(point), { level })),
    fit,
    label: `Model-based estimate (${fit.seen} readings below the ceiling, ${fit.censored} on it): nothing was read up there.`,
  };
}
