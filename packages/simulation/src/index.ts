export { moistAirDensity } from './air.js';
export { type Blower, type BlowerState, blowerAir } from './blowerAir.js';
export { type BlownEngineSpec, blownEngine } from './blownEngine.js';
export { type BoostMaker, type BoostPull, type BoostPulls, type BoostSetup, boostPulls } from './boostPulls.js';
export { type Car, effectiveMassKg, gravityMps2, roadLoadN, rpmPerMps, type Surroundings } from './car.js';
export { type Drive, drive, simulatePull } from './drive.js';
export type { Engine, Moment } from './engine.js';
export { type Logger, sampleLog } from './logger.js';
export { type LogTruth, makeLog } from './makeLog.js';
export type { Coast, Cruise, Idle, KeyOn, Mark, Pass, Phase, Pull } from './phases.js';
export { type PhoneLogger, phoneLog } from './phoneLogger.js';
export { type PlainLoggerOptions, plainLogger } from './plainLogger.js';
export { type Curve, curveOn, smoothPower } from './powerCurve.js';
export { type Random, seededRandom, splitMix64, xoshiro128 } from './random.js';
export { rungeKutta4 } from './rungeKutta4.js';
export { baseSetup, coolerSetup, pulleySetup, type SampleSetup, sampleCar, sampleEngine } from './sampleCar.js';
export { sampleLogger } from './sampleLogger.js';
export { sampleLogs } from './sampleLogs.js';
export { type SampleOuting, type SampleRun, sampleRuns } from './sampleRuns.js';
export { drivenPass, type SamplePass, samplePasses } from './sampleStrip.js';
export type { LoggedChannel } from './sensor.js';
export { type SlowCase, type SlowTrial, satellites, slowCars, slowTrial } from './slowLoggerCases.js';
export { studyAir, studyCar, studyPowerW } from './studyCar.js';
export {
  coarse10Hz,
  fadingGain,
  noiseOnly25Hz,
  outingLuck,
  pullSpread1pct,
  type StudyCase,
  type StudyOptions,
  step300,
  studyCases,
} from './studyCases.js';
export { type TimeSlip, timeSlip } from './timeSlip.js';
export { type TopEndCase, topEndCase } from './topEndCases.js';
export { type TopEndFault, topEndFaults } from './topEndFaults.js';
