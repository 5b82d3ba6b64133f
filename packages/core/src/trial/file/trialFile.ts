/**
 * The trial file as it stands on disk, checked: keys as people write them, each quantity in SI beside its own text.
 * What was left out is absent here; `resolveTrial` fills it in.
 */

/** One quantity as written. */
export interface Written {
  /** Value in SI (ratios 0–1, engine speed in rpm). */
  readonly si: number;
  /** As it stands in the file, for example `3260 lb`. */
  readonly text: string;
  /** System that its unit belongs to; null for units of both, such as rpm or %. */
  readonly system: 'metric' | 'imperial' | null;
}

/** An injector's flow: by volume or by mass. */
export interface FuelFlow extends Written {
  readonly kind: 'volume' | 'mass';
}

/** A value of the road load that may be left to the coast-downs in the logs. */
export type FromCoastDowns = 'from coast-downs';

export interface FuelTypeFile {
  readonly ethanol?: Written | undefined;
  readonly 'stoich-afr'?: number | undefined;
}

/** What may be stated for the car and overridden for a setup, a run or a slip. */
export interface Overrides {
  readonly driver?: Written | undefined;
  readonly cargo?: Written | undefined;
  readonly 'tyre-radius'?: Written | undefined;
  /** The same by its American spelling. */
  readonly 'tire-radius'?: Written | undefined;
  readonly 'fuel-type'?: FuelTypeFile | undefined;
}

/** Fuel in the tank: a volume, or a share of `tank`. */
export interface FuelLevel extends Written {
  readonly kind: 'volume' | 'share';
}

export interface CarFile extends Overrides {
  readonly name?: string | undefined;
  readonly weighed?:
    | { readonly mass: Written; readonly 'fuel-in-tank'?: FuelLevel | undefined; readonly driver?: 'in' | 'out' | undefined }
    | undefined;
  readonly 'mass-without-fuel'?: Written | undefined;
  /** What others say the car weighs, where nobody weighed it. */
  readonly weight?: { readonly brochure: Written } | undefined;
  readonly tank?: Written | undefined;
  readonly 'fuel-density'?: Written | undefined;
  readonly 'drag-area'?: Written | FromCoastDowns | undefined;
  readonly 'rolling-coefficient'?: Written | FromCoastDowns | undefined;
  readonly tyre?: string | undefined;
  /** The same by its American spelling. */
  readonly tire?: string | undefined;
  readonly 'gear-ratios'?: readonly number[] | undefined;
  readonly 'final-drive'?: number | undefined;
  readonly transmission?: 'manual' | 'dual-clutch' | 'automatic' | undefined;
  readonly 'lock-up'?: boolean | undefined;
  readonly driven?: 'rear' | 'front' | 'all' | undefined;
  readonly 'wheel-inertia'?: Written | undefined;
  readonly 'engine-inertia'?: Written | undefined;
  readonly 'rotating-factor'?: ReadonlyMap<number, number> | undefined;
  readonly displacement?: Written | undefined;
  readonly cylinders?: number | undefined;
  readonly 'volumetric-efficiency'?: Written | undefined;
  readonly 'drivetrain-efficiency'?: Written | undefined;
  readonly 'specific-consumption'?: Written | undefined;
  readonly redline?: Written | undefined;
  readonly 'boost-control'?: 'none' | 'fixed-ratio' | 'controlled' | undefined;
  readonly blower?:
    | {
        readonly displacement?: Written | undefined;
        readonly 'crank-pulley'?: Written | undefined;
        readonly 'max-rotor-speed'?: Written | undefined;
      }
    | undefined;
  readonly injectors?:
    | {
        readonly count?: number | undefined;
        readonly flow?: FuelFlow | undefined;
        readonly 'at-pressure'?: Written | undefined;
        readonly rail?: 'referenced' | 'fixed' | undefined;
        /** From the start of the pulse to the first fuel, less what still flows after it. */
        readonly 'dead-time'?: Written | undefined;
        /** Of the rail above the air’s pressure, with no boost or vacuum on its regulator. */
        readonly 'rail-pressure'?: Written | undefined;
      }
    | undefined;
  readonly targets?:
    | {
        readonly lambda?: number | undefined;
        readonly 'leanest-lambda'?: number | undefined;
        readonly 'gauge-stoich'?: number | undefined;
        /** From injection to the reading. */
        readonly 'lambda-delay'?: Written | undefined;
      }
    | undefined;
  readonly launch?:
    | {
        readonly wheelbase?: Written | undefined;
        readonly 'cg-height'?: Written | undefined;
        readonly 'driven-axle-share'?: Written | undefined;
        readonly rpm?: Written | undefined;
        readonly 'shift-rpm'?: Written | undefined;
        readonly 'shift-time'?: Written | undefined;
      }
    | undefined;
}

export interface AirFile {
  readonly temperature?: Written | undefined;
  /** Station pressure, absolute. */
  readonly pressure?: Written | undefined;
  readonly altimeter?: Written | undefined;
  readonly elevation?: Written | undefined;
  readonly humidity?: Written | undefined;
  readonly 'dew-point'?: Written | undefined;
}

/** How to read a log, where it is not to be guessed. */
export interface ReadingFile {
  readonly delimiter?: string | undefined;
  readonly decimal?: '.' | ',' | undefined;
  readonly encoding?: 'utf-8' | 'windows-1252' | 'utf-16le' | 'utf-16be' | undefined;
  readonly 'time-unit'?: 's' | 'ms' | 'us' | 'min' | 'h' | undefined;
  readonly rate?: Written | undefined;
  readonly table?: number | undefined;
  readonly 'max-gap'?: Written | undefined;
}

/** Where, when and in what air: stated for the whole trial, an outing, a setup or a run, and inherited by what stands below. */
export interface Inherited {
  readonly outing?: string | undefined;
  readonly direction?: string | undefined;
  readonly 'fuel-in-tank'?: FuelLevel | undefined;
  readonly air?: AirFile | undefined;
  readonly wind?: Written | undefined;
  readonly grade?: Written | undefined;
}

/** One trip, named once, with what its runs share. */
export interface OutingFile extends Omit<Inherited, 'outing'> {
  readonly name: string;
  readonly when?: string | undefined;
}

/** The conditions of something that was driven: a run or a slip. */
export interface Conditions extends Overrides, Inherited {
  readonly when?: string | undefined;
  /** Column name → quantity, unit and pressure reference, as written. */
  readonly channels?: ReadonlyMap<string, string> | undefined;
  readonly reading?: ReadingFile | undefined;
  /** Span of the log that belongs here, from the log's first row. */
  readonly from?: Written | undefined;
  readonly to?: Written | undefined;
}

/** What a run was driven for. */
export type RunKind = 'pulls' | 'idle' | 'cruise' | 'pass';

export interface RunFile extends Conditions {
  readonly log: string;
  readonly kind?: RunKind | undefined;
  /** Gear that the pulls were driven in, from 1. */
  readonly gear?: number | undefined;
}

/** A sensor's straight line: pressure, absolute, at 0 V and at 5 V. */
export interface SensorLineFile {
  readonly 'at-0V': Written;
  readonly 'at-5V': Written;
}

/** What was changed on the car for a setup, for the change sheet. */
export interface ChangesFile {
  readonly parts?: readonly string[] | undefined;
  readonly fasteners?:
    | readonly {
        readonly where: string;
        readonly size: string;
        readonly class?: string | undefined;
        readonly torque: Written;
      }[]
    | undefined;
  readonly belts?: readonly string[] | undefined;
  readonly hoses?: readonly string[] | undefined;
  readonly notes?: readonly string[] | undefined;
}

export interface SetupFile extends Overrides, Inherited {
  readonly name: string;
  readonly 'blower-pulley'?: Written | undefined;
  readonly calibration?: string | undefined;
  readonly 'map-sensor'?: { readonly logged: SensorLineFile; readonly fitted: SensorLineFile } | undefined;
  readonly changes?: ChangesFile | undefined;
  readonly runs?: readonly RunFile[] | undefined;
}

/** Marks of a strip that a slip may show a time for. */
export type TimeMark = '60ft' | '330ft' | '660ft' | '1000ft' | '1320ft';
/** Marks of a strip that a slip may show a speed for. */
export type SpeedMark = '660ft' | '1000ft' | '1320ft';

export interface SlipFile extends Conditions {
  readonly setup: string;
  readonly log?: string | undefined;
  readonly times: Readonly<Partial<Record<TimeMark, Written | undefined>>>;
  readonly speeds?: Readonly<Partial<Record<SpeedMark, Written | undefined>>> | undefined;
}

/** A trial file of version 1, read and checked; what the trial, its outings and its setups state of a run stands in the run as well. */
export interface TrialFile extends Inherited {
  readonly path: string;
  readonly trial: 1;
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  /** True where neither the file nor its quantities choose the units: then those of the logs are taken. */
  readonly unitsOpen?: boolean | undefined;
  readonly car: CarFile;
  readonly outings?: readonly OutingFile[] | undefined;
  readonly setups: readonly SetupFile[];
  /** How far days of this car differ, and how many days told it. */
  readonly 'day-to-day'?: { readonly spread: Written; readonly days: number } | undefined;
  /** A difference beyond what usual parts make is real, for this reason. */
  readonly expected?: 'large' | undefined;
  readonly reason?: string | undefined;
  readonly calculated?: ReadonlyMap<string, string> | undefined;
  /** Slips, or the path of a CSV file of them. */
  readonly slips?: string | readonly SlipFile[] | undefined;
}
