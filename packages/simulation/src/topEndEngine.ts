import type { Engine, Moment } from './engine.js';
import type { Random } from './random.js';

/** What a fault does to an engine at one moment; everything 0 is a sound engine. */
export interface Fault {
  /** Share by which the rotors fall behind the belt. */
  readonly slip: number;
  /** Shares lost of the blower's volumetric and adiabatic efficiency. */
  readonly fillLoss: number;
  readonly efficiencyLoss: number;
  /** Heat taken up before the blower, and after its cooler, K. */
  readonly inletHeatK: number;
  readonly chargeHeatK: number;
  /** Share of the pressure lost before the blower. */
  readonly inletDrop: number;
  /** Extra exhaust pressure, Pa, and share of the engine's own filling lost with it. */
  readonly exhaustPa: number;
  readonly swallowLoss: number;
  /** Share of the air lost after the blower; counted by the meter or not, as `meteredLeak` says. */
  readonly leak: number;
  readonly bypass: number;
  /** Share by which the throttle closes. */
  readonly throttleClosed: number;
  readonly sparkCutDeg: number;
  readonly knockDeg: number;
  /** Lambda over the one that the fuelling would give. */
  readonly lambdaFactor: number;
  /** Share of the pressure across the injectors that is lost. */
  readonly railLoss: number;
}

/** No fault at all. */
export const sound: Fault = {
  slip: 0,
  fillLoss: 0,
  efficiencyLoss: 0,
  inletHeatK: 0,
  chargeHeatK: 0,
  inletDrop: 0,
  exhaustPa: 0,
  swallowLoss: 0,
  leak: 0,
  bypass: 0,
  throttleClosed: 0,
  sparkCutDeg: 0,
  knockDeg: 0,
  lambdaFactor: 1,
  railLoss: 0,
};

/** An engine, blown or not, whose laws are given. Temperatures K, pressures Pa absolute. */
export interface TopEndEngineSpec {
  readonly engineVolumeM3: number;
  /** Null without a blower. */
  readonly blower: {
    readonly volumeM3: number;
    readonly driveRatio: number;
    readonly fillShare: number;
    /** Rotor speed lost to leakage at a pressure ratio of 2, and the exponent of the pressure rise in it. */
    readonly leakageRpm: number;
    readonly leakageExponent: number;
    adiabaticEfficiency(rotorRpm: number, ratio: number): number;
    coolerEffectiveness(flowKgPerS: number): number;
    readonly coolerLoss: number;
    readonly coolerHeatJPerK: number;
  } | null;
  volumetricEfficiency(rpm: number): number;
  indicatedShare(rpm: number): number;
  frictionPa(rpm: number): number;
  readonly inletLoss: number;
  readonly exhaustLoss: number;
  /** Distance of the calibration's spark to the best one, deg, with the loss per deg to the given exponent. */
  readonly sparkShortDeg: number;
  readonly sparkLoss: number;
  readonly sparkExponent: number;
  mapSparkDeg(rpm: number): number;
  readonly bestLambda: number;
  readonly richCost: number;
  readonly leanCost: number;
  lambdaTarget(rpm: number): number;
  readonly railAcrossPa: number;
  readonly injectorKgPerS: number;
  readonly cylinders: number;
  readonly ambientK: number;
  readonly ambientPa: number;
  readonly drivelineShare: number;
  /** True where the air meter counts what leaks, false where a bypass leads it round. */
  readonly meteredLeak: boolean;
  fault(rpm: number, sweepRpmPerS: number, timeS: number): Fault;
}

/** Air, temperatures and shaft power of one moment. */
export interface TopEndState {
  readonly rotorRpm: number;
  /** Outlet over inlet pressure of the blower, 1 without. */
  readonly ratio: number;
  readonly inletPa: number;
  readonly inletK: number;
  readonly manifoldPa: number;
  readonly chargeK: number;
  readonly outletK: number;
  readonly meterKgPerS: number;
  readonly engineKgPerS: number;
  readonly exhaustPa: number;
  readonly lambda: number;
  readonly wheelPowerW: number;
  readonly coolerHeatW: number;
}

const gasConstant = 287.05;
const heatCapacity = 1005;
const heatPerAirJPerKg = 42.9e6 / 14.2;

/** Steady full load with a fault, by the secant method on the pressure ratio. Source: relations of J. B. Heywood, Internal Combustion Engine Fundamentals (1988), ch. 6. */
export function topEndState(spec: TopEndEngineSpec, rpm: number, fault: Fault, intakeK: number, coolerK: number, guess = 1.6): TopEndState {
  const { blower, engineVolumeM3, ambientPa } = spec;
  const swallowM3PerS = (spec.volumetricEfficiency(rpm) * (1 - fault.swallowLoss) * engineVolumeM3 * rpm) / 120;
  const inletK = intakeK + fault.inletHeatK;
  const rotorRpm = blower === null ? 0 : rpm * blower.driveRatio * (1 - fault.slip);
  let ratio = blower === null ? 1 : guess;
  let lastRatio = Number.NaN;
  let lastStep = Number.NaN;
  let meter = 0;
  let engine = 0;
  let inletPa = ambientPa;
  let outletK = inletK;
  let chargeK = inletK;
  let manifoldPa = ambientPa;
  for (let round = 0; round < 40; round++) {
    inletPa = (ambientPa - spec.inletLoss * meter * meter) * (1 - fault.inletDrop);
    if (blower === null) {
      manifoldPa = inletPa;
      chargeK = inletK + fault.chargeHeatK;
      outletK = inletK;
      engine = (swallowM3PerS * manifoldPa) / (gasConstant * chargeK);
      if (Math.abs(engine - meter) < 1e-7) break;
      meter = engine;
      continue;
    }
    const filled =
      (blower.fillShare - (blower.leakageRpm * Math.max(0, ratio - 1) ** blower.leakageExponent) / rotorRpm) * (1 - fault.fillLoss);
    const moved = (filled * blower.volumeM3 * (rotorRpm / 60) * inletPa) / (gasConstant * inletK);
    engine = moved * (1 - fault.leak);
    meter = spec.meteredLeak ? moved : engine;
    const efficiency = blower.adiabaticEfficiency(rotorRpm, ratio) * (1 - fault.efficiencyLoss);
    outletK = inletK * (1 + (Math.max(ratio, 1) ** (0.4 / 1.4) - 1) / efficiency);
    chargeK = outletK - blower.coolerEffectiveness(moved) * (outletK - coolerK) + fault.chargeHeatK;
    manifoldPa = (engine * gasConstant * chargeK) / swallowM3PerS;
    const next = (manifoldPa + blower.coolerLoss * moved * moved) / inletPa;
    const step = next - ratio;
    if (Math.abs(step) < 1e-6) break;
    // Secant on the step, once there are two.
    const slope = (step - lastStep) / (ratio - lastRatio);
    const advance = Number.isFinite(slope) && slope < -0.05 ? -step / slope : 0.7 * step;
    lastRatio = ratio;
    lastStep = step;
    ratio = Math.max(0.9, Math.min(4, ratio + advance));
  }
  const moved = blower === null ? 0 : spec.meteredLeak ? meter : engine / (1 - fault.leak);
  const driveW = blower === null ? 0 : (moved * heatCapacity * (outletK - inletK)) / 0.96;
  const lambda = spec.lambdaTarget(rpm) * fault.lambdaFactor * (1 - fault.railLoss) ** -0.5;
  const off = lambda - spec.bestLambda;
  const mixture = 1 - (off < 0 ? spec.richCost : spec.leanCost) * off * off;
  const short = spec.sparkShortDeg + fault.sparkCutDeg + fault.knockDeg;
  const spark = 1 - spec.sparkLoss * short ** spec.sparkExponent;
  const exhaustPa = ambientPa + spec.exhaustLoss * engine * engine + fault.exhaustPa;
  const pumpPa = exhaustPa - ambientPa - 0.6 * Math.max(0, manifoldPa - ambientPa);
  const indicatedW = engine * heatPerAirJPerKg * spec.indicatedShare(rpm) * mixture * spark;
  const lostW = ((spec.frictionPa(rpm) + pumpPa) * engineVolumeM3 * rpm) / 120;
  return {
    rotorRpm,
    ratio,
    inletPa,
    inletK,
    manifoldPa,
    chargeK,
    outletK,
    meterKgPerS: meter,
    engineKgPerS: engine,
    exhaustPa,
    lambda,
    wheelPowerW: spec.drivelineShare * (indicatedW - lostW - driveW),
    coolerHeatW: blower === null ? 0 : Math.max(0, engine * heatCapacity * (outletK - chargeK)),
  };
}

/**
 * The engine for a drive. Its cooler warms in a pull and recovers between pulls; readings breathe with noise that lasts, which no logger's own noise does.
 *
 * Channels: `manifoldPa`, `inletPa`, `intakeK`, `chargeK`, `outletK`, `rotorRpm`, `airKgPerS`, `exhaustPa`, `lambda`, `lambdaTarget`, `sparkDeg`, `knockDeg`, `throttle`,
 * `injectorPulseS`, `railPa` (over ambient, following the manifold), `bypass`.
 */
export function topEndEngine(spec: TopEndEngineSpec, random: Random): Engine {
  const { ambientK, ambientPa, blower } = spec;
  let intakeK = ambientK + 6;
  let coolerK = ambientK + 5;
  let lastRpm = 0;
  let sweep = 0;
  let timeS = 0;
  const breath = [0, 0, 0, 0];
  let ratio = 1.6;
  let held: { readonly rpm: number; readonly state: TopEndState } | null = null;
  // Heat and sweep change only from sample to sample: between them a state depends on engine speed alone.
  const stateAt = (rpm: number): TopEndState => {
    if (held?.rpm !== rpm) held = { rpm, state: topEndState(spec, rpm, spec.fault(rpm, sweep, timeS), intakeK, coolerK, ratio) };
    ratio = held.state.ratio;
    return held.state;
  };

  function advance(moment: Moment): Record<string, number> {
    const { stepS, engineSpeedRpm: rpm, speedMps, pedal } = moment;
    // A pull that does a little less than another is no pull at part load.
    const load = pedal > 0.97 && moment.load > 0.6 ? 1 : moment.load;
    timeS = moment.timeS;
    const rate = (rpm - lastRpm) / stepS;
    sweep += (Math.max(0, Math.min(rate, 3000)) - sweep) * (1 - Math.exp(-stepS / 0.3));
    lastRpm = rpm;
    for (let i = 0; i < breath.length; i++)
      breath[i] = breath[i]! * Math.exp(-stepS / 0.25) + Math.sqrt(1 - Math.exp(-stepS / 0.125)) * random.normal();
    const air = stateAt(Math.max(rpm, 900));
    const fault = spec.fault(rpm, sweep, timeS);
    held = null;
    if (blower !== null) {
      const given = (50 + 35 * speedMps) * (coolerK - ambientK - 3);
      coolerK += ((air.coolerHeatW * load * load - given) * stepS) / blower.coolerHeatJPerK;
    }
    intakeK += (ambientK + 4 + 12 * Math.exp(-speedMps / 8) - intakeK) * (1 - Math.exp(-stepS / 20));
    const manifoldPa = 32e3 + (air.manifoldPa * (1 + 0.003 * breath[0]!) - 32e3) * load;
    const flow = air.engineKgPerS * Math.max(load, 0.1);
    const lambda = 1 + (air.lambda - 1) * Math.min(1, load * 1.2) + 0.004 * breath[1]!;
    const push = Math.sqrt(1 - fault.railLoss);
    // The control opens the injectors for the air it counts on; lost rail pressure or a wrong table shows in lambda.
    const fuelKg = ((flow / (14.2 * air.lambda)) * 120) / (rpm * spec.cylinders);
    return {
      manifoldPa,
      inletPa: ambientPa - (ambientPa - air.inletPa) * load * load,
      intakeK: air.inletK,
      chargeK: coolerK + (air.chargeK - coolerK) * load,
      outletK: air.inletK + (air.outletK - air.inletK) * load,
      rotorRpm: air.rotorRpm,
      airKgPerS: air.meterKgPerS * Math.max(load, 0.1) * (1 + 0.008 * breath[2]!),
      exhaustPa: ambientPa + (air.exhaustPa - ambientPa) * load * load,
      lambda,
      lambdaTarget: 1 + (spec.lambdaTarget(rpm) - 1) * Math.min(1, load * 1.2),
      sparkDeg: spec.mapSparkDeg(rpm) - fault.sparkCutDeg * load - fault.knockDeg * load + 12 * (1 - load) + 0.1 * breath[3]!,
      knockDeg: fault.knockDeg * load,
      throttle: Math.max(0.04, load) * (1 - fault.throttleClosed * load),
      injectorPulseS: fuelKg / (spec.injectorKgPerS * push) + 0.95e-3,
      railPa: spec.railAcrossPa * (1 - fault.railLoss * load) + manifoldPa - ambientPa,
      bypass: fault.bypass * load,
    };
  }

  return { fullLoadWheelPowerW: (rpm) => stateAt(Math.max(rpm, 900)).wheelPowerW, advance };
}
