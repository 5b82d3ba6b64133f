/** Engine off, ignition on: pressure sensors read the air around the car. */
export interface KeyOn {
  readonly kind: 'key-on';
  readonly durationS: number;
}

/** Standing, engine running. The car brakes to a stop first. */
export interface Idle {
  readonly kind: 'idle';
  readonly durationS: number;
}

/** Steady driving in one gear. The car drives up or slows down to the speed first. */
export interface Cruise {
  readonly kind: 'cruise';
  readonly durationS: number;
  readonly speedMps: number;
  readonly gear: number;
  /** How far the driver lets the speed wander to each side; 0 when left out. */
  readonly wanderMps?: number;
}

/** Full load in one gear, from steady driving to a lift of the pedal. The car drives up or slows down to the first speed first. */
export interface Pull {
  readonly kind: 'pull';
  readonly gear: number;
  readonly fromRpm: number;
  readonly toRpm: number;
  /** This pull's power over the engine's own, 1 when left out. */
  readonly scale?: number;
  /** Extra share of power at `toRpm`, taken away at `fromRpm`, on a straight line between them; 0 when left out. */
  readonly tilt?: number;
  /** Steady driving before the pedal goes down, 1.5 s when left out. */
  readonly leadS?: number;
  /** From the first extra push to full power, 0.3 s when left out. */
  readonly tipInS?: number;
  /** Gears that follow at full load, each after a shift with no driving force for `holeS`. */
  readonly nextGears?: readonly { readonly gear: number; readonly toRpm: number; readonly holeS: number }[];
}

/** Rolling in neutral. The car drives up or slows down to the first speed first. */
export interface Coast {
  readonly kind: 'coast';
  readonly fromSpeedMps: number;
  readonly toSpeedMps: number;
}

/** A pass of the strip from a standing start. */
export interface Pass {
  readonly kind: 'pass';
  readonly scale?: number;
  readonly launchRpm: number;
  readonly shiftRpm: number;
  readonly holeS: number;
  /** Largest driving force before the tyres let go, as a share of the car's weight. */
  readonly gripShare: number;
  /** Time constant with which the driver lets the driving force build up, s; 0 when left out. */
  readonly riseS?: number;
  /** How far the car rolls before the clock starts. */
  readonly rolloutM: number;
  readonly lengthM: number;
}

export type Phase = KeyOn | Idle | Cruise | Pull | Coast | Pass;

/** What was driven when; for full-load phases also the truth that a measurement should find. */
export interface Mark {
  readonly kind: Phase['kind'];
  /** Start and end of the phase proper, without the drive up to it. For a pull: pedal down to pedal up. */
  readonly startS: number;
  readonly endS: number;
  readonly gear: number | null;
  readonly fromRpm: number | null;
  readonly toRpm: number | null;
  /** Pull: when and at which engine speed the tip-in has ended, so that the power is the engine's full power. */
  readonly fullFromS: number | null;
  readonly fullFromRpm: number | null;
  readonly scale: number | null;
  readonly tilt: number | null;
}
