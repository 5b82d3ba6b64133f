import { PullproofError } from '../findings/index.js';
import type { Air } from './air.js';
import { moistAir } from './density.js';

/** What governs boost: nothing to boost, a blower geared to the crank, or a controller that aims at a pressure. */
export type BoostControl = 'none' | 'fixed-ratio' | 'controlled';

/** Key of a power-correction standard, as the trial file writes it. */
export type CorrectionStandard =
  | 'sae-j1349'
  | 'iso-1585'
  | 'iso-1585-diesel'
  | 'iso-1585-diesel-turbo'
  | 'sae-j607'
  | 'sae-j607-plain'
  | 'din-70020';

/** State of the inlet air as the standards take it. Their own formulas round the ice point to 273 K. */
interface InletState {
  readonly dryPressureKPa: number;
  readonly totalPressureKPa: number;
  readonly temperatureC: number;
}

interface Standard {
  readonly name: string;
  /** Reference state for people. */
  readonly reference: string;
  readonly ignition: 'spark' | 'compression';
  readonly factor: (state: InletState, engineFactor: number) => number;
  /** Allowed range of the factor itself, where the standard states one. */
  readonly factorRange?: readonly [low: number, high: number];
  readonly temperatureRangeC?: readonly [low: number, high: number];
  /** Of dry pressure. */
  readonly dryPressureRangeKPa?: readonly [low: number, high: number];
  /** What a reader must know whenever this standard is used. */
  readonly caveat?: string;
}

const j607Caveat = 'SAE J607 is superseded; its 60 °F reference makes figures 4 to 5 % higher than SAE J1349';

const standards: Readonly<Record<CorrectionStandard, Standard>> = {
  'sae-j1349': {
    name: 'SAE J1349',
    reference: '25 °C, 99 kPa dry',
    ignition: 'spark',
    factor: ({ dryPressureKPa, temperatureC }) => 1.18 * (99 / dryPressureKPa) * Math.sqrt((temperatureC + 273) / 298) - 0.18,
    temperatureRangeC: [15, 35],
    dryPressureRangeKPa: [90, 105],
    factorRange: [0.97, 1.03],
  },
  'iso-1585': {
    name: 'ISO 1585 (positive ignition)',
    reference: '25 °C, 99 kPa dry',
    ignition: 'spark',
    factor: ({ dryPressureKPa, temperatureC }) => (99 / dryPressureKPa) ** 1.2 * ((temperatureC + 273) / 298) ** 0.6,
    factorRange: [0.93, 1.07],
    temperatureRangeC: [15, 35],
    dryPressureRangeKPa: [80, 110],
  },
  'iso-1585-diesel': {
    name: 'ISO 1585 (compression ignition, without turbocharger)',
    reference: '25 °C, 99 kPa dry',
    ignition: 'compression',
    factor: ({ dryPressureKPa, temperatureC }, engineFactor) =>
      ((99 / dryPressureKPa) * ((temperatureC + 273) / 298) ** 0.7) ** engineFactor,
    factorRange: [0.9, 1.1],
    temperatureRangeC: [10, 40],
    dryPressureRangeKPa: [80, 110],
  },
  'iso-1585-diesel-turbo': {
    name: 'ISO 1585 (compression ignition, turbocharged)',
    reference: '25 °C, 99 kPa dry',
    ignition: 'compression',
    factor: ({ dryPressureKPa, temperatureC }, engineFactor) =>
      ((99 / dryPressureKPa) ** 0.7 * ((temperatureC + 273) / 298) ** 1.5) ** engineFactor,
    factorRange: [0.9, 1.1],
    temperatureRangeC: [10, 40],
    dryPressureRangeKPa: [80, 110],
  },
  'sae-j607': {
    name: 'SAE J607, with friction',
    reference: '60 °F (15.56 °C), 29.92 inHg dry',
    ignition: 'spark',
    factor: ({ dryPressureKPa, temperatureC }) => 1.18 * (101.325 / dryPressureKPa) * Math.sqrt((temperatureC + 273.15) / 288.7056) - 0.18,
    caveat: j607Caveat,
  },
  'sae-j607-plain': {
    name: 'SAE J607, plain ratio',
    reference: '60 °F (15.56 °C), 29.92 inHg dry',
    ignition: 'spark',
    factor: ({ dryPressureKPa, temperatureC }) => (101.325 / dryPressureKPa) * Math.sqrt((temperatureC + 273.15) / 288.7056),
    caveat: j607Caveat,
  },
  'din-70020': {
    name: 'DIN 70020',
    reference: '20 °C, 101.3 kPa total',
    ignition: 'spark',
    factor: ({ totalPressureKPa, temperatureC }) => (101.3 / totalPressureKPa) * Math.sqrt((temperatureC + 273) / 293),
    caveat: 'DIN 70020 is withdrawn and takes no account of humidity',
  },
};

/** Keys of the standards that are known. */
export const correctionStandards: readonly CorrectionStandard[] = Object.keys(standards) as CorrectionStandard[];

export interface CorrectionOptions {
  /** null or left out when it is not known. */
  readonly boostControl?: BoostControl | null;
  /** Fuel per litre of displacement and cycle over the compressor's pressure ratio, mg/L; for compression ignition only. */
  readonly fuelPerCycleMgPerL?: number;
}

/** What a standard would multiply the power by, and what speaks against it. */
export interface Correction {
  readonly standard: string;
  readonly reference: string;
  readonly factor: number;
  /** Why the factor is not to be relied on; null when nothing is known against it. */
  readonly warning: string | null;
}

/**
 * Factor by which a named standard would correct engine power to its reference air. It is shown, never applied silently.
 *
 * J1349: 1.18 (99/p_d) √((t+273)/298) − 0.18. ISO 1585: (99/p_d)^1.2 ((t+273)/298)^0.6; compression ignition f_a^f_m, f_m = 0.036 q_c − 1.14.
 * J607: as J1349 with 101.325 kPa and 288.7056 K, or the plain ratio. DIN 70020: (101.3/p) √((t+273)/293).
 *
 * @param standard key of the standard
 * @param inlet air at the engine's inlet: temperature K, pressure Pa and humidity; `dryPressurePa` may be given in place of humidity
 * @param options kind of boost control; fuel quantity for a diesel
 * @returns the factor with a warning when the air or the factor lies outside the standard's window, the standard is superseded, or the engine is one for which it does not hold
 * @throws E_AIR for air that no road has, E_CORRECTION for a fuel quantity that is not positive
 *
 * Validity: windows are checked and warned about. Formulas of ISO 1585 and DIN 70020, and all windows except the factor range of compression ignition, are from memory.
 * Below 40 mg/L f_m is 0.3 and above 65 mg/L it is 1.2; without a fuel quantity 0.3 is used and said.
 * Source: [SAEJ1349]; [ISO1585], [UNR85]; [SAEJ607]; [DIN70020].
 *
 * @example
 * ```ts
 * import { powerCorrection } from '@pullproof/core';
 * const air = { temperatureK: 303.15, stationPressurePa: 98000, relativeHumidity: 0.5 };
 * powerCorrection('sae-j1349', air, { boostControl: 'none' }).factor.toFixed(3); // => '1.049'
 * ```
 */
export function powerCorrection(
  standard: CorrectionStandard,
  inlet: Air | { readonly temperatureK: number; readonly stationPressurePa: number; readonly dryPressurePa: number },
  options: CorrectionOptions = {},
): Correction {
  const entry = standards[standard];
  const dryPa = 'dryPressurePa' in inlet ? requireDry(inlet) : moistAir(inlet).dryPressurePa;
  const state: InletState = {
    dryPressureKPa: dryPa / 1000,
    totalPressureKPa: inlet.stationPressurePa / 1000,
    temperatureC: inlet.temperatureK - 273.15,
  };
  const factor = entry.factor(state, engineFactor(options.fuelPerCycleMgPerL));
  const warnings = [...windowWarnings(entry, state, factor), ...boostWarnings(entry, options)];
  if (entry.caveat !== undefined) warnings.unshift(entry.caveat);
  if (entry.ignition === 'compression' && options.fuelPerCycleMgPerL === undefined) {
    warnings.push('the fuel quantity per cycle is not known, so the smallest engine factor, 0.3, was assumed');
  }
  return { standard: entry.name, reference: entry.reference, factor, warning: warnings.length === 0 ? null : `${warnings.join('; ')}.` };
}

function requireDry(inlet: { temperatureK: number; stationPressurePa: number; dryPressurePa: number }): number {
  moistAir({ ...inlet, relativeHumidity: 0 });
  const { dryPressurePa, stationPressurePa } = inlet;
  if (!(dryPressurePa > 0.7 * stationPressurePa && dryPressurePa <= stationPressurePa)) {
    throw new PullproofError(
      'E_AIR',
      `dry pressure must lie a little below the station pressure of ${stationPressurePa} Pa, given ${dryPressurePa}.`,
      {},
      'Take the vapour pressure off the station pressure.',
    );
  }
  return dryPressurePa;
}

function engineFactor(fuelPerCycleMgPerL: number | undefined): number {
  if (fuelPerCycleMgPerL === undefined) return 0.3;
  if (!(fuelPerCycleMgPerL > 0 && fuelPerCycleMgPerL < 1000)) {
    throw new PullproofError(
      'E_CORRECTION',
      `fuel per litre and cycle must lie between 0 and 1000 mg/L, given ${fuelPerCycleMgPerL}.`,
      {},
      'Give milligrams of fuel per litre of displacement and cycle, over the pressure ratio.',
    );
  }
  return Math.min(1.2, Math.max(0.3, 0.036 * fuelPerCycleMgPerL - 1.14));
}

function windowWarnings(entry: Standard, state: InletState, factor: number): string[] {
  const warnings: string[] = [];
  const { temperatureRangeC: t, dryPressureRangeKPa: p, factorRange: f } = entry;
  if (t !== undefined && !within(state.temperatureC, t)) {
    warnings.push(`inlet air of ${state.temperatureC.toFixed(1)} °C is outside the ${t[0]} to ${t[1]} °C for which ${entry.name} is meant`);
  }
  if (p !== undefined && !within(state.dryPressureKPa, p)) {
    warnings.push(
      `a dry pressure of ${state.dryPressureKPa.toFixed(1)} kPa is outside the ${p[0]} to ${p[1]} kPa for which ${entry.name} is meant`,
    );
  }
  if (f !== undefined && !within(factor, f)) {
    warnings.push(`a factor of ${factor.toFixed(3)} is outside the ${f[0]} to ${f[1]} within which ${entry.name} counts on it`);
  }
  return warnings;
}

function boostWarnings(entry: Standard, { boostControl }: CorrectionOptions): string[] {
  if (boostControl === 'none') return [];
  if (boostControl === 'fixed-ratio') {
    if (entry.ignition === 'compression') return [];
    return ['the standard was made for engines without boost: for a blower of fixed ratio its direction holds, its size is not known'];
  }
  if (boostControl === 'controlled') {
    return [
      'boost control that aims at a pressure already makes up for the air, so the factor corrects twice; UN R85 lets it be 1 for such engines',
    ];
  }
  return ['it is not known whether and how the engine is boosted; the factor does not hold where boost control makes up for the air'];
}

function within(value: number, [low, high]: readonly [low: number, high: number]): boolean {
  return value >= low - 1e-9 && value <= high + 1e-9;
}
