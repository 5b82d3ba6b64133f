/** What the delay of an exhaust sensor is made of. */
export interface DelayParts {
  /** Exhaust volume from valve to sensor, m³. */
  readonly pipeVolumeM3: number;
  /** Default 1100. */
  readonly exhaustTemperatureK?: number;
  /** Default 110000. */
  readonly exhaustPressurePa?: number;
  /** First-order lag of the sensor, s. Default 0.04. */
  readonly sensorLagS?: number;
  /** Engine cycles (two turns each) from injection to the open exhaust valve. Default 1.25. */
  readonly cycles?: number;
}

/**
 * Time from injection to reading, by what it is made of.
 *
 * τ = cycles · 120/rpm + V ρ/ṁ + sensor lag, ρ = p/(R T), R 287
 *
 * @param engineSpeedRpm of a four-stroke engine
 * @param massFlowKgPerS exhaust flow, about the air flow
 * @param parts see {@link DelayParts}
 * @returns s; grows at low flow
 *
 * Source: FORMULAS §6.2; the lag of tens of milliseconds is common practice, no source.
 */
export function modelDelayS(engineSpeedRpm: number, massFlowKgPerS: number, parts: DelayParts): number {
  const { pipeVolumeM3, exhaustTemperatureK = 1100, exhaustPressurePa = 110000, sensorLagS = 0.04, cycles = 1.25 } = parts;
  const pipeS = (pipeVolumeM3 * exhaustPressurePa) / (287 * exhaustTemperatureK * massFlowKgPerS);
  return (cycles * 120) / engineSpeedRpm + pipeS + sensorLagS;
}

/** A delay as a law: a part that stays, and a part that goes with one over the flow. */
export interface TransportDelay {
  readonly fixedS: number;
  /** Part that goes with 1/flow, s at `referenceFlow`. */
  readonly flowS: number;
  /** In the unit of the flow it was estimated with (engine speed where no other flow was given). */
  readonly referenceFlow: number;
}

/**
 * Delay at each row.
 *
 * @param delay law, entered or estimated
 * @param flow the same quantity that `referenceFlow` is in; NaN or not above zero gives NaN
 * @returns s
 */
export function delaysAt(delay: TransportDelay, flow: Float64Array): Float64Array {
  return flow.map((value) => (value > 0 ? delay.fixedS + (delay.flowS * delay.referenceFlow) / value : Number.NaN));
}

/** A law whose delay is the same at any flow: what a person enters as one number. */
export function enteredDelay(delayS: number): TransportDelay {
  return { fixedS: delayS, flowS: 0, referenceFlow: 1 };
}
