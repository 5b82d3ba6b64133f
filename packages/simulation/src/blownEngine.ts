import { type Blower, type BlowerState, blowerAir } from './blowerAir.js';
import type { Engine, Moment } from './engine.js';
import { smoothStep } from './manners.js';

/** A blown engine with fuel, spark and heat. Temperatures K, pressures Pa absolute. */
export interface BlownEngineSpec {
  readonly blower: Blower;
  readonly cylinders: number;
  readonly idleRpm: number;
  readonly ambientK: number;
  readonly ambientPa: number;
  /** Heat the cooler and its water hold, J/K, and what they give off standing (W/K) and per m/s of road speed. */
  readonly coolerHeatJPerK: number;
  readonly coolerStandingWPerK: number;
  readonly coolerMovingWPerK: number;
  /** Charge temperature above which the calibration takes spark back, and how much per kelvin. */
  readonly sparkBackAboveK: number;
  readonly sparkBackDegPerK: number;
  /** Knock begins where (charge − knockK) · degPerK + (pressure − knockPa) · degPerPa passes zero; retard grows with it up to `knockMostDeg`. */
  readonly knockMostDeg: number;
  readonly knockK: number;
  readonly knockDegPerK: number;
  readonly knockPa: number;
  readonly knockDegPerPa: number;
  readonly fuelStoich: number;
  readonly fullLoadLambda: number;
  /** Error of the fuel table at full load: true lambda over the one asked for. */
  lambdaError(engineRpm: number): number;
  /** Fuel through one open injector, kg/s, at the pressure the referenced rail keeps across it. */
  readonly injectorKgPerS: number;
  readonly injectorDeadS: number;
  readonly railAcrossPa: number;
  /** Share of the engine's power that reaches the road. */
  readonly drivelineShare: number;
}

/** Rises smoothly from 0 like a straight line past a corner of the given width. */
const softCorner = (x: number, width: number): number => (x > 30 * width ? x : width * Math.log1p(Math.exp(x / width)));

/** Heat released per kilogram of air with all its oxygen burnt: 42.9 MJ/kg of fuel over 14.1 kg of air. */
const heatPerAirJPerKg = 42.9e6 / 14.1;

/** Spark advance of the calibration at full load, deg before top dead centre, and what would give most torque. */
const mapSparkDeg = (rpm: number): number => 13 + 0.002 * (rpm - 2400);
const bestOverMapDeg = 8;
/** Torque lost per squared degree from the best spark. Source: common practice, no source; about 1 % at 4°, 9 % at 12°. */
const sparkLossPerDeg2 = 0.00065;

/** Indicated efficiency at best spark: flat, a little better in the middle. */
const indicatedShare = (rpm: number): number => 0.372 - 0.022 * ((rpm - 4800) / 2400) ** 2;
/** Friction mean effective pressure, Pa. Source: shape after Heywood (1988), chapter 13. */
const frictionPa = (rpm: number): number => 97e3 + 15e3 * (rpm / 1000) * 0.6 + 2.2e3 * (rpm / 1000) ** 2;

/**
 * A supercharged engine as a source of wheel power and of everything its logger sees, with a memory: the charge cooler warms in a pull and
 * recovers between pulls, knock retard comes fast and goes slowly, intake air warms at a stand. Make a new one for every drive.
 *
 * Air as in {@link blowerAir}; wheel power = η_driveline (m_air q η_i η_spark − friction − blower), η_spark = 1 − c (best − spark)².
 *
 * Channels: `manifoldPa`, `baroPa`, `blowerInletPa`, `intakeK`, `chargeK`, `coolantK`, `lambda` (at the sensor, delayed by the engine's cycle
 * and the pipe), `lambdaTrue`, `lambdaTarget`, `sparkDeg`, `knockRetardDeg`, `throttle`, `injectorPulseS`, `injectorDuty`, `fuelPressurePa`
 * (over ambient), `batteryV`, `coolerK`.
 */
export function blownEngine(spec: BlownEngineSpec): Engine {
  const { blower, cylinders, ambientK, ambientPa } = spec;
  let coolerK = ambientK + 6;
  let intakeK = ambientK + 8;
  let coolantK = 357;
  let knockDeg = 0;
  let throttle = 0;
  const lambdas: number[] = [];

  const airAt = (rpm: number): BlowerState => blowerAir(blower, rpm, ambientPa, intakeK, coolerK);
  const heatBackDeg = (air: BlowerState): number => spec.sparkBackDegPerK * softCorner(air.chargeK - spec.sparkBackAboveK, 1.5);
  const knockAskedDeg = (air: BlowerState): number => {
    const beyond = (air.chargeK - spec.knockK) * spec.knockDegPerK + (air.manifoldPa - spec.knockPa) * spec.knockDegPerPa;
    return softCorner(beyond, 0.35) - softCorner(beyond - spec.knockMostDeg, 0.35);
  };

  function fullLoadWheelPowerW(rpm: number): number {
    const air = airAt(rpm);
    const shortDeg = bestOverMapDeg + heatBackDeg(air) + knockDeg;
    const indicatedW = air.massFlowKgPerS * heatPerAirJPerKg * indicatedShare(rpm) * (1 - sparkLossPerDeg2 * shortDeg * shortDeg);
    const frictionW = (frictionPa(rpm) * blower.engineVolumeM3 * rpm) / 120;
    return spec.drivelineShare * (indicatedW - frictionW - air.driveW / 0.97);
  }

  function advance(moment: Moment): Record<string, number> {
    const { stepS, engineSpeedRpm: rpm, speedMps, load, pedal } = moment;
    const running = rpm > 300;
    const toward = (value: number, target: number, timeConstantS: number): number =>
      value + (target - value) * (1 - Math.exp(-stepS / timeConstantS));
    const air = airAt(Math.max(rpm, spec.idleRpm));
    const cut = running && pedal < 0.01 && rpm > 1.6 * spec.idleRpm;
    const closedPa = cut ? 27e3 : 34e3;
    const manifoldPa = running ? closedPa + (air.manifoldPa - closedPa) * load : ambientPa;
    const flow = running ? air.massFlowKgPerS * (cut ? 0.08 : Math.max(load, 0.12)) : 0;
    const chargeK = running ? coolerK + (air.chargeK - coolerK) * load : coolerK;

    const heatW = air.coolerHeatW * load * load;
    const givenOff = spec.coolerStandingWPerK + spec.coolerMovingWPerK * speedMps;
    // The cooler sits in the nose, in air a little warmer than the day's; standing, the engine bay warms it.
    const noseK = ambientK + 2 + 10 * Math.exp(-speedMps / 6);
    coolerK += ((heatW - givenOff * (coolerK - noseK)) * stepS) / spec.coolerHeatJPerK;
    intakeK = toward(intakeK, ambientK + 4 + 14 * Math.exp(-speedMps / 8), 18);
    coolantK = toward(coolantK, 358 + 9 * load, 60);
    const knockAsked = running ? knockAskedDeg(air) * smoothStep((load - 0.75) / 0.2) : 0;
    knockDeg = toward(knockDeg, knockAsked, knockAsked > knockDeg ? 0.08 : 0.6);
    throttle = toward(throttle, running ? 0.035 + 0.965 * pedal : 0.06, 0.05);

    const rich = smoothStep((load - 0.7) / 0.2);
    const lambdaTarget = 1 + (spec.fullLoadLambda - 1) * rich;
    const lambdaTrue = lambdaTarget * (1 + (spec.lambdaError(rpm) - 1) * rich);
    lambdas.push(!running || cut ? 3 : lambdaTrue);
    // A cycle and a quarter, then the pipe: 2.4 L at 1000 K and 110 kPa.
    const delayS = running ? 150 / rpm + (2.4e-3 * 110e3) / (287 * 1000 * flow) : 0;
    const lambda = lambdas[Math.max(0, lambdas.length - 1 - Math.round(delayS / stepS))]!;
    const fuelKg = running && !cut ? ((flow / (spec.fuelStoich * lambdaTrue)) * 120) / (rpm * cylinders) : 0;
    const injectorPulseS = fuelKg > 0 ? fuelKg / spec.injectorKgPerS + spec.injectorDeadS : 0;
    const overlapDeg = mapSparkDeg(Math.max(rpm, 2400)) + 16 * (1 - load);
    return {
      manifoldPa,
      baroPa: ambientPa,
      blowerInletPa: ambientPa - blower.inletLoss * flow * flow,
      intakeK,
      chargeK,
      coolantK,
      coolerK,
      lambda,
      lambdaTrue,
      lambdaTarget,
      sparkDeg: running ? (rpm < 1.3 * spec.idleRpm ? 12 : overlapDeg - heatBackDeg(air) * load - knockDeg) : 0,
      knockRetardDeg: knockDeg,
      throttle,
      injectorPulseS,
      injectorDuty: (injectorPulseS * rpm) / 120,
      fuelPressurePa: running ? spec.railAcrossPa + manifoldPa - ambientPa - 9e3 * load : spec.railAcrossPa,
      batteryV: running ? 14.1 - 0.15 * load : 12.4,
    };
  }

  return { fullLoadWheelPowerW, advance };
}
