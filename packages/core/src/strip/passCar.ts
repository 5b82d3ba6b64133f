import type { PowerTable } from './powerTable.js';

/** A car at the strip as a point mass. */
export interface PassCar {
  /** With driver and fuel, kg. */
  readonly massKg: number;
  readonly dragAreaM2: number;
  readonly rollingCoefficient: number;
  /** First gear first: engine speed per road speed, and rotating factor with every spinning part counted. */
  readonly gears: readonly { readonly rpmPerMps: number; readonly rotatingFactor: number }[];
  /** Rotating factor with the clutch open: wheels only. */
  readonly neutralRotatingFactor: number;
  /** Wheel power in the air of the pass. */
  readonly power: PowerTable;
  readonly grip: Grip;
  readonly launch: Launch;
  readonly shift: Shift;
}

/** What the driven tyres can carry. */
export interface Grip {
  /** Largest driving force of a tyre over the load on it. */
  readonly frictionCoefficient: number;
  /** Share of the standing weight on the driven axle; 1 for all-wheel drive. */
  readonly drivenShare: number;
  /** Height of the centre of gravity over the wheelbase: positive for rear drive, negative for front drive, 0 for all-wheel drive. */
  readonly transfer: number;
}

export interface Launch {
  /** Engine speed that is held by the slipping clutch, or the converter's stall speed. */
  readonly engineSpeedRpm: number;
  /** Time constant with which the driving force builds up, s; 0 for at once. */
  readonly riseS: number;
  /** Torque ratio of the converter at stall; null with a clutch. */
  readonly stallTorqueRatio: number | null;
}

export interface Shift {
  readonly engineSpeedRpm: number;
  /** Time with no driving force, s. */
  readonly holeS: number;
  /** Time in which the force then comes back on a straight line, s. */
  readonly returnS: number;
}

/** What a pass meets. */
export interface PassDay {
  readonly airDensityKgPerM3: number;
  /** Headwind positive. */
  readonly windMps: number;
  /** Rise over run, uphill positive. */
  readonly grade: number;
  /** How far the car rolls before the clock starts, m. */
  readonly rollOutM: number;
}
