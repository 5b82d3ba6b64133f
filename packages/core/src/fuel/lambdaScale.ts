import { PullproofError } from '../findings/index.js';

/**
 * Lambda behind the air-fuel ratio that a gauge shows.
 *
 * lambda = shown/gauge number. A gauge multiplies lambda by a number of its own (mostly 14.7) whatever the fuel is: the fuel's stoichiometric ratio does not enter.
 *
 * @param shownAfr what the gauge or channel reads
 * @param gaugeStoich the number that the gauge multiplies lambda by
 * @returns lambda
 * @throws E_GAUGE_SCALE when the number is no ratio of a fuel (5 to 20)
 */
export function lambdaFromGauge(shownAfr: number, gaugeStoich: number): number {
  return shownAfr / checkedStoich(gaugeStoich);
}

/** The number a gauge would show at a lambda: the other way round of {@link lambdaFromGauge}. */
export function gaugeFromLambda(lambda: number, gaugeStoich: number): number {
  return lambda * checkedStoich(gaugeStoich);
}

/**
 * True air-fuel ratio by mass at a lambda, for a named fuel.
 *
 * @param lambda air over the air needed
 * @param fuelStoichAfr of the fuel in the tank, see {@link blendStoichAfr}
 * @returns kg of air for a kg of fuel
 */
export function airFuelRatio(lambda: number, fuelStoichAfr: number): number {
  return lambda * checkedStoich(fuelStoichAfr);
}

function checkedStoich(stoich: number): number {
  if (stoich >= 5 && stoich <= 20) return stoich;
  throw new PullproofError(
    'E_GAUGE_SCALE',
    `A stoichiometric number of ${stoich} belongs to no fuel.`,
    {},
    'Give the number by which the gauge multiplies lambda, mostly 14.7.',
  );
}

/** Lambda of several banks or sensors taken together, row by row. */
export interface CombinedLambda {
  /** Mean of the banks that were read in the row; NaN where none was. */
  readonly lambda: Float64Array;
  /** Leanest bank of the row; NaN where none was read. */
  readonly leanest: Float64Array;
  /** Mean of each bank less the mean of all, over the rows in which all were read; NaN without such rows. */
  readonly offsets: readonly number[];
}

/**
 * Takes the banks of an engine together, and says how far apart they are.
 *
 * @param banks one array a bank, same length, NaN where there is no reading
 * @returns mean and leanest of each row, and each bank's mean distance from all
 * @throws E_LENGTHS when the arrays differ in length, or there is none
 */
export function combineBanks(banks: readonly Float64Array[]): CombinedLambda {
  const rows = banks[0]?.length ?? -1;
  if (rows < 0 || banks.some((bank) => bank.length !== rows)) {
    throw new PullproofError('E_LENGTHS', 'The banks differ in length, or there is none.', {}, 'Give one array a bank, of one length.');
  }
  const lambda = new Float64Array(rows).fill(Number.NaN);
  const leanest = new Float64Array(rows).fill(Number.NaN);
  const sums = new Float64Array(banks.length);
  let complete = 0;
  for (let i = 0; i < rows; i++) {
    let read = 0;
    let sum = 0;
    let most = Number.NEGATIVE_INFINITY;
    for (const bank of banks) {
      const value = bank[i]!;
      if (!Number.isFinite(value)) continue;
      read++;
      sum += value;
      most = Math.max(most, value);
    }
    if (read === 0) continue;
    const mean = sum / read;
    lambda[i] = mean;
    leanest[i] = most;
    if (read < banks.length) continue;
    complete += 1;
    for (let k = 0; k < banks.length; k++) sums[k]! += banks[k]![i]! - mean;
  }
  return { lambda, leanest, offsets: Array.from(sums, (sum) => (complete === 0 ? Number.NaN : sum / complete)) };
}
