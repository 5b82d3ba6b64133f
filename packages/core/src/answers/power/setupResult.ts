import { type CorrectionStandard, powerCorrection } from '../../air/index.js';
import type { Quantity } from '../../log/index.js';
import { inputErrors, type Repeatability } from '../../power/index.js';
import type { FittedSetup, FoundCeiling } from '../../pulls/index.js';
import {
  boostChannel,
  type ChannelOfRun,
  channelCurve,
  channelOf,
  pullResult,
  type Question,
  question,
  ratioChannel,
} from '../../pulls/index.js';
import type { CurveResult, RunResult, SetupResult, StatedValue } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import type { MeasurableNumber, RunInputs } from '../../trial/index.js';
import { bandOf, type SharedError, wholeCurveDraws } from '../../uncertainty/index.js';

/** Every setup as the result shows it. */
export const setupResults: Question<readonly SetupResult[]> = question(({ setups, spread, ceilings, options }) => {
  const answer = setups.map((setup) => setupResult(setup, spread, ceilings().found, options.correction));
  if (answer.some(({ curves }) => curves.wheelPowerW !== undefined)) return { answer };
  return { answer, status: { is: 'cannot tell', why: 'no full-load pull could be used' } };
});

/** A setup as the result shows it: runs with air and mass, pulls, curves with bands. */
function setupResult(
  setup: FittedSetup,
  spread: Repeatability,
  ceilings: readonly FoundCeiling[],
  correction?: CorrectionStandard,
): SetupResult {
  const { curve, used } = setup;
  const pullCurve = (
    pull: FittedSetup['pulls'][number],
  ): { engineSpeedRpm: Float64Array; powerW: Float64Array | null; scale: number | null } => {
    const at = used.indexOf(pull);
    if (curve === null || at < 0) return { engineSpeedRpm: new Float64Array(0), powerW: null, scale: null };
    return {
      engineSpeedRpm: curve.engineSpeedRpm,
      powerW: curve.pullPowerW[at]!,
      scale: used.length < 2 ? null : Math.exp(curve.pullLevels[at]!),
    };
  };
  const curves: { -readonly [K in keyof SetupResult['curves']]: SetupResult['curves'][K] } = {};
  if (curve !== null) {
    const power = powerCurve(setup, spread);
    curves.wheelPowerW = power;
    curves.wheelTorqueNm = torqueOf(power);
    for (const [key, quantity, channel] of channelCurves) {
      const made = channelCurve(used, channel, curve.engineSpeedRpm, ceilings, quantity);
      if (made !== null) curves[key] = made;
    }
  }
  return {
    name: setup.name,
    runs: setup.runs.map(({ inputs }) => runResult(inputs, correction)),
    pulls: setup.pulls.map((pull) => {
      const own = pullCurve(pull);
      return pullResult(pull, own, own.scale);
    }),
    curves,
    estimator: setup.estimator,
    repeatability: {
      value: spread.pullToPull,
      spread: spread.pullToPull / Math.sqrt(2 * spread.pullDegrees),
      unit: '1',
      standing: spread.pullMeasured ? 'measured' : 'assumed',
    },
  };
}

type ChannelCurveName = Exclude<keyof SetupResult['curves'], 'wheelPowerW' | 'wheelTorqueNm'>;

const channelCurves: readonly (readonly [ChannelCurveName, Quantity, ChannelOfRun])[] = [
  ['manifoldPressurePa', 'manifold-pressure', channelOf(['manifold-pressure'])],
  ['boostPa', 'manifold-pressure', boostChannel],
  ['pressureRatio', 'manifold-pressure', ratioChannel],
  ['lambda', 'lambda', channelOf(['lambda'])],
  ['chargeTemperatureK', 'charge-temperature', channelOf(['charge-temperature', 'intake-temperature'])],
  ['sparkAdvanceDeg', 'spark-advance', channelOf(['spark-advance'])],
];

/** Errors of a setup's wheel power, W: what repeats from pull to pull, what the inputs may be off, noise and shape of the pulls. */
export interface PowerErrors {
  readonly repeat: readonly SharedError[];
  readonly inputs: readonly SharedError[];
  /** Covariances on the grid, row-major. */
  readonly noise: Float64Array;
  readonly shape: Float64Array;
}

/** Everything that the band of a setup's wheel power is made of. */
export function powerErrors(setup: FittedSetup, spread: Repeatability): PowerErrors {
  const curve = setup.curve!;
  const powerW = curve.wheelPowerW;
  const points = powerW.length;
  const pulls = setup.used.length;
  const outings = new Set(setup.used.map((pull) => pull.prepared!.outingKey)).size;
  const repeat: SharedError[] = [
    { name: 'pull-to-pull spread', shape: powerW.map((w) => (w * spread.pullToPull) / Math.sqrt(pulls)), degrees: spread.pullDegrees },
    {
      name: 'luck of the outing',
      shape: powerW.map((w) => (w * spread.outingToOuting) / Math.sqrt(outings)),
      degrees: spread.outingMeasured ? spread.outingDegrees : Number.POSITIVE_INFINITY,
    },
  ];
  const scaled = (covariance: Float64Array, weights: Float64Array): Float64Array => {
    const out = new Float64Array(points * points);
    for (let i = 0; i < points; i++) {
      for (let j = 0; j < points; j++) out[i * points + j] = weights[i]! * weights[j]! * covariance[i * points + j]!;
    }
    return out;
  };
  const noise = scaled(curve.noiseCovariance, powerW);
  const shape = scaled(
    curve.shapeCovariance,
    powerW.map((w, i) => w / Math.sqrt(curve.pullCount[i]!)),
  );
  return { repeat, inputs: inputErrors(curve), noise, shape };
}

/** Absolute curve with its band: noise, repeatability and inputs kept apart. */
function powerCurve(setup: FittedSetup, spread: Repeatability): CurveResult {
  const curve = setup.curve!;
  const powerW = curve.wheelPowerW;
  const points = powerW.length;
  const { repeat, inputs, noise, shape } = powerErrors(setup, spread);
  const covariance = noise.map((value, i) => value + shape[i]!);
  const half = (errors: Parameters<typeof bandOf>[0]): Float64Array => bandOf(errors, points, { draws: 0 }).pointwise;
  const all = bandOf({ shared: [...repeat, ...inputs], covariance }, points, { draws: wholeCurveDraws });
  const around = (halfW: Float64Array): { low: (number | null)[]; high: (number | null)[] } => ({
    low: Array.from(powerW, (w, i) => nullable(w - halfW[i]!)),
    high: Array.from(powerW, (w, i) => nullable(w + halfW[i]!)),
  });
  return {
    engineSpeedRpm: Array.from(curve.engineSpeedRpm),
    value: Array.from(powerW, nullable),
    ...around(all.pointwise),
    wholeCurve: around(all.simultaneous),
    level: 0.95,
    simultaneous: false,
    bound: null,
    parts: {
      noise: Array.from(half({ shared: [], covariance: noise }), nullable),
      pullToPull: Array.from(half({ shared: repeat, covariance: shape }), nullable),
      inputs: Array.from(half({ shared: inputs, covariance: null }), nullable),
    },
  };
}

/** Wheel power over engine speed: torque referred to the engine, as a dynamometer plots it against engine speed. */
function torqueOf(power: CurveResult): CurveResult {
  const perPower = power.engineSpeedRpm.map((rpm) => 30 / Math.PI / rpm);
  const convert = (values: readonly (number | null)[]): (number | null)[] => values.map((w, i) => (w === null ? null : w * perPower[i]!));
  const { parts, wholeCurve, ...rest } = power;
  return {
    ...rest,
    value: convert(power.value),
    low: convert(power.low),
    high: convert(power.high),
    ...(wholeCurve === undefined ? {} : { wholeCurve: { low: convert(wholeCurve.low), high: convert(wholeCurve.high) } }),
    ...(parts === undefined
      ? {}
      : { parts: { noise: convert(parts.noise), pullToPull: convert(parts.pullToPull), inputs: convert(parts.inputs) } }),
  };
}

function stated(number: MeasurableNumber, unit: string): StatedValue {
  return { value: nullable(number.value), spread: nullable(number.spread), unit, standing: number.standing };
}

function runResult(inputs: RunInputs, correction: CorrectionStandard | undefined): RunResult {
  return {
    log: inputs.log,
    outing: inputs.outing ?? 'unknown',
    when: inputs.when,
    direction: inputs.direction,
    air: {
      temperatureK: stated(inputs.temperatureK, 'K'),
      stationPressurePa: stated(inputs.stationPressurePa, 'Pa'),
      relativeHumidity: stated(inputs.relativeHumidity, '1'),
      densityKgPerM3: stated(inputs.airDensityKgPerM3, 'kg/m³'),
    },
    windMps: stated(inputs.windMps, 'm/s'),
    grade: stated(inputs.grade, '1'),
    roadLoad: {
      dragAreaM2: stated(inputs.dragAreaM2, 'm²'),
      rollingCoefficient: stated(inputs.rollingCoefficient, '1'),
      covarianceM2: inputs.roadLoadCovarianceM2,
    },
    ledger: inputs.ledger,
    massKg: stated(inputs.massKg, 'kg'),
    ...(correction === undefined ? {} : { correction: correctionOf(inputs, correction) }),
  };
}

/** What the standard would put on this run's power; shown, never applied. */
function correctionOf(inputs: RunInputs, standard: CorrectionStandard): NonNullable<RunResult['correction']> {
  const {
    factor,
    warning,
    standard: name,
  } = powerCorrection(
    standard,
    {
      temperatureK: inputs.temperatureK.value,
      stationPressurePa: inputs.stationPressurePa.value,
      relativeHumidity: inputs.relativeHumidity.value,
    },
    { boostControl: inputs.boostControl },
  );
  return { standard: name, factor, warning };
}
