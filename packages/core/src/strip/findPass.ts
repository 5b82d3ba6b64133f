import type { Slip } from './learnFromSlips.js';
import { stripMarkM, stripMarks } from './stripGeometry.js';

/** Readings of a speed: times s, rising; speeds m/s. */
export interface SpeedLog {
  readonly timeS: ArrayLike<number>;
  readonly speedMps: ArrayLike<number>;
}

/** A stretch of a log that may be the pass of a slip. */
export interface FoundPass {
  /** Last time at rest. */
  readonly restS: number;
  /** When speed has fallen off after the stripe. */
  readonly endS: number;
  /** Logged distance over the slip's last time, against the distance of its mark: 1 when they agree. */
  readonly distanceRatio: number;
}

/**
 * Finds the pass of a slip in a log that may also hold a burnout, staging creep and the return road.
 *
 * Every start from rest is tried: the pass is the one whose logged distance over the time of the slip's last mark comes nearest to that mark.
 *
 * @param log readings of road or wheel speed
 * @param slip with at least one time
 * @returns the best start; null where none comes within 15 % of the distance
 *
 * Validity: the car stands still before the pass; a log that begins on the move has none.
 *
 * @example
 * ```ts
 * import { findPass } from '@pullproof/core';
 * const timeS = Array.from({ length: 300 }, (_, i) => i / 10);
 * const speedMps = timeS.map((t) => (t < 5 || t > 20 ? 0 : 4 * (t - 5)));
 * const pass = findPass({ timeS, speedMps }, { timesS: { '1320ft': 13.9 }, trapsMps: {} });
 * pass!.restS > 4.9 && pass!.restS < 5.2; // => true
 * ```
 */
export function findPass(log: SpeedLog, slip: Slip): FoundPass | null {
  const last = stripMarks.findLast((mark) => slip.timesS[mark] !== undefined);
  if (last === undefined) return null;
  const { timeS, speedMps } = log;
  const count = timeS.length;
  const restMps = 0.4;
  let best: FoundPass | null = null;
  for (let i = 1; i < count; i++) {
    if (!(speedMps[i - 1]! <= restMps && speedMps[i]! > restMps)) continue;
    const restS = timeS[i - 1]!;
    // The clock starts some tenths of a second after the first movement.
    const untilS = restS + 0.3 + slip.timesS[last]!;
    let distanceM = 0;
    let end = i;
    let highest = 0;
    let broken = false;
    while (end < count && timeS[end]! <= untilS) {
      distanceM += ((timeS[end]! - timeS[end - 1]!) * (speedMps[end]! + speedMps[end - 1]!)) / 2;
      highest = Math.max(highest, speedMps[end]!);
      if (speedMps[end]! <= restMps) broken = true;
      end++;
    }
    if (broken || end >= count) continue;
    const ratio = distanceM / stripMarkM[last];
    while (end < count && speedMps[end]! > 0.8 * highest) {
      highest = Math.max(highest, speedMps[end]!);
      end++;
    }
    const found = { restS, endS: timeS[Math.min(end, count - 1)]!, distanceRatio: ratio };
    if (Math.abs(ratio - 1) < 0.15 && (best === null || Math.abs(ratio - 1) < Math.abs(best.distanceRatio - 1))) best = found;
  }
  return best;
}
