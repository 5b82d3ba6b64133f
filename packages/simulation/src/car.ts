/** A car as a point mass with rotating parts. */
export interface Car {
  /** As driven: with driver, cargo and fuel. */
  readonly massKg: number;
  readonly dragAreaM2: number;
  readonly rollingCoefficient: number;
  readonly tyreRadiusM: number;
  /** Ratios of the gears, first gear first. */
  readonly gearRatios: readonly number[];
  readonly finalDrive: number;
  /** All wheels with tyres and brakes. */
  readonly wheelInertiaKgM2: number;
  /** Crankshaft, flywheel, clutch and what is geared to them. */
  readonly engineInertiaKgM2: number;
  readonly idleRpm: number;
  /** Drag torque of the closed-throttle engine at its own shaft. */
  readonly engineBrakingNm: number;
  /** Slip of the driven wheels for a driving force equal to the car's weight: slip = this · force / (m g). 0 for none. */
  readonly slipPerWeight: number;
}

/** What the car meets on the road. */
export interface Surroundings {
  readonly airDensityKgPerM3: number;
  /** Against the car is positive. */
  readonly headwindMps: number;
  /** Rise over run, uphill is positive. */
  readonly grade: number;
  /** Rise over run at a distance from the start, where it is not the same everywhere; stands in for `grade`. */
  readonly gradeAt?: (distanceM: number) => number;
}

/** Standard gravity, exact. Source: 3rd CGPM (1901). */
export const gravityMps2 = 9.80665;

/** Engine revolutions per minute for one metre per second in a gear, with no slip. */
export function rpmPerMps(car: Car, gear: number): number {
  const ratio = car.gearRatios[gear - 1];
  if (ratio === undefined) throw new RangeError(`gear must be 1 to ${car.gearRatios.length}, got ${gear}`);
  return (ratio * car.finalDrive * 30) / (Math.PI * car.tyreRadiusM);
}

/**
 * Mass that the driving force has to accelerate: the car and every rotating part at its own speed, m + (I_w + I_e N²)/r². Gear 0 is neutral.
 *
 * Source: T. D. Gillespie, Fundamentals of Vehicle Dynamics (SAE, 1992), chapter 2 (effective mass).
 */
export function effectiveMassKg(car: Car, gear: number): number {
  const overall = gear === 0 ? 0 : ((rpmPerMps(car, gear) * Math.PI) / 30) * car.tyreRadiusM;
  return car.massKg + (car.wheelInertiaKgM2 + car.engineInertiaKgM2 * overall * overall) / car.tyreRadiusM ** 2;
}

/** Rise over run at a distance from the start. */
export function gradeHere({ grade, gradeAt }: Surroundings, distanceM: number): number {
  return gradeAt === undefined ? grade : gradeAt(distanceM);
}

/** Drag, rolling resistance and slope together, N. A tailwind faster than the car pushes. `distanceM` counts where the grade changes. */
export function roadLoadN(car: Car, around: Surroundings, speedMps: number, distanceM = 0): number {
  const air = speedMps + around.headwindMps;
  const drag = 0.5 * around.airDensityKgPerM3 * car.dragAreaM2 * air * Math.abs(air);
  const grade = gradeHere(around, distanceM);
  const slope = Math.hypot(1, grade);
  const weight = car.massKg * gravityMps2;
  return drag + (weight * (car.rollingCoefficient + grade)) / slope;
}
