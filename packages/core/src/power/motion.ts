import { type BSplineBasis, bSplineValues } from '../maths/index.js';

/** Readings of one channel during a pull, as engine speed: road-speed readings are multiplied by `rpmPerMps` first. */
export interface SpeedReadings {
  /** Time stamps as recorded, s, rising. */
  readonly timeS: Float64Array;
  readonly engineSpeedRpm: Float64Array;
  /** Standard deviation of one reading, rpm: noise and quantisation. */
  readonly noiseRpm: number;
}

/** Engine speed as a smooth function of road speed, both in rpm (road speed times the locked ratio). */
export interface EngineCoupling {
  readonly engineRpm: (roadRpm: number) => number;
  /** Its derivative. */
  readonly slope: (roadRpm: number) => number;
  readonly engineInertiaKgM2: number;
}

/** What the equation of motion needs to know of one pull. */
export interface MotionPull {
  readonly massKg: number;
  /** Factor by which spinning parts add to the mass, ≥ 1. */
  readonly rotatingFactor: number;
  /** ½ · air density · drag area, kg/m. */
  readonly dragKgPerM: number;
  /** Rolling resistance and grade together, N. */
  readonly steadyN: number;
  /** What a grade that changes along the pull adds to it, N, at road speed times `rpmPerMps`. */
  readonly gradeChangeN?: (roadRpm: number) => number;
  /** Headwind, m/s. */
  readonly windMps: number;
  /** Engine speed over ground speed in this gear, rpm per m/s. */
  readonly rpmPerMps: number;
  /**
   * Present where converter or clutch slips: readings are then road speed alone, times `rpmPerMps`, and this tells the engine speed
   * that went with it. `rotatingFactor` leaves the engine out; its inertia takes the engine's own acceleration.
   */
  readonly coupling?: EngineCoupling;
  /** Spans without a cut inside; each holds one list of readings a channel, in the same order in every span. */
  readonly spans: readonly (readonly SpeedReadings[])[];
}

/** Engine speed along one span, with how it answers to each parameter. */
export interface Trajectory {
  /** Nodes of the integration, s. */
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  /** Its rate of change, rpm/s. */
  readonly rate: Float64Array;
  /** exp ∫ ∂rate/∂rpm dt from the start. */
  readonly growth: Float64Array;
  /** Cumulated ∫ (thrust rate / growth) · basis dt; nodes × basis size, for the common curve, then for the pull's own. */
  readonly common: Float64Array;
  readonly own: Float64Array;
  /** The same for a plain factor on the thrust. */
  readonly scale: Float64Array;
}

const radPerSPerRpm = Math.PI / 30;

/** Parameters of the log-torque model at one pull. */
export interface TorqueModel {
  readonly common: BSplineBasis;
  readonly commonCoefficients: ArrayLike<number>;
  readonly own: BSplineBasis;
  readonly ownCoefficients: ArrayLike<number>;
  /** Logarithm of the pull's factor. */
  readonly logScale: number;
}

/**
 * Integrates the equation of motion along one span by the classical Runge–Kutta method.
 *
 * d rpm/dt = κ (T(rpm) κ π/30 − drag − steady) / (m k_r), T the wheel torque referred to engine speed, κ rpm per m/s.
 *
 * @param pull Mass, road load, gearing.
 * @param model Logarithm of T as a spline over engine speed plus the pull's own part.
 * @param options `startRpm`, `fromTimeS`, `toTimeS`, largest `stepS`.
 * @returns Nodes with engine speed, rate and the integrals from which every derivative follows.
 */
export function integrateSpan(
  pull: MotionPull,
  model: TorqueModel,
  options: { readonly startRpm: number; readonly fromTimeS: number; readonly toTimeS: number; readonly stepS: number },
): Trajectory {
  const { startRpm, fromTimeS, toTimeS, stepS } = options;
  const steps = Math.max(2, Math.ceil((toTimeS - fromTimeS) / stepS));
  const h = (toTimeS - fromTimeS) / steps;
  const nodes = steps + 1;
  const commonSize = model.common.size;
  const ownSize = model.own.size;
  const timeS = new Float64Array(nodes);
  const rpm = new Float64Array(nodes);
  const rate = new Float64Array(nodes);
  const growth = new Float64Array(nodes);
  const common = new Float64Array(nodes * commonSize);
  const own = new Float64Array(nodes * ownSize);
  const scale = new Float64Array(nodes);

  const kappa = pull.rpmPerMps;
  const perForce = kappa / (pull.massKg * pull.rotatingFactor);
  const thrustPerTorque = perForce * kappa * radPerSPerRpm;
  const values = new Float64Array(4);
  const at = { thrust: 0, rate: 0, firstCommon: 0, firstOwn: 0, engineRpm: 0 };
  const { coupling } = pull;
  const evaluate = (n: number): void => {
    // With a locked drive the engine turns at n; else it turns at what the coupling says, and its inertia counts by itself.
    const engineRpm = coupling === undefined ? n : coupling.engineRpm(n);
    const gain = engineRpm / n;
    const massShare =
      coupling === undefined
        ? 1
        : 1 /
          (1 +
            (coupling.engineInertiaKgM2 * (radPerSPerRpm * kappa) ** 2 * gain * coupling.slope(n)) / (pull.massKg * pull.rotatingFactor));
    at.engineRpm = engineRpm;
    at.firstCommon = bSplineValues(model.common, engineRpm, values);
    let log = model.logScale;
    for (let k = 0; k < 4; k++) log += values[k]! * model.commonCoefficients[at.firstCommon + k]!;
    at.firstOwn = bSplineValues(model.own, engineRpm, values);
    for (let k = 0; k < 4; k++) log += values[k]! * model.ownCoefficients[at.firstOwn + k]!;
    at.thrust = massShare * gain * thrustPerTorque * Math.exp(log);
    const airMps = n / kappa + pull.windMps;
    at.rate =
      at.thrust - massShare * perForce * (pull.dragKgPerM * airMps * Math.abs(airMps) + pull.steadyN + (pull.gradeChangeN?.(n) ?? 0));
  };

  // ∂rate/∂rpm by a central difference of 1 rpm: smooth enough for a cubic spline.
  const slopeAt = (n: number): number => {
    evaluate(n + 0.5);
    const above = at.rate;
    evaluate(n - 0.5);
    const below = at.rate;
    evaluate(n);
    return above - below;
  };

  let n = startRpm;
  let logGrowth = 0;
  let previousSlope = 0;
  const commonRow = new Float64Array(commonSize);
  const ownRow = new Float64Array(ownSize);
  let scaleSum = 0;
  // Weights of the last node, kept to close the trapezium of each step.
  const lastCommon = new Float64Array(4);
  const lastOwn = new Float64Array(4);
  let lastFirstCommon = 0;
  let lastFirstOwn = 0;
  let lastThrust = 0;
  for (let i = 0; i < nodes; i++) {
    const slope = slopeAt(n);
    if (i > 0) logGrowth += (h * (previousSlope + slope)) / 2;
    previousSlope = slope;
    const g = Math.exp(logGrowth);
    const weight = at.thrust / g;
    bSplineValues(model.common, at.engineRpm, values);
    if (i > 0) {
      for (let k = 0; k < 4; k++) {
        commonRow[lastFirstCommon + k] = commonRow[lastFirstCommon + k]! + (h / 2) * lastThrust * lastCommon[k]!;
        commonRow[at.firstCommon + k] = commonRow[at.firstCommon + k]! + (h / 2) * weight * values[k]!;
      }
      scaleSum += (h / 2) * (lastThrust + weight);
    }
    lastCommon.set(values);
    bSplineValues(model.own, at.engineRpm, values);
    if (i > 0) {
      for (let k = 0; k < 4; k++) {
        ownRow[lastFirstOwn + k] = ownRow[lastFirstOwn + k]! + (h / 2) * lastThrust * lastOwn[k]!;
        ownRow[at.firstOwn + k] = ownRow[at.firstOwn + k]! + (h / 2) * weight * values[k]!;
      }
    }
    lastOwn.set(values);
    lastFirstCommon = at.firstCommon;
    lastFirstOwn = at.firstOwn;
    lastThrust = weight;

    timeS[i] = fromTimeS + i * h;
    rpm[i] = n;
    rate[i] = at.rate;
    growth[i] = g;
    common.set(commonRow, i * commonSize);
    own.set(ownRow, i * ownSize);
    scale[i] = scaleSum;
    if (i < steps) {
      const k1 = at.rate;
      evaluate(n + (h / 2) * k1);
      const k2 = at.rate;
      evaluate(n + (h / 2) * k2);
      const k3 = at.rate;
      evaluate(n + h * k3);
      n += (h / 6) * (k1 + 2 * k2 + 2 * k3 + at.rate);
    }
  }
  return { timeS, rpm, rate, growth, common, own, scale };
}

/** First time stamp of a span over its channels. */
export function spanStart(span: readonly SpeedReadings[]): number {
  return Math.min(...span.filter(({ timeS }) => timeS.length > 0).map(({ timeS }) => timeS[0]!));
}

/** Last time stamp of a span over its channels. */
export function spanEnd(span: readonly SpeedReadings[]): number {
  return Math.max(...span.filter(({ timeS }) => timeS.length > 0).map(({ timeS }) => timeS[timeS.length - 1]!));
}
