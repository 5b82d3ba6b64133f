import { fitTorque, localCurve, localTorque, meanNoise, type SetupCurve, setupCurve, type TorqueFit, torqueGuess } from '../power/index.js';
import type { EstimatorResult } from '../result/index.js';
import type { FittedSetup } from './fittedSetup.js';
import type { LoadedRun } from './loadedRun.js';
import type { TrialPull } from './trialPull.js';

/** Change of log torque in the last round above which the fit has not settled: a part in a thousand. */
const unsettled = 1e-3;
/** Noise of the fitted curve, as a share of power, beyond which the readings do not determine it. */
const undetermined = 0.1;
/** A disagreement counts from this many neighbouring points on, 50 rpm apart. */
const leastPoints = 4;
/** Half-width of a whole curve's 95 % band in standard deviations, about. */
const bandFactor = 3;

/**
 * Fits the pulls of every setup together, and takes the local polynomial's curve for a setup whose equations have no settled solution;
 * the others are then fitted again without it.
 *
 * @param names Of the setups.
 * @param runs Of all setups.
 * @param pulls As prepared, used or not.
 * @returns One a name, with the estimator that its curve comes from.
 */
export function fitSetups(names: readonly string[], runs: readonly LoadedRun[], pulls: readonly TrialPull[]): FittedSetup[] {
  const own = names.map((name, index) => {
    const ownPulls = pulls.filter((pull) => pull.run.setup === index);
    const used = ownPulls.filter((pull) => pull.prepared !== null);
    return { name, runs: runs.filter((run) => run.setup === index), pulls: ownPulls, used, prepared: used.map((pull) => pull.prepared!) };
  });
  const locals = own.map(({ prepared }) => {
    const values = prepared.map(({ motion }) => localTorque(motion));
    return { guess: torqueGuess(values.flat()), curve: prepared.length === 0 ? null : localCurve(prepared, values) };
  });
  const fits = new Map<number, TorqueFit>();
  const refused = new Map<number, string>();
  for (;;) {
    const open = own.flatMap(({ used }, index) => (used.length > 0 && !refused.has(index) ? [index] : []));
    if (open.length === 0) break;
    const found = fitTorque(
      open.map((index) => own[index]!.prepared.map(({ motion }) => motion)),
      open.map((index) => locals[index]!.guess),
    );
    const failed = open.flatMap((index, k) => {
      const why = whyRefused(found[k]!, found);
      return why === null ? [] : [{ index, why }];
    });
    fits.clear();
    for (const [k, index] of open.entries()) fits.set(index, found[k]!);
    if (failed.length === 0) break;
    for (const { index, why } of failed) refused.set(index, why);
  }
  return own.map(({ prepared, ...setup }, index): FittedSetup => {
    const why = refused.get(index);
    if (setup.used.length === 0) return { ...setup, fit: null, curve: null, estimator: null };
    const local = locals[index]!.curve;
    if (why !== undefined) return { ...setup, fit: null, curve: local, estimator: { used: 'local polynomial', why, disagreement: null } };
    const fit = fits.get(index)!;
    const curve = setupCurve(fit, prepared);
    if (curve.engineSpeedRpm.length === 0) return { ...setup, fit, curve: null, estimator: null };
    return {
      ...setup,
      fit,
      curve,
      estimator: { used: 'output-error fit', why: null, disagreement: local === null ? null : disagreementOf(curve, local) },
    };
  });
}

/** Why a setup's fit is not to be used, or null. Where some had no solution, the rounds ended early for the others, which are not to blame. */
function whyRefused(fit: TorqueFit, all: readonly TorqueFit[]): string | null {
  if (!Number.isFinite(fit.lastChange)) return 'the equations of the fit have no solution';
  if (all.some(({ lastChange }) => !Number.isFinite(lastChange))) return null;
  if (!(fit.lastChange < unsettled)) {
    return `the fit still moved by ${(100 * fit.lastChange).toFixed(1)} % after ${fit.iterations} rounds`;
  }
  const noise = Float64Array.from({ length: 9 }, (_, k) =>
    meanNoise(fit, fit.basis.from + ((k + 0.5) / 9) * (fit.basis.to - fit.basis.from)),
  );
  const middle = noise.sort()[noise.length >> 1]!;
  if (!(middle < undetermined)) return `the readings leave the curve uncertain by ${(100 * middle).toFixed(0)} %`;
  return null;
}

/** Where two curves of the same pulls lie apart by more than both their bands of noise together: the longest such stretch, if it is long enough. */
function disagreementOf(fit: SetupCurve, local: SetupCurve): EstimatorResult['disagreement'] {
  const deviation = (curve: SetupCurve, i: number): number =>
    Math.sqrt(curve.noiseCovariance[i * curve.engineSpeedRpm.length + i]! + curve.levelNoiseVariance / curve.pullLevels.length);
  const place = new Map(Array.from(local.engineSpeedRpm, (rpm, j) => [rpm, j]));
  // Logarithm of local over fitted power where it is beyond both bands, else 0.
  const apart = fit.engineSpeedRpm.map((rpm, i) => {
    const j = place.get(rpm);
    if (j === undefined) return 0;
    const value = Math.log(local.wheelPowerW[j]! / fit.wheelPowerW[i]!);
    return Math.abs(value) > bandFactor * (deviation(fit, i) + deviation(local, j)) ? value : 0;
  });
  let longest: readonly [from: number, to: number] = [0, 0];
  for (let from = 0; from < apart.length; from++) {
    if (apart[from] === 0) continue;
    let to = from;
    while (to < apart.length && apart[to] !== 0) to++;
    if (to - from > longest[1] - longest[0]) longest = [from, to];
    from = to;
  }
  const [from, to] = longest;
  if (to - from < leastPoints) return null;
  const largest = apart.subarray(from, to).reduce((most, value) => (Math.abs(value) > Math.abs(most) ? value : most));
  return { fromRpm: fit.engineSpeedRpm[from]!, toRpm: fit.engineSpeedRpm[to - 1]!, largestShare: Math.exp(largest) - 1 };
}
