import { PullproofError } from '../findings/index.js';
import { cholesky, choleskyInverse, choleskySolve } from '../maths/index.js';
import { carInputs, movedPass, ownInputs, type PassInput, type PassModel, type UncertainDay } from './passInputs.js';
import { type Pass, simulatePass } from './simulatePass.js';
import { type StripMark, stripMarks } from './stripGeometry.js';

/** A slip as times and speeds in SI; what it does not show is left out. */
export interface Slip {
  readonly timesS: Readonly<Partial<Record<StripMark, number>>>;
  readonly trapsMps: Readonly<Partial<Record<StripMark, number>>>;
}

/** What slips have taught about a car. Deviations are from the model, in standard uncertainties. */
export interface LearnedCar {
  readonly inputs: readonly PassInput[];
  /** Most likely deviation of each input that stays from pass to pass. */
  readonly carZ: Float64Array;
  /** Their covariance, row-major. */
  readonly covariance: Float64Array;
  /** For each slip: deviations of its own, and the slip as the learned car would print it. */
  readonly slips: readonly { readonly ownZ: Float64Array; readonly fitted: Slip }[];
  readonly iterations: number;
  readonly converged: boolean;
  /** Weighted residual over its degrees of freedom; near 1 when slip and car agree. */
  readonly misfit: number;
  /** Whether no car with the stated spreads prints these slips: the chance of so large a misfit is below 1 in 2,000, what a point mass leaves out allowed for. */
  readonly cannotBe: boolean;
}

/** What a point mass may leave out before a car is said not to print a slip; common practice, no source. */
const leftOut = { timeS: 0.015, trapMps: 0.15 } as const;

/** How far a printed slip may be from a point mass with the right inputs; common practice, no source. */
export const slipError = { timeS: 0.004, trapMps: 0.06 } as const;

/**
 * Learns grip, launch, shifts and power from a car's own slips: the most likely inputs given their priors and what the slips print.
 *
 * Minimises Σ z² + Σ ((slip − simulated)/σ)² over the deviations z of every input, by damped Gauss–Newton with differences of the simulated
 * pass; the inverse of the normal matrix is the covariance.
 *
 * @param model the car with priors
 * @param slips at least one, each with its day, and with a model of its own where the car had another power curve (same spreads)
 * @returns deviations with covariance, and each slip as fitted
 * @throws E_STRIP_SLIP without a slip, or for a slip that shows nothing
 *
 * Source: Bayesian least squares, [TARANTOLA2005] ch. 3.
 *
 * @example
 * ```ts
 * import { learnFromSlips, powerTable, usualPassSpreads } from '@pullproof/core';
 * const car = {
 *   massKg: 1600, dragAreaM2: 0.68, rollingCoefficient: 0.012, neutralRotatingFactor: 1.03,
 *   gears: [360, 225, 155, 110].map((rpmPerMps) => ({ rpmPerMps, rotatingFactor: 1.03 + 5e-6 * rpmPerMps ** 2 })),
 *   power: powerTable([2500, 4000, 5500, 6800], [95e3, 165e3, 205e3, 200e3]),
 *   grip: { frictionCoefficient: 1, drivenShare: 0.53, transfer: 0.19 },
 *   launch: { engineSpeedRpm: 3200, riseS: 0.2, stallTorqueRatio: null }, shift: { engineSpeedRpm: 6500, holeS: 0.3, returnS: 0.08 },
 * };
 * const model = { car, curveDensityKgPerM3: 1.16, densityExponent: 0.95, spreads: usualPassSpreads };
 * const day = {
 *   airDensityKgPerM3: 1.16, windMps: 0, grade: 0, rollOutM: 0.29, windSpreadMps: 0.5, gradeSpread: 0.0003,
 *   densitySpreadShare: 0.004, massFactor: 1, massSpreadShare: 0.002,
 * };
 * const slip = { timesS: { '60ft': 2.45, '330ft': 6.2, '660ft': 9.2, '1320ft': 13.8 }, trapsMps: { '1320ft': 47.5 } };
 * const learned = learnFromSlips(model, [{ slip, day }]);
 * learned.converged; // => true
 * Math.abs(learned.slips[0]!.fitted.timesS['1320ft']! - 13.8) < 0.1; // => true
 * ```
 */
export function learnFromSlips(
  model: PassModel,
  slips: readonly { readonly slip: Slip; readonly day: UncertainDay; readonly model?: PassModel }[],
): LearnedCar {
  // A launch that the prior puts below the limit of grip gives grip no slope: the search starts from tyres that are at their limit as well.
  const starts = slips.length === 0 ? [0] : [...new Set([0, -1.5, limitedGripZ(slips[0]!.model ?? model, slips[0]!.day)])];
  const found = starts.map((gripZ) => learnFrom(model, slips, gripZ));
  return found.reduce((best, other) => (other.misfit < best.misfit ? other : best));
}

/** How many standard uncertainties less grip it takes until the launch is at its limit for half a second. */
function limitedGripZ(model: PassModel, day: UncertainDay): number {
  const carZ = new Float64Array(carInputs(model).length);
  const grip = carInputs(model).findIndex(({ name }) => name === 'grip');
  const ownZ = new Float64Array(ownInputs(model, day).length);
  for (let z = 0; z > -4; z -= 0.75) {
    carZ[grip] = z;
    const moved = movedPass(model, day, carZ, ownZ);
    if (simulatePass(moved.car, moved.day, { stepS: 0.04 }).gripLimitedS > 0.5) return z;
  }
  return 0;
}

function learnFrom(
  model: PassModel,
  slips: readonly { readonly slip: Slip; readonly day: UncertainDay; readonly model?: PassModel }[],
  startGripZ: number,
): LearnedCar {
  const shown = slips.map(({ slip }) => shownOf(slip));
  if (slips.length === 0 || shown.some((list) => list.length === 0))
    throw new PullproofError('E_STRIP_SLIP', 'there is no time or speed to learn from.', {}, 'Give at least one time of each slip.');
  const inputs = carInputs(model);
  const shared = inputs.length;
  const own = ownInputs(model, slips[0]!.day).length;
  const size = shared + own * slips.length;
  const rows = shown.reduce((sum, list) => sum + list.length, 0);
  const z = new Float64Array(size);
  z[inputs.findIndex(({ name }) => name === 'grip')] = startGripZ;
  const ofSlip = (vector: Float64Array, s: number): Float64Array => vector.subarray(shared + s * own, shared + (s + 1) * own);
  const simulated = (vector: Float64Array, s: number): Float64Array => {
    const moved = movedPass(slips[s]!.model ?? model, slips[s]!.day, vector.subarray(0, shared), ofSlip(vector, s));
    const pass = simulatePass(moved.car, moved.day, { stepS: 0.03 });
    return Float64Array.from(shown[s]!, ({ mark, kind, errorSi }) => printed(pass, mark, kind) / errorSi);
  };
  const costOf = (vector: Float64Array, values: readonly Float64Array[]): number => {
    let sum = vector.reduce((total, x) => total + x * x, 0);
    shown.forEach((list, s) => {
      list.forEach((item, i) => {
        sum += (item.value / item.errorSi - values[s]![i]!) ** 2;
      });
    });
    return sum;
  };
  let values = slips.map((_, s) => simulated(z, s));
  let cost = costOf(z, values);
  let damping = 0;
  let converged = false;
  let iterations = 0;
  let normal: Float64Array = new Float64Array(size * size);
  for (; iterations < 60 && !converged; iterations++) {
    normal = new Float64Array(size * size);
    const gradient = z.map((x) => -x);
    for (let i = 0; i < size; i++) normal[i * size + i] = 1;
    slips.forEach((_, s) => {
      const places = [...Array(shared).keys(), ...Array.from({ length: own }, (__, k) => shared + s * own + k)];
      const columns = places.map((j) => difference((vector) => simulated(vector, s), z, j));
      shown[s]!.forEach((item, i) => {
        const residual = item.value / item.errorSi - values[s]![i]!;
        places.forEach((a, ka) => {
          gradient[a] = gradient[a]! + columns[ka]![i]! * residual;
          places.forEach((b, kb) => {
            normal[a * size + b] = normal[a * size + b]! + columns[ka]![i]! * columns[kb]![i]!;
          });
        });
      });
    });
    for (let tries = 0; ; tries++) {
      const damped = Float64Array.from(normal);
      for (let i = 0; i < size; i++) damped[i * size + i] = damped[i * size + i]! * (1 + damping);
      const lower = cholesky(damped, size);
      if (lower === null) throw new RangeError('learnFromSlips: the normal matrix is not positive definite');
      const step = choleskySolve(lower, size, gradient);
      // No input moves by more than two standard uncertainties at once.
      const longest = step.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
      const shorter = Math.min(1, 2 / Math.max(longest, 1e-12));
      const tried = z.map((x, i) => x + shorter * step[i]!);
      const triedValues = slips.map((_, s) => simulated(tried, s));
      const triedCost = costOf(tried, triedValues);
      if (triedCost <= cost || tries > 8) {
        converged = cost - triedCost < 1e-3 * (1 + cost) || longest < 1e-3;
        if (triedCost <= cost) {
          z.set(tried);
          values = triedValues;
          cost = triedCost;
        }
        damping = tries === 0 ? damping / 5 : damping;
        break;
      }
      damping = Math.max(4 * damping, 0.05);
    }
  }
  const inverse = choleskyInverse(cholesky(normal, size)!, size);
  const covariance = new Float64Array(shared * shared);
  for (let i = 0; i < shared; i++) for (let j = 0; j < shared; j++) covariance[i * shared + j] = inverse[i * size + j]!;
  return {
    inputs,
    carZ: z.slice(0, shared),
    covariance,
    slips: slips.map(({ day, model: own = model }, s) => {
      const ownZ = ofSlip(z, s).slice();
      const moved = movedPass(own, day, z.subarray(0, shared), ownZ);
      return { ownZ, fitted: slipOf(simulatePass(moved.car, moved.day)) };
    }),
    iterations,
    converged,
    misfit: cost / rows,
    cannotBe: isBeyond(slack(z, shown, values), rows),
  };
}

/** Σ z² and residuals once more, with room for what a point mass leaves out. */
function slack(z: Float64Array, shown: readonly (readonly Shown[])[], values: readonly Float64Array[]): number {
  let sum = z.reduce((total, x) => total + x * x, 0);
  shown.forEach((list, s) => {
    list.forEach(({ kind, value, errorSi }, i) => {
      sum += ((value - values[s]![i]! * errorSi) / Math.hypot(errorSi, kind === 'time' ? leftOut.timeS : leftOut.trapMps)) ** 2;
    });
  });
  return sum;
}

/** Whether χ² with so many degrees exceeds a value in fewer than 1 of 2,000 cases. Source: Wilson & Hilferty, PNAS 17 (1931) 684 (from memory). */
function isBeyond(value: number, degrees: number): boolean {
  const spread = 2 / (9 * degrees);
  return !((Math.cbrt(value / degrees) - (1 - spread)) / Math.sqrt(spread) < 3.29);
}

/** A simulated pass as a slip that shows everything. */
export function slipOf(pass: Pass): Slip {
  return {
    timesS: Object.fromEntries(pass.marks.map(({ mark, timeS }) => [mark, timeS])),
    trapsMps: Object.fromEntries(pass.marks.filter(({ mark }) => mark !== '60ft').map(({ mark, trapMps }) => [mark, trapMps])),
  };
}

interface Shown {
  readonly mark: StripMark;
  readonly kind: 'time' | 'trap';
  readonly value: number;
  readonly errorSi: number;
}

function shownOf(slip: Slip): Shown[] {
  const list: Shown[] = [];
  for (const mark of stripMarks) {
    const time = slip.timesS[mark];
    const trap = slip.trapsMps[mark];
    if (time !== undefined) list.push({ mark, kind: 'time', value: time, errorSi: slipError.timeS });
    if (trap !== undefined) list.push({ mark, kind: 'trap', value: trap, errorSi: slipError.trapMps });
  }
  return list;
}

function printed(pass: Pass, mark: StripMark, kind: 'time' | 'trap'): number {
  const found = pass.marks.find((one) => one.mark === mark)!;
  return kind === 'time' ? found.timeS : found.trapMps;
}

/** Central difference over half a standard uncertainty: wide enough to see past the corners of a grip limit. */
function difference(of: (z: Float64Array) => Float64Array, z: Float64Array, j: number): Float64Array {
  const [behind, ahead] = [-0.25, 0.25].map((by) => {
    const moved = z.slice();
    moved[j] = moved[j]! + by;
    return of(moved);
  }) as [Float64Array, Float64Array];
  return ahead.map((value, i) => (value - behind[i]!) / 0.5);
}
