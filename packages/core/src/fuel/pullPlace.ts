import type { Place } from '../findings/index.js';
import { rpmText } from '../units/index.js';
import type { WatchedPull } from './warningTypes.js';

/** Where in a pull a row lies, as a finding says it. */
export function pullPlace(pull: WatchedPull, index: number): Place {
  const rpm = pull.engineSpeedRpm[index]!;
  return {
    ...(pull.path === undefined ? {} : { path: pull.path }),
    ...(pull.setup === undefined ? {} : { setup: pull.setup }),
    fromTimeS: pull.timeS[index]!,
    ...(Number.isFinite(rpm) ? { fromRpm: rpm } : {}),
  };
}

/** A reading of a pull for people: its log and its own time there; the pull's name where no log is given. */
export function readingName(pull: WatchedPull, index: number): string {
  return pull.path === undefined ? pull.name : `${pull.path} at ${pull.timeS[index]!.toFixed(1)} s`;
}

/** Engine speed for people, to ten; an unread one says so. */
export function rpmToTen(rpm: number): string {
  return Number.isFinite(rpm) ? rpmText(Math.round(rpm / 10) * 10) : 'an engine speed that was not read';
}

/** How many pulls a quantity is missing from, as the end of a sentence; empty when none. */
export function missingText(pulls: number, judged: number): string {
  return judged < pulls ? ` ${pulls - judged} of ${pulls} pulls could not be judged.` : '';
}

/** Whose limit it is that a reading was compared with. */
export function whoseLimit(assumed: boolean): 'assumed' | 'entered' {
  return assumed ? 'assumed' : 'entered';
}
