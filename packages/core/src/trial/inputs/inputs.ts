import type { Finding } from '../../findings/index.js';
import type { ReadOptions } from '../../log/index.js';
import type { TrialResult } from '../../result/index.js';
import type { PressureLaw } from '../../sensors/index.js';
import type { RunKind } from '../file/trialFile.js';

/** A number with one standard uncertainty and where it comes from. */
export interface StatedNumber {
  readonly value: number;
  /** One standard uncertainty, same unit. */
  readonly spread: number;
  readonly standing: 'entered' | 'assumed';
  /** For people: the field it was entered in, or the source of the default. */
  readonly source: string;
}

/** A number of the road or the road load, which the logs may give. */
export interface MeasurableNumber extends Omit<StatedNumber, 'standing'> {
  readonly standing: 'measured' | 'entered' | 'assumed';
}

/** How the inertia of spinning parts is known. */
export type RotatingInertia =
  | { readonly kind: 'factor'; readonly byGear: ReadonlyMap<number, number>; readonly spread: number }
  /** Entered, or assumed by the kind of car; each number says which. */
  | { readonly kind: 'inertia'; readonly wheelsKgM2: StatedNumber; readonly engineKgM2: StatedNumber };

/** A blower as entered. */
export interface BlowerInputs {
  /** Air moved with each turn of the rotors. */
  readonly displacementM3: number | null;
  readonly crankPulleyM: number | null;
  readonly maxRotorSpeedRpm: number | null;
  /** Rotor turns for each turn of the engine, by both pulleys. */
  readonly driveRatio: number | null;
}

/** Injectors as entered. */
export interface InjectorInputs {
  readonly count: number | null;
  /** Of one injector at `ratedPressurePa`: m³/s by volume, kg/s by mass. */
  readonly flow: { readonly kind: 'volume' | 'mass'; readonly value: number } | null;
  readonly ratedPressurePa: number | null;
  /** Whether rail pressure follows manifold pressure. */
  readonly rail: 'referenced' | 'fixed' | null;
  readonly deadTimeS: number | null;
  /** Of the rail above the air's pressure, with nothing on its regulator. */
  readonly railPressurePa: number | null;
}

/** What was entered of the engine for the routes to power; null where nothing was. */
export interface EngineInputs {
  readonly fuelDensityKgPerM3: StatedNumber;
  /** Referred to the density in the manifold. */
  readonly volumetricEfficiency: StatedNumber | null;
  /** Power at the wheels over power at the crank. */
  readonly drivetrainEfficiency: StatedNumber | null;
  /** Fuel for the energy at the crank, at full load as the mixture is there. */
  readonly specificConsumptionKgPerJ: StatedNumber | null;
}

/** Everything about one run that is not in its log: resolved, SI, with standing and spread. What was left out is assumed and says so. */
export interface RunInputs {
  readonly setup: string;
  /** Path of the log as written in the trial. */
  readonly log: string;
  /** Only this span of the log belongs to the run, s from the log's first row; null for no limit. */
  readonly fromTimeS: number | null;
  readonly toTimeS: number | null;
  readonly when: string | null;
  /** Name of the outing; null when unknown. */
  readonly outing: string | null;
  readonly direction: string | null;
  /** What the run was driven for, and in which gear; null where the trial does not say. */
  readonly kind: RunKind | null;
  readonly gear: number | null;
  /** As driven; sums the ledger. */
  readonly massKg: StatedNumber;
  /** Part of the spread of `massKg` that this run does not share with the other runs: its fuel, and a driver or cargo of its own. */
  readonly massOwnSpreadKg: number;
  readonly ledger: readonly {
    readonly item: string;
    readonly massKg: number;
    readonly standing: 'entered' | 'assumed';
    readonly note: string;
  }[];
  readonly temperatureK: StatedNumber;
  /** Station pressure, absolute. */
  readonly stationPressurePa: StatedNumber;
  readonly relativeHumidity: StatedNumber;
  /** Moist air density by CIPM-2007 from the three above. */
  readonly airDensityKgPerM3: StatedNumber;
  /** Headwind positive. */
  readonly windMps: StatedNumber;
  /** Rise over run, uphill positive. */
  readonly grade: MeasurableNumber;
  readonly dragAreaM2: MeasurableNumber;
  readonly rollingCoefficient: MeasurableNumber;
  /** Covariance of the two, m²: 0 unless both come from the same coast-downs. */
  readonly roadLoadCovarianceM2: number;
  readonly tyreRadiusM: StatedNumber;
  readonly gearRatios: readonly number[] | null;
  readonly finalDrive: number | null;
  readonly rotating: RotatingInertia;
  readonly transmission: 'manual' | 'dual-clutch' | 'automatic' | null;
  readonly lockUp: boolean | null;
  readonly redlineRpm: number | null;
  readonly displacementM3: number | null;
  readonly cylinders: number | null;
  readonly boostControl: 'none' | 'fixed-ratio' | 'controlled' | null;
  /** Stoichiometric air-fuel ratio of the fuel by mass. */
  readonly stoichAfr: StatedNumber;
  /** Number by which a gauge multiplies lambda to show an air-fuel ratio. */
  readonly gaugeStoich: StatedNumber;
  readonly targetLambda: number | null;
  readonly leanestLambda: number | null;
  /** From injection to the lambda reading, as entered; null where it is to be estimated. */
  readonly lambdaDelayS: number | null;
  /** Column name → quantity, unit and pressure reference, for what the reader could not recognise. */
  readonly channels: ReadonlyMap<string, string>;
  /** What is stated about the log's form, for `readLog`; what is undefined is found out. */
  readonly reading: Pick<ReadOptions, 'delimiter' | 'decimal' | 'encoding' | 'timeUnit' | 'rateHz' | 'table' | 'maxGapS'>;
  readonly blowerPulleyM: number | null;
  /** What was entered of the blower; null where nothing was. */
  readonly blower: BlowerInputs | null;
  /** What was entered of the injectors; null where nothing was. */
  readonly injectors: InjectorInputs | null;
  readonly engine: EngineInputs;
  /** The law that manifold pressure was logged through, and that of the sensor really fitted; null where the log is right as it is. */
  readonly mapSensor: { readonly logged: PressureLaw; readonly fitted: PressureLaw } | null;
  readonly calibration: string | null;
}

/** One setup of the trial with its runs, in the order of the file. */
export interface SetupInputs {
  readonly name: string;
  readonly runs: readonly RunInputs[];
}

/** A trial, read, checked and resolved. */
export interface TrialInputs {
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  readonly setups: readonly SetupInputs[];
  /** Every input that was assumed, once, with the runs it counts for. */
  readonly assumptions: TrialResult['assumptions'];
  /** What is left to the coast-downs in the logs. */
  readonly fromCoastDowns: readonly ('drag-area' | 'rolling-coefficient')[];
  readonly findings: readonly Finding[];
}
