import { coastDownForceN, coastDownFromRoadLoad } from './coastDown.js';
import { coastFindings } from './coastFindings.js';
import { type CoastDownFit, type CoastRun, type Estimate, requireKnown, requireRuns } from './coastRun.js';
import { COMMON, covarianceOf, DRAG, GRADE, GROWTH, type Prior, ROLLING, residualNoise, type Solution, solve, WIND } from './coastSolve.js';
import { STANDARD_GRAVITY } from './roadLoad.js';

export interface FitCoastDownOptions {
  /** Wind against heading 1 as it is known beforehand; 0 ± 2 m/s unless given. */
  readonly headwindMps?: Estimate;
  /** Grade along heading 1 as it is known beforehand; 0 ± 0.005 unless given. */
  readonly grade?: Estimate;
}

/** Published coast-down sets of cars have growths of −0.01 to 0.06 per m/s, most of them within this. */
const USUAL_GROWTH: Estimate = { value: 0, spread: 0.02 };
/** Taken for the noise before there are residuals. */
const FIRST_NOISE_MPS = 0.1;
/** Rounds in which the noise is found from the residuals and put back into the weights. */
const NOISE_ROUNDS = 2;

/**
 * Drag area and rolling coefficient from neutral coast-downs, fitted to the recorded speed itself: v(t) of M dv/dt = −(A + B v + C v²) in closed form,
 * so nothing is differentiated. Wind, grade and a growth of the rolling force with speed are unknowns with what is known beforehand; runs in both directions find wind and grade.
 * The growth is then shared out to the two so that they come nearest to the coast-downs without it; what they then miss counts as an error of both.
 *
 * @param runs coast-downs of one car on one road and day
 * @param options wind and grade with their standard uncertainties
 * @returns drag area m², rolling coefficient, wind m/s and grade with one standard uncertainty, which counts noise (with the correlation of its neighbours), wind, grade and growth
 * @throws E_COAST_RUN for a run with fewer than 20 readings, times that do not rise, speeds that are not finite and positive or do not fall by a tenth, or masses or densities that are not positive;
 * E_COAST_FIT when the fit does not settle
 *
 * Validity: constant coefficients in still, even air; the spread leaves out errors of mass (drag area in proportion) and air density (drag area inversely).
 * Findings: W_COAST_ONE_WAY, W_COAST_INSEPARABLE when the two cannot be told apart, W_COAST_MISFIT when more than noise is left.
 * Source: [THOMPSON]; [GILLESPIE1992] eq. 4-12 for the forces.
 *
 * @example
 * ```ts
 * import { coastDownFromRoadLoad, coastDownSpeedMps, fitCoastDown } from '@pullproof/core';
 * const car = { massKg: 1500, airDensityKgPerM3: 1.2, dragAreaM2: 0.7, rollingCoefficient: 0.012 };
 * const timeS = Array.from({ length: 400 }, (_, i) => i / 10);
 * const speedMps = timeS.map((t) => coastDownSpeedMps(t, 33, coastDownFromRoadLoad(car), 1540));
 * const run = { timeS, speedMps, massKg: 1500, rotatingMassKg: 40, airDensityKgPerM3: 1.2 };
 * fitCoastDown([{ ...run, heading: 1 }, { ...run, heading: -1 }]).dragAreaM2.value.toFixed(3); // => '0.700'
 * ```
 */
export function fitCoastDown(runs: readonly CoastRun[], options: FitCoastDownOptions = {}): CoastDownFit {
  const { headwindMps = { value: 0, spread: 2 }, grade = { value: 0, spread: 0.005 } } = options;
  requireRuns(runs);
  requireKnown('headwind', headwindMps);
  requireKnown('grade', grade);
  const unknowns = COMMON + runs.length;
  const start = Float64Array.of(0.7, 0.012, USUAL_GROWTH.value, headwindMps.value, grade.value, ...runs.map((run) => run.speedMps[0]!));
  const samples = runs.reduce((sum, run) => sum + run.timeS.length, 0);
  const prior = [
    { index: GROWTH, known: USUAL_GROWTH },
    { index: WIND, known: headwindMps },
    { index: GRADE, known: grade },
  ];
  let solution = solve(runs, start, FIRST_NOISE_MPS, prior);
  let { iterations } = solution;
  let noise = residualNoise(runs, solution.at, samples - unknowns);
  for (let round = 0; round < NOISE_ROUNDS; round++) {
    solution = solve(runs, solution.at, noise.weightMps, prior);
    iterations += solution.iterations;
    noise = residualNoise(runs, solution.at, samples - unknowns);
  }
  const { at, covariance } = solution;
  const estimate = (index: number): Estimate => ({ value: at[index]!, spread: Math.sqrt(covariance[index * unknowns + index]!) });
  // The two alone, in the wind and on the grade just found.
  const alone = pinned(at);
  const from = Float64Array.from(at, (value, index) => (index === GROWTH ? 0 : value));
  const two = solve(runs, from, noise.weightMps, alone);
  const own = covarianceOf(runs, two.at, noise.weightMps, [alone[0]!, ...prior.slice(1)]);
  const grown = growthCovariance(runs, solution, two);
  const fit = {
    dragAreaM2: { value: two.at[DRAG]!, spread: Math.sqrt(own[0]! + grown.drag) },
    rollingCoefficient: { value: two.at[ROLLING]!, spread: Math.sqrt(own[unknowns + 1]! + grown.rolling) },
    covarianceM2: own[1]! + grown.both,
    rollingGrowthPerMps: estimate(GROWTH),
    headwindMps: estimate(WIND),
    grade: estimate(GRADE),
    noiseMps: noise.standardMps,
    residualCorrelation: noise.correlation,
    samples,
    iterations,
  };
  return { ...fit, findings: coastFindings(runs, fit) };
}

/**
 * Force that a coast-down fit means for a car in still air on the level, with its spread; the two coefficients' errors partly cancel in it.
 *
 * @param speedMps m/s
 * @param fit as found by {@link fitCoastDown}
 * @param car mass kg, air density kg/m³
 * @returns N, one standard uncertainty
 *
 * Source: [GUM] eq. 13.
 *
 * @example
 * ```ts
 * import { fittedForceN } from '@pullproof/core';
 * const fit = { dragAreaM2: { value: 0.7, spread: 0.01 }, rollingCoefficient: { value: 0.012, spread: 0.0003 }, covarianceM2: -2.9e-6 };
 * fittedForceN(20, fit, { massKg: 1500, airDensityKgPerM3: 1.2 }).value.toFixed(1); // => '344.5'
 * ```
 */
export function fittedForceN(
  speedMps: number,
  fit: Pick<CoastDownFit, 'dragAreaM2' | 'rollingCoefficient' | 'covarianceM2'>,
  car: { readonly massKg: number; readonly airDensityKgPerM3: number },
): Estimate {
  const force = (dragAreaM2: number, rollingCoefficient: number) =>
    coastDownForceN(speedMps, coastDownFromRoadLoad({ ...car, dragAreaM2, rollingCoefficient }));
  const perArea = force(1, 0);
  const perCoefficient = force(0, 1);
  const variance =
    (perArea * fit.dragAreaM2.spread) ** 2 +
    (perCoefficient * fit.rollingCoefficient.spread) ** 2 +
    2 * perArea * perCoefficient * fit.covarianceM2;
  return { value: force(fit.dragAreaM2.value, fit.rollingCoefficient.value), spread: Math.sqrt(Math.max(0, variance)) };
}

/**
 * What growth adds to the covariance of the two that stand for the whole force. What they miss counts as one error for each of them.
 * And as far as growth is not known, drag area may stand for it or not: the force at the speeds driven is the same, but not beyond.
 */
function growthCovariance(runs: readonly CoastRun[], whole: Solution, two: Solution) {
  // In rolling coefficients; ratio · v² turns a drag area into one.
  const ratio = runs.reduce((sum, run) => sum + run.airDensityKgPerM3 / (2 * run.massKg * STANDARD_GRAVITY), 0) / runs.length;
  const speeds = runs.flatMap((run) => Array.from(run.speedMps));
  const mean = (of: (v: number) => number) => speeds.reduce((sum, v) => sum + of(v), 0) / speeds.length;
  const meanSquare = mean((v) => v ** 2);
  const squareVariance = mean((v) => (v ** 2 - meanSquare) ** 2);
  const [drag, rolling, growth] = [whole.at[DRAG]!, whole.at[ROLLING]!, whole.at[GROWTH]!];
  const missed = mean((v) => (rolling * (1 + growth * v) - two.at[ROLLING]! + ratio * (drag - two.at[DRAG]!) * v ** 2) ** 2);
  // Half the inverse of their normal matrix per reading, times the missed square.
  const each = missed / 2 / squareVariance;
  const perSquare = mean((v) => v * (v ** 2 - meanSquare)) / squareVariance;
  const unknown = rolling ** 2 * perSquare ** 2 * whole.covariance[GROWTH * whole.at.length + GROWTH]!;
  return {
    drag: (each + unknown) / ratio ** 2,
    rolling: each * (squareVariance + meanSquare ** 2) + unknown * meanSquare ** 2,
    both: (-(each + unknown) * meanSquare) / ratio,
  };
}

/** No growth; wind and grade as found. */
function pinned(at: Float64Array): Prior {
  return [
    { index: GROWTH, known: { value: 0, spread: 1e-7 } },
    { index: WIND, known: { value: at[WIND]!, spread: 1e-5 } },
    { index: GRADE, known: { value: at[GRADE]!, spread: 1e-8 } },
  ];
}
