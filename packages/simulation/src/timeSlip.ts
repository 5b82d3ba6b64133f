import type { Drive } from './drive.js';
import type { Mark } from './phases.js';

/** A strip's times for one pass. */
export interface TimeSlip {
  /** When the clock started, on the drive's own time, s. */
  readonly clockStartS: number;
  /** Time from the clock's start to each distance, s. */
  readonly times: readonly { readonly mark: string; readonly timeS: number }[];
  /** Mean speed over the 66 ft that end at the mark, m/s. */
  readonly speeds: readonly { readonly mark: string; readonly speedMps: number }[];
}

const footM = 0.3048;

/**
 * The times a strip would print for a simulated pass: the clock starts when the car has rolled out of the stage beam; speeds are means over
 * the last 66 ft.
 *
 * Source: track layout as published by the sanctioning bodies: 60, 330, 660, 1000 and 1320 ft; speed over the last 66 ft.
 *
 * @param mark of a pass of this drive.
 * @param rolloutM as the pass was driven.
 * @throws RangeError when the mark is no pass or the pass ends before a distance.
 */
export function timeSlip(drive: Drive, mark: Mark, rolloutM: number): TimeSlip {
  if (mark.kind !== 'pass') throw new RangeError(`a slip needs a pass, got ${mark.kind}`);
  const distance = drive.channels.get('distanceM')!;
  const speed = drive.channels.get('speedMps')!;
  const start = Math.round(mark.startS / drive.stepS);
  /** Time at which a distance from the start line is reached; within a step the speed changes on a straight line. */
  const reachedS = (wantedM: number): number => {
    const at = distance[start]! + wantedM;
    let i = start;
    while (i + 1 < distance.length && distance[i + 1]! < at) i++;
    if (i + 1 >= distance.length) throw new RangeError(`the pass ends before ${wantedM} m`);
    const gap = at - distance[i]!;
    const a = (speed[i + 1]! - speed[i]!) / drive.stepS;
    const v = speed[i]!;
    // Root of v t + a t²/2 = gap in the form that does not cancel.
    return i * drive.stepS + (gap === 0 ? 0 : (2 * gap) / (v + Math.sqrt(v * v + 2 * a * gap)));
  };
  const clockStartS = rolloutM === 0 ? mark.startS : reachedS(rolloutM);
  const feet = [60, 330, 660, 1000, 1320];
  const times = feet.map((ft) => ({ mark: `${ft}ft`, timeS: reachedS(rolloutM + ft * footM) - clockStartS }));
  const speeds = [660, 1320].map((ft) => {
    const seconds = reachedS(rolloutM + ft * footM) - reachedS(rolloutM + (ft - 66) * footM);
    return { mark: `${ft}ft`, speedMps: (66 * footM) / seconds };
  });
  return { clockStartS, times, speeds };
}
