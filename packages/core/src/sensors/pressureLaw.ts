import { PullproofError } from '../findings/index.js';

/** A linear pressure sensor: pressure = offset + slope · voltage at the supply it was stated for. */
export interface PressureLaw {
  /** Pressure at 0 V. */
  readonly offsetPa: number;
  readonly slopePaPerV: number;
  /** Supply for which the two hold, and the reference of the converter that reads it. */
  readonly supplyV: number;
  /** What zero pressure means. */
  readonly reference: 'absolute' | 'gauge';
}

/** One point of a law. */
export interface LawPoint {
  readonly voltageV: number;
  readonly pressurePa: number;
}

export interface PressureLawOptions {
  /** Default 5. */
  readonly supplyV?: number;
  /** Default `absolute`. */
  readonly reference?: 'absolute' | 'gauge';
}

/**
 * The law through two points.
 *
 * slope = (p₂ − p₁)/(V₂ − V₁), offset = p₁ − slope · V₁
 *
 * @param first voltage (V) and pressure (Pa)
 * @param second another voltage, and its pressure
 * @returns the law at `options.supplyV`
 * @throws E_SENSOR_LAW when the voltages are equal, the pressures are equal, or a number is not finite
 *
 * Validity: inside the sensor's rated range; outside it the line is an extrapolation and the output saturates.
 *
 * @example
 * ```ts
 * import { pressureLaw } from '@pullproof/core';
 *
 * const law = pressureLaw({ voltageV: 0, pressurePa: 10000 }, { voltageV: 5, pressurePa: 260000 });
 * law.slopePaPerV; // => 50000
 * ```
 */
export function pressureLaw(first: LawPoint, second: LawPoint, options: PressureLawOptions = {}): PressureLaw {
  const { supplyV = 5, reference = 'absolute' } = options;
  const slopePaPerV = (second.pressurePa - first.pressurePa) / (second.voltageV - first.voltageV);
  const offsetPa = first.pressurePa - slopePaPerV * first.voltageV;
  if (!Number.isFinite(slopePaPerV) || slopePaPerV === 0 || !Number.isFinite(offsetPa) || !(supplyV > 0)) {
    throw new PullproofError(
      'E_SENSOR_LAW',
      `A line through ${first.pressurePa} Pa at ${first.voltageV} V and ${second.pressurePa} Pa at ${second.voltageV} V (supply ${supplyV} V) is no sensor law.`,
      {},
      'Give two different voltages with two different pressures.',
    );
  }
  return { offsetPa, slopePaPerV, supplyV, reference };
}

/**
 * The law of a ratiometric sensor as datasheets write it.
 *
 * V = V_s (k P + c), so P = (V/V_s − c)/k
 *
 * @param sensitivityPerPa k, 1/Pa
 * @param offsetRatio c, a share of the supply
 * @returns the law at `options.supplyV`
 * @throws E_SENSOR_LAW when k is zero or a number is not finite
 */
export function ratiometricLaw(sensitivityPerPa: number, offsetRatio: number, options: PressureLawOptions = {}): PressureLaw {
  const { supplyV = 5 } = options;
  return pressureLaw(
    { voltageV: 0, pressurePa: -offsetRatio / sensitivityPerPa },
    { voltageV: supplyV, pressurePa: (1 - offsetRatio) / sensitivityPerPa },
    options,
  );
}

/**
 * Pressure at a voltage.
 *
 * @param law the sensor
 * @param voltageV output, V; not finite gives NaN
 * @param options `supplyV`: the supply that the sensor had, where it was measured; default the law's
 * @returns pressure, Pa, in the law's reference
 */
export function pressureFromVoltage(law: PressureLaw, voltageV: number, options: { readonly supplyV?: number } = {}): number {
  const { supplyV = law.supplyV } = options;
  return law.offsetPa + (law.slopePaPerV * voltageV * law.supplyV) / supplyV;
}

/** Voltage at a pressure: the other way round of {@link pressureFromVoltage}. */
export function voltageFromPressure(law: PressureLaw, pressurePa: number, options: { readonly supplyV?: number } = {}): number {
  const { supplyV = law.supplyV } = options;
  return ((pressurePa - law.offsetPa) / law.slopePaPerV) * (supplyV / law.supplyV);
}

/**
 * A log recorded through another sensor's law, as the fitted sensor would have read it.
 *
 * P_true = off_f + s_f (P_log − off_l)/s_l
 *
 * @param valuesPa as logged, Pa; NaN stays NaN
 * @param logged the law the recorder used
 * @param fitted the law of the sensor that is really there
 * @returns new array, Pa, in the fitted sensor's reference. A reading that was clipped stays clipped: rescaling cannot bring it back.
 *
 * Source: the two linear laws set equal in voltage. Never a ratio of full scales, which ignores the offsets.
 *
 * @example
 * ```ts
 * import { publishedPressureSensor, rescalePressure } from '@pullproof/core';
 *
 * const logged = publishedPressureSensor('MPX4250A').law;
 * const fitted = publishedPressureSensor('MPXH6400A').law;
 * Math.abs(rescalePressure(Float64Array.of(170000), logged, fitted)[0] - 267831.5) < 1; // => true
 * ```
 */
export function rescalePressure(valuesPa: Float64Array, logged: PressureLaw, fitted: PressureLaw): Float64Array {
  const share = fitted.slopePaPerV / logged.slopePaPerV;
  return valuesPa.map((value) => fitted.offsetPa + share * (value - logged.offsetPa));
}

/**
 * Error that a wrong supply makes when the converter's reference does not follow it.
 *
 * V = V_s(kP + c) read as if V_s were nominal: error = (P − off) · ΔV_s/V_s
 *
 * @param law the sensor
 * @param pressurePa true pressure, Pa, in the law's reference
 * @param supplyErrorV real supply less the law's, V
 * @returns read less true pressure, Pa; 0 for a converter that shares the supply (then say so instead of calling this)
 */
export function supplyVoltageErrorPa(law: PressureLaw, pressurePa: number, supplyErrorV: number): number {
  return ((pressurePa - law.offsetPa) * supplyErrorV) / law.supplyV;
}
