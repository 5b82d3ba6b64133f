import { bandPartNames } from '../../compare/index.js';
import { assumedRepeatability, contrastOf, inputEffects, type Repeatability } from '../../power/index.js';
import type { FittedSetup } from '../../pulls/index.js';
import { headingsOf } from '../../pulls/index.js';
import type { RunInputs } from '../../trial/index.js';
import { detectableShare, type SharedError } from '../../uncertainty/index.js';

/** Spread of the readings' noise in the curve of one pull, as a share of power, where no log has shown it: three pulls at 25 Hz come to 0.4 % (docs/accuracy.md). */
const typicalNoiseOfOnePull = 0.007;
/** Point of a pull at which inputs count where no log shows one: 130 kW at 30 m/s; common practice, no source. */
const typical = { powerW: 130e3, speedMps: 30, rotatingFactor: { value: 1.1, spread: 0.02 }, speedScaleSpread: 0.013 } as const;
/** A point of the curve stands for a region: 4 points of the 50-rpm grid. */
const thin = 4;

/** A setup as a plan sees it: everything as shares of power at the plan's points. */
interface PlannedSetup {
  readonly outingKeys: readonly string[];
  /** Covariance of the readings' noise, and of a pull's own shape, in one pull. */
  readonly noise: Float64Array;
  readonly shape: Float64Array;
  readonly inputs: ReadonlyMap<string, { readonly name: string; readonly shares: Float64Array }>;
}

/** Two setups whose difference is planned. */
export interface PlannedPair {
  readonly engineSpeedRpm: Float64Array;
  /** Power before (else after), W; null where no log shows it. */
  readonly powerW: Float64Array | null;
  readonly before: PlannedSetup;
  readonly after: PlannedSetup;
  readonly spread: Repeatability;
  /** Degrees of freedom that other setups and the pair's own pulls have given. */
  readonly otherDegrees: number;
  /** True where noise and pull spread come from logs. */
  readonly seen: boolean;
}

/** Degrees of freedom in the spread of pulls within setup and outing. */
function degreesOf(keys: readonly string[]): number {
  return keys.length - new Set(keys).size;
}

/**
 * What is known of two setups for planning; a setup without pulls is taken to be like the other, and where neither has any, typical.
 *
 * @param runs Resolved inputs of each setup's runs, driven or not.
 */
export function plannedPair(
  before: FittedSetup,
  after: FittedSetup,
  spread: Repeatability,
  runs: { readonly before: readonly RunInputs[]; readonly after: readonly RunInputs[] },
): PlannedPair {
  const model = before.curve === null ? after : before;
  const grid = commonGrid(before, after);
  const keysOf = (setup: FittedSetup): string[] => (setup.curve === null ? [] : setup.used.map((pull) => pull.prepared!.outingKey));
  const plan = (setup: FittedSetup, other: FittedSetup, own: readonly RunInputs[]): PlannedSetup => {
    const points = Math.max(1, grid.length);
    const source = setup.curve === null ? model : setup;
    if (source.curve === null) {
      const noise = new Float64Array(points * points);
      noise[0] = typicalNoiseOfOnePull ** 2;
      return { outingKeys: keysOf(setup), noise, shape: new Float64Array(points * points), inputs: typicalInputs(setup.name, own) };
    }
    const at = Array.from(grid, (rpm) => source.curve!.engineSpeedRpm.indexOf(rpm));
    const size = source.curve.engineSpeedRpm.length;
    const block = (covariance: Float64Array, factor: number): Float64Array =>
      Float64Array.from({ length: points * points }, (_, k) => factor * covariance[at[Math.floor(k / points)]! * size + at[k % points]!]!);
    const inputs = new Map(
      [...source.curve.inputs].map(([id, { name, effectW }]) => {
        // What each run has by itself, the other setup's stand-in has by itself too.
        const ownId = source === setup || name !== 'fuel and cargo' ? id : `${id} of ${setup.name}`;
        return [ownId, { name, shares: Float64Array.from(at, (i) => effectW[i]! / source.curve!.wheelPowerW[i]!) }] as const;
      }),
    );
    return {
      outingKeys: keysOf(setup),
      noise: block(source.curve.noiseCovariance, source.used.length),
      shape: block(source.curve.shapeCovariance, 1),
      inputs: inputs.size === 0 && other.curve === null ? typicalInputs(setup.name, own) : inputs,
    };
  };
  const planned = { before: plan(before, after, runs.before), after: plan(after, before, runs.after) };
  return {
    engineSpeedRpm: grid,
    powerW: model.curve === null ? null : grid.map((rpm) => model.curve!.wheelPowerW[model.curve!.engineSpeedRpm.indexOf(rpm)]!),
    ...planned,
    spread,
    otherDegrees: Math.max(
      0,
      spread.pullDegrees - assumedRepeatability.pullWorth - degreesOf(planned.before.outingKeys) - degreesOf(planned.after.outingKeys),
    ),
    seen: model.curve !== null && spread.pullMeasured,
  };
}

/** Every fourth engine speed that both curves have, or that the only one has. */
function commonGrid(before: FittedSetup, after: FittedSetup): Float64Array {
  const curves = [before.curve, after.curve].filter((curve) => curve !== null);
  if (curves.length === 0) return new Float64Array(0);
  const [first, second] = curves;
  const shared = first!.engineSpeedRpm.filter((rpm) => second === undefined || second.engineSpeedRpm.includes(rpm));
  return shared.filter((_, i) => i % thin === thin >> 1 || shared.length < thin);
}

/** Effects of the resolved inputs at a typical point; each outing has its own wind. */
function typicalInputs(setup: string, runs: readonly RunInputs[]): PlannedSetup['inputs'] {
  const out = new Map<string, { name: string; shares: Float64Array }>();
  const along = headingsOf(runs.map(({ direction }) => direction));
  for (const run of runs) {
    const { heading, road } = along(run.direction);
    const outing = run.outing ?? `log ${run.log}`;
    const conditions = {
      massKg: { value: run.massKg.value, spread: Math.sqrt(Math.max(0, run.massKg.spread ** 2 - run.massOwnSpreadKg ** 2)) },
      ownMassSpreadKg: run.massOwnSpreadKg,
      rotatingFactor: typical.rotatingFactor,
      airDensityKgPerM3: run.airDensityKgPerM3.value,
      dragAreaM2: run.dragAreaM2,
      rollingCoefficient: run.rollingCoefficient,
      roadLoadCovarianceM2: run.roadLoadCovarianceM2,
      windMps: run.windMps,
      grade: run.grade,
      speedScaleSpread: typical.speedScaleSpread,
      carKey: 'car',
      runKey: `${setup} ${run.log}`,
      windKey: outing,
      gradeKey: road ?? outing,
      heading,
    };
    for (const { name, key, powerW } of inputEffects(conditions, typical.powerW, typical.speedMps)) {
      const id = `${name}|${key}`;
      const share = powerW / typical.powerW / runs.length;
      out.set(id, { name, shares: Float64Array.of((out.get(id)?.shares[0] ?? 0) + share) });
    }
  }
  return out;
}

/** Smallest even change, as a share of power, that these pulls would show; null where a setup has none. */
export function shownShare(
  pair: PlannedPair,
  keys: { readonly before: readonly string[]; readonly after: readonly string[] },
  options: { readonly power: number; readonly without?: string },
): number | null {
  if (keys.before.length === 0 || keys.after.length === 0) return null;
  const { shared, covariance, pullFactor } = partsOf(pair, keys);
  const { without } = options;
  const { pullToPull } = pair.spread;
  const points = Math.max(1, pair.engineSpeedRpm.length);
  const kept = new Float64Array(points * points);
  for (const [name, matrix] of covariance) if (name !== without) for (let i = 0; i < kept.length; i++) kept[i] = kept[i]! + matrix[i]!;
  const factor = without === bandPartNames.pulls ? 0 : Math.sqrt(pullFactor);
  return detectableShare(
    {
      points,
      shared: shared.filter(({ name }) => name !== without),
      covariance: kept,
      estimated: {
        deviation: pullToPull,
        knownBy: pair.spread.pullMeasured ? pair.spread.pullDegrees : Number.POSITIVE_INFINITY,
        factor,
        degrees: pair.otherDegrees + degreesOf(keys.before) + degreesOf(keys.after),
        assumed: { deviation: assumedRepeatability.pullToPull, worth: assumedRepeatability.pullWorth },
      },
    },
    { power: options.power },
  );
}

/** Standard deviation of each part of the planned band in the middle of the engine speeds, share of power, largest first. */
export function plannedParts(
  pair: PlannedPair,
  keys: { readonly before: readonly string[]; readonly after: readonly string[] },
): { readonly name: string; readonly share: number }[] {
  const { shared, covariance, pullFactor } = partsOf(pair, keys);
  const points = Math.max(1, pair.engineSpeedRpm.length);
  const middle = points >> 1;
  const variance = new Map<string, number>([[bandPartNames.pulls, pair.spread.pullToPull ** 2 * pullFactor]]);
  const add = (name: string, value: number): void => {
    variance.set(name, (variance.get(name) ?? 0) + value);
  };
  for (const { name, shape } of shared) add(name, shape[middle]! ** 2);
  for (const [name, matrix] of covariance) add(name, matrix[middle * points + middle]!);
  return [...variance]
    .map(([name, value]) => ({ name, share: Math.sqrt(value) }))
    .filter(({ share }) => share > 1e-6)
    .sort((a, b) => b.share - a.share);
}

function partsOf(
  pair: PlannedPair,
  keys: { readonly before: readonly string[]; readonly after: readonly string[] },
): { readonly shared: SharedError[]; readonly covariance: ReadonlyMap<string, Float64Array>; readonly pullFactor: number } {
  const { before, after, spread } = pair;
  const points = Math.max(1, pair.engineSpeedRpm.length);
  const contrast = contrastOf(keys.before, keys.after, spread);
  const shared: SharedError[] = [];
  if (contrast.outingFactor > 1e-12) {
    shared.push({
      name: bandPartNames.outings,
      shape: new Float64Array(points).fill(spread.outingToOuting * Math.sqrt(contrast.outingFactor)),
      degrees: spread.outingMeasured ? spread.outingDegrees : Number.POSITIVE_INFINITY,
    });
  }
  for (const id of new Set([...before.inputs.keys(), ...after.inputs.keys()])) {
    const a = before.inputs.get(id);
    const b = after.inputs.get(id);
    const shape = Float64Array.from({ length: points }, (_, i) => (b?.shares[i] ?? 0) - (a?.shares[i] ?? 0));
    if (shape.some((value) => value !== 0)) shared.push({ name: (a ?? b)!.name, shape, degrees: Number.POSITIVE_INFINITY });
  }
  const sum = (a: Float64Array, b: Float64Array): Float64Array =>
    a.map((value, i) => value / keys.before.length + b[i]! / keys.after.length);
  return {
    shared,
    covariance: new Map([
      [bandPartNames.noise, sum(before.noise, after.noise)],
      [bandPartNames.shape, sum(before.shape, after.shape)],
    ]),
    pullFactor: contrast.pullFactor,
  };
}
