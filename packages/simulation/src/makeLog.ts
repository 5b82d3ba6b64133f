import type { Car, Surroundings } from './car.js';
import { type Drive, drive } from './drive.js';
import type { Engine } from './engine.js';
import { type Logger, sampleLog } from './logger.js';
import type { Mark, Phase } from './phases.js';
import { seededRandom } from './random.js';

/** What is true about a log, for checking a measurement against. */
export interface LogTruth {
  readonly marks: readonly Mark[];
  /** True motion and every true channel. */
  readonly drive: Drive;
}

/** Drives, records and writes one log. The same arguments give the same text. */
export function makeLog(spec: {
  readonly car: Car;
  readonly around: Surroundings;
  readonly engine: Engine;
  readonly phases: readonly Phase[];
  readonly logger: Logger;
  readonly seed: number;
  readonly stepS?: number;
}): { text: string; truth: LogTruth } {
  const driven = drive(spec.car, spec.around, spec.engine, spec.phases, { stepS: spec.stepS ?? 0.005 });
  return { text: sampleLog(driven, spec.logger, seededRandom(spec.seed)), truth: { marks: driven.marks, drive: driven } };
}
