import { densityExponents } from '../../compare/index.js';
import type { MixedModel } from '../../maths/index.js';
import { inputEffects } from '../../power/index.js';
import type { Evidence, TrialPull } from '../../pulls/index.js';

/** A pull of the season: the mean logarithm of its power over the range that all setups share. */
export interface SeasonPull {
  readonly pull: TrialPull;
  readonly setup: number;
  readonly outing: string;
  readonly logPowerW: number;
}

/** The season's pulls as a mixed model: a column for each setup, outings as groups, what the inputs are unsure of as covariance known beforehand. */
export interface SeasonModel {
  readonly model: MixedModel;
  readonly pulls: readonly SeasonPull[];
  /** Places, in the trial, of the setups that have a curve. */
  readonly setups: readonly number[];
  readonly fromRpm: number;
  readonly toRpm: number;
  /** Air density that all power is carried to, the mean of the pulls. */
  readonly densityKgPerM3: number;
  /** The exponent by which it is carried, and what is unsure of it. */
  readonly exponent: { readonly value: number; readonly spread: number };
}

/** Fewer engine speeds than this, 50 rpm apart, are no range. */
const leastSpeeds = 10;
/** Inputs are followed at so many engine speeds of the range. */
const followed = 9;

/** Null where the setups share no range of engine speed, or nothing is left to compare. */
export function seasonModel({ setups }: Evidence): SeasonModel | null {
  const withCurve = setups.flatMap(({ curve }, index) => (curve === null ? [] : [{ index, curve }]));
  if (withCurve.length === 0) return null;
  const shared = Array.from(withCurve[0]!.curve.engineSpeedRpm).filter((rpm) =>
    withCurve.every(({ curve }) => curve.engineSpeedRpm.includes(rpm)),
  );
  if (shared.length < leastSpeeds) return null;
  const pulls = withCurve.flatMap(({ index, curve }, column): (SeasonPull & { column: number })[] => {
    const at = shared.map((rpm) => curve.engineSpeedRpm.indexOf(rpm));
    const mean = at.reduce((sum, i) => sum + Math.log(curve.wheelPowerW[i]!), 0) / at.length;
    return setups[index]!.used.flatMap((pull, p) => {
      const level = curve.pullLevels[p]!;
      return Number.isFinite(level) ? [{ pull, setup: index, column, outing: pull.prepared!.outingKey, logPowerW: mean + level }] : [];
    });
  });
  if (pulls.length === 0) return null;
  const densities = pulls.map(({ pull }) => pull.prepared!.conditions.airDensityKgPerM3);
  const densityKgPerM3 = densities.reduce((sum, value) => sum + value, 0) / densities.length;
  const { low, high } = densityExponents(pulls[0]!.pull.run.inputs.boostControl);
  // As likely anywhere between both ends.
  const exponent = { value: (low + high) / 2, spread: (high - low) / Math.sqrt(12) };
  const logDensity = densities.map((value) => Math.log(value / densityKgPerM3));
  const speeds = Array.from({ length: followed }, (_, k) => shared[Math.round((k * (shared.length - 1)) / (followed - 1))]!);
  const effects = pulls.map(({ pull, logPowerW }) => effectsOf(pull, Math.exp(logPowerW), speeds));
  const n = pulls.length;
  const known = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      let sum = exponent.spread ** 2 * logDensity[i]! * logDensity[j]!;
      for (const [key, share] of effects[i]!) sum += share * (effects[j]!.get(key) ?? 0);
      known[i * n + j] = sum;
    }
  return {
    model: {
      y: pulls.map(({ logPowerW }, i) => logPowerW - exponent.value * logDensity[i]!),
      x: pulls.map(({ column }) => withCurve.map((_, k) => (k === column ? 1 : 0))),
      group: pulls.map(({ outing }) => outing),
      known,
    },
    pulls,
    setups: withCurve.map(({ index }) => index),
    fromRpm: shared[0]!,
    toRpm: shared.at(-1)!,
    densityKgPerM3,
    exponent,
  };
}

/** What one standard uncertainty of each input makes of a pull's power, as a share of it, by the key that says which pulls share it. */
function effectsOf({ prepared }: TrialPull, powerW: number, speeds: readonly number[]): Map<string, number> {
  const { conditions, motion } = prepared!;
  const shares = new Map<string, number>();
  for (const rpm of speeds)
    for (const { name, key, powerW: effectW } of inputEffects(conditions, powerW, rpm / motion.rpmPerMps)) {
      const id = `${name}|${key}`;
      shares.set(id, (shares.get(id) ?? 0) + effectW / powerW / speeds.length);
    }
  return shares;
}
