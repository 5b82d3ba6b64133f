/** Engine speed over ground speed in one gear, from the recording itself. */
export interface SpeedCalibration {
  readonly rpmPerMps: number;
  /** Relative standard error. */
  readonly relativeError: number;
  /** By how much road speed lags engine speed in the recording, s. */
  readonly delayS: number;
  readonly readings: number;
  /** What road speed shows too little because whole steps are cut off, m/s: half a step, as likely as that is; absent where it was not asked. */
  readonly offsetMps?: number;
}
