/** One step of a drive, as told to the engine. */
export interface Moment {
  readonly timeS: number;
  readonly stepS: number;
  /** 0 with the engine off. */
  readonly engineSpeedRpm: number;
  readonly speedMps: number;
  /** Wheel power over full-load wheel power, 0 to 1; 0 with the throttle closed. */
  readonly load: number;
  readonly pedal: number;
}

/** What drives the wheels. An engine with a memory (heat) keeps it between steps: make a new one for every drive. */
export interface Engine {
  /** Steady-state wheel power at full load now, W. */
  fullLoadWheelPowerW(engineSpeedRpm: number): number;
  /** Called once for every sample; returns true values of further channels, the same names every time. */
  advance?(moment: Moment): Readonly<Record<string, number>>;
}
