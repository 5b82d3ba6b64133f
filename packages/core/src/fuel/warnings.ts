import { PullproofError } from '../findings/index.js';
import type { PullWarnings, WarningDetail, WarningLevel, WarningLimits, Watched, WatchedPull } from './warningTypes.js';
import { watchChargeHeat } from './watchChargeHeat.js';
import { watchFuelPressure } from './watchFuelPressure.js';
import { watchKnock } from './watchKnock.js';
import { watchLambda } from './watchLambda.js';
import { watchInjectorDuty, watchRotorSpeed } from './watchLimits.js';

/**
 * Looks through full-load pulls for what should stop a person from doing the next one, and says plainly what was not looked at.
 *
 * It says stop, or nothing alarming seen in what was logged, or not measured. Levels held for at least two readings in a row decide, a stray reading does not; the first half second of a pull, where old gas is still at the sensor, is left out for lambda. Without lambda the answer is never better than not measured.
 *
 * @param pulls in the order they were driven; each with its own arrays, see {@link WatchedPull}
 * @param limits what was entered; the rest is assumed by common practice and returned in `assumptions`
 * @returns the line (`level`, `sentence`, `details`), findings with place and remedy, and the assumed limits
 *
 * @throws E_LENGTHS when an array of a pull is not as long as its time
 *
 * Validity: four-stroke spark-ignition engines on petrol or petrol-ethanol, lambda by a wideband sensor. What no channel shows (oil, bearings, a single lean cylinder) cannot be seen here.
 *
 * Source: the limits that nobody entered are common practice, no source.
 *
 * @example
 * ```ts
 * import { pullWarnings } from '@pullproof/core';
 *
 * const timeS = Float64Array.from({ length: 40 }, (_, i) => i / 10);
 * const pull = {
 *   name: 'demo.csv at 12.0 s',
 *   timeS,
 *   engineSpeedRpm: timeS.map((t) => 3000 + 900 * t),
 *   stationPressurePa: 99000,
 *   manifoldPressurePa: timeS.map(() => 160000),
 *   lambda: [timeS.map((t) => (t < 3 ? 0.8 : 0.92))],
 * };
 * pullWarnings([pull], { leanestLambda: 0.86 }).level; // => 'stop'
 * pullWarnings([{ ...pull, lambda: null }], {}).level; // => 'not measured'
 * ```
 */
export function pullWarnings(pulls: readonly WatchedPull[], limits: WarningLimits = {}): PullWarnings {
  if (pulls.length === 0) {
    return {
      level: 'not measured',
      sentence: 'No full-load pull was found, so nothing could be watched.',
      details: [],
      findings: [],
      assumptions: [],
    };
  }
  for (const pull of pulls) checkLengths(pull);
  const watched: readonly Watched[] = [
    watchLambda(pulls, limits),
    watchKnock(pulls, limits),
    watchChargeHeat(pulls, limits),
    watchFuelPressure(pulls, limits),
    watchInjectorDuty(pulls, limits),
    watchRotorSpeed(pulls, limits),
  ];
  const details = watched.flatMap((one) => one.details);
  const level = overallLevel(details);
  return {
    level,
    sentence: `${sentenceFor(level, details, watched)}${level === 'stop' ? '' : assumedText(details)}`,
    details,
    findings: watched.flatMap((one) => one.findings),
    assumptions: watched.flatMap((one) => one.assumptions),
  };
}

/** A limit that nobody entered is never the reason for calm: which ones they are stands in the line itself. */
function assumedText(details: readonly WarningDetail[]): string {
  const names = details.filter(({ text }) => /\(assumed[;)]/.test(text)).map(({ quantity }) => quantity);
  return names.length === 0 ? '' : ` Limits assumed, not entered: ${names.join(', ')}.`;
}

function checkLengths(pull: WatchedPull): void {
  const arrays = [
    pull.engineSpeedRpm,
    pull.manifoldPressurePa,
    ...(pull.lambda ?? []),
    pull.commandedLambda,
    pull.knockRetardDeg,
    pull.chargeTemperatureK,
    pull.fuelPressurePa,
    pull.injectorDuty,
    pull.rotorSpeedRpm,
  ];
  if (arrays.every((array) => array === null || array === undefined || array.length === pull.timeS.length)) return;
  throw new PullproofError(
    'E_LENGTHS',
    `${pull.name} has ${pull.timeS.length} times and an array of another length.`,
    {},
    'Give arrays of one length.',
  );
}

function overallLevel(details: readonly WarningDetail[]): WarningLevel {
  if (details.some((detail) => detail.level === 'stop')) return 'stop';
  const lambda = details.find((detail) => detail.quantity === 'lambda');
  return lambda !== undefined && lambda.level === 'nothing alarming seen' ? 'nothing alarming seen' : 'not measured';
}

function sentenceFor(level: WarningLevel, details: readonly WarningDetail[], watched: readonly Watched[]): string {
  const named = (wanted: WarningLevel): string =>
    details
      .filter((detail) => detail.level === wanted)
      .map((detail) => detail.quantity)
      .join(', ');
  const missing = named('not measured');
  const unknown = missing === '' ? '' : ` Not measured, so unknown: ${missing}.`;
  if (level === 'stop') {
    const reasons = details.filter((detail) => detail.level === 'stop').map((detail) => detail.text);
    return `Stop: no more full-load pulls until this is dealt with. ${reasons.join(' ')}${unknown}`;
  }
  const seen = named('nothing alarming seen');
  const remarks = watched.map(({ remark = '' }) => (remark === '' ? '' : ` ${remark}`)).join('');
  if (level === 'nothing alarming seen') return `Nothing alarming seen in what was logged: ${seen}.${remarks}${unknown}`;
  const beside = seen === '' ? '' : ` Nothing alarming was seen in ${seen}.`;
  return `Not measured: without lambda nobody can tell from these logs whether the engine ran lean.${beside}${remarks} Not measured, so unknown: ${missing}.`;
}
