/** A positive-displacement blower with a charge cooler on an engine. Every law may depend on what it depends on in a real one. */
export interface Blower {
  /** Volume moved per turn of the rotor shaft, m³. */
  readonly blowerVolumeM3: number;
  readonly engineVolumeM3: number;
  /** Rotor speed over engine speed. */
  readonly driveRatio: number;
  /** Volumetric efficiency without leakage. */
  readonly fillShare: number;
  /** Rotor speed lost to leakage at a pressure ratio of 2, rpm; grows with the root of the pressure rise. */
  readonly leakageRpm: number;
  adiabaticEfficiency(rotorRpm: number): number;
  /** Engine's volumetric efficiency on manifold density. */
  volumetricEfficiency(engineRpm: number): number;
  /** Share of the charge's heat above the cooler's own temperature that the cooler takes. */
  coolerEffectiveness(massFlowKgPerS: number): number;
  /** Pressure lost before the blower and in the cooler, Pa per (kg/s)². */
  readonly inletLoss: number;
  readonly coolerLoss: number;
}

/** What the blower makes of the air it is given. */
export interface BlowerState {
  readonly rotorRpm: number;
  readonly massFlowKgPerS: number;
  readonly inletPa: number;
  readonly pressureRatio: number;
  readonly outletK: number;
  readonly manifoldPa: number;
  readonly chargeK: number;
  readonly coolerHeatW: number;
  /** Power put into the air; the shaft needs a little more. */
  readonly driveW: number;
}

const gasConstant = 287.05;
const heatCapacity = 1005;

/**
 * Steady full-load air flow, pressures and temperatures of a blown engine, by the secant method on the pressure ratio.
 *
 * m = η_v D N_s ρ₁; T₂ = T₁ (1 + (PR^((κ−1)/κ) − 1)/η_ad); T₃ = T₂ − ε (T₂ − T_c); p_m = m R T₃ / (VE V_d N/2).
 *
 * Source: J. B. Heywood, Internal Combustion Engine Fundamentals (1988), chapter 6; leakage as a loss of rotor speed after M. Ware, SAE 260064 (1926).
 *
 * @throws RangeError when the search does not settle.
 */
export function blowerAir(blower: Blower, engineRpm: number, ambientPa: number, inletK: number, coolerK: number): BlowerState {
  const rotorRpm = engineRpm * blower.driveRatio;
  const efficiency = blower.adiabaticEfficiency(rotorRpm);
  const swallowedM3PerS = (blower.volumetricEfficiency(engineRpm) * blower.engineVolumeM3 * engineRpm) / 120;
  let flow = 0;
  /** All that follows from a pressure ratio across the blower, with the ratio the engine then asks for. */
  const from = (ratio: number): BlowerState => {
    const inletPa = ambientPa - blower.inletLoss * flow * flow;
    const eta = blower.fillShare - (blower.leakageRpm * Math.sqrt(Math.max(0, ratio - 1))) / rotorRpm;
    flow = (eta * blower.blowerVolumeM3 * (rotorRpm / 60) * inletPa) / (gasConstant * inletK);
    const outletK = inletK * (1 + (Math.max(ratio, 1) ** (0.4 / 1.4) - 1) / efficiency);
    const chargeK = outletK - blower.coolerEffectiveness(flow) * (outletK - coolerK);
    const manifoldPa = (flow * gasConstant * chargeK) / swallowedM3PerS;
    return {
      rotorRpm,
      massFlowKgPerS: flow,
      inletPa,
      pressureRatio: (manifoldPa + blower.coolerLoss * flow * flow) / inletPa,
      outletK,
      manifoldPa,
      chargeK,
      coolerHeatW: flow * heatCapacity * (outletK - chargeK),
      driveW: flow * heatCapacity * (outletK - inletK),
    };
  };
  let low = 1.2;
  let lowGap = from(low).pressureRatio - low;
  let high = 1.6;
  for (let i = 0; i < 60; i++) {
    const state = from(high);
    const gap = state.pressureRatio - high;
    if (Math.abs(gap) < 1e-11) return state;
    const next = high - (gap * (high - low)) / (gap - lowGap);
    low = high;
    lowGap = gap;
    high = next;
  }
  throw new RangeError(`the blower does not settle at ${engineRpm} rpm, pressure ratio ${high}`);
}
