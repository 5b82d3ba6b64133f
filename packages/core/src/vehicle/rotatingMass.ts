import { PullproofError } from '../findings/index.js';

/** Inertia of the parts that spin with the road speed, and of those that spin with the engine, kg m². */
export interface SpinningParts {
  /** All wheels together. */
  readonly wheelsKgM2: number;
  /** Crank, flywheel and what is bolted to them. */
  readonly engineKgM2: number;
  /** Propeller shaft and pinion, at shaft speed; 0 unless given. */
  readonly shaftKgM2?: number;
}

/** Through what the engine drives the wheels. */
export interface DriveRatios {
  readonly gearRatio: number;
  readonly finalDrive: number;
  /** Rolling radius, m. */
  readonly tyreRadiusM: number;
}

/**
 * Rotating-mass factor from inertias: k_r = 1 + [I_w + I_p i_f² + I_e (i_g i_f)²]/(r² m).
 *
 * @param massKg mass as driven, kg
 * @param parts inertias, kg m²
 * @param drive gear and final-drive ratio, rolling radius m
 * @returns factor, above 1
 * @throws E_ROTATING for numbers that are not finite, negative inertias, or a mass, ratio or radius that is not positive
 *
 * Validity: a locked driveline in one gear; the engine's own inertia counts as part of the car.
 * Source: [GILLESPIE1992] ch. 2 (form; equation number from memory).
 *
 * @example
 * ```ts
 * import { rotatingFactor } from '@pullproof/core';
 * const drive = { gearRatio: 1, finalDrive: 3.73, tyreRadiusM: 0.32 };
 * rotatingFactor(1600, { wheelsKgM2: 4.8, engineKgM2: 0.2 }, drive).toFixed(4); // => '1.0463'
 * ```
 */
export function rotatingFactor(massKg: number, parts: SpinningParts, drive: DriveRatios): number {
  const { wheelsKgM2, engineKgM2, shaftKgM2 = 0 } = parts;
  const { gearRatio, finalDrive, tyreRadiusM } = drive;
  requireNumbers([massKg, gearRatio, finalDrive, tyreRadiusM], [wheelsKgM2, engineKgM2, shaftKgM2]);
  const inertia = wheelsKgM2 + shaftKgM2 * finalDrive ** 2 + engineKgM2 * (gearRatio * finalDrive) ** 2;
  return 1 + inertia / (tyreRadiusM ** 2 * massKg);
}

/** An assumed factor with its spread. */
export interface AssumedRotatingFactor {
  readonly value: number;
  /** One standard uncertainty. */
  readonly spread: number;
  readonly standing: 'assumed';
  readonly source: string;
}

/** How far the published default may be off, as a share of what it adds to 1; a light flywheel alone is worth this much. */
const DEFAULT_SHARE_SPREAD = 0.35;

/**
 * Published default of the rotating-mass factor where no inertia is known: k_r = 1 + 0.04 + 0.0025 N².
 *
 * @param overallRatio gearbox times final drive
 * @returns factor, marked assumed, with a spread of 35 % of what it adds to 1
 * @throws E_ROTATING for a ratio that is not positive
 *
 * Validity: passenger cars with ordinary flywheels, N up to 20; it overstates light flywheels (N 3.73: 1.075 against 1.046 from inertias).
 * Source: [GILLESPIE1992], [WONG]; page numbers from memory. The spread is common practice, no source.
 *
 * @example
 * ```ts
 * import { defaultRotatingFactor } from '@pullproof/core';
 * defaultRotatingFactor(4.1).value.toFixed(6); // => '1.082025'
 * ```
 */
export function defaultRotatingFactor(overallRatio: number): AssumedRotatingFactor {
  requireNumbers([overallRatio], []);
  const added = 0.04 + 0.0025 * overallRatio ** 2;
  return {
    value: 1 + added,
    spread: DEFAULT_SHARE_SPREAD * added,
    standing: 'assumed',
    source: `1 + 0.04 + 0.0025 × ${overallRatio.toFixed(2)}² (Gillespie 1992; Wong)`,
  };
}

function requireNumbers(positive: readonly number[], notNegative: readonly number[]): void {
  if (positive.every((x) => x > 0 && Number.isFinite(x)) && notNegative.every((x) => x >= 0 && Number.isFinite(x))) return;
  throw new PullproofError(
    'E_ROTATING',
    `mass, ratios and radius must be positive and inertias not negative, given ${[...positive, ...notNegative].join(', ')}.`,
    {},
    'Check mass, ratios, tyre radius and inertias.',
  );
}
