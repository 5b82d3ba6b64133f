import type { Finding } from '../findings/index.js';
import { missingText, pullPlace, readingName, rpmToTen, whoseLimit } from './pullPlace.js';
import { sustainedHighest } from './sustained.js';
import type { AssumedLimit, WarningLimits, Watched, WatchedPull } from './warningTypes.js';

/** Common practice, no source: beyond this an injector no longer closes fully between two openings. */
const assumedMaxDuty = 0.9;
/** Share of a limit from which the text says how near it is. */
const nearShare = 0.95;

/** Injector duty in the pulls against its limit. */
export function watchInjectorDuty(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const limit = limits.maxInjectorDuty ?? assumedMaxDuty;
  const assumptions: AssumedLimit[] = [];
  const entered = limits.maxInjectorDuty !== undefined && limits.maxInjectorDuty !== null;
  const watched = watchHighest(pulls, (pull) => pull.injectorDuty ?? null, limit, {
    quantity: 'injector duty',
    assumed: !entered,
    code: 'W_INJECTOR_DUTY',
    show: (duty) => `${(100 * duty).toFixed(0)} %`,
    why: 'The injectors have nothing left: more air or boost from here on runs lean.',
    fix: 'Do not add boost. Fit larger injectors or raise fuel pressure, and have the calibration follow, before the next step.',
    missing: 'Injector duty was not logged in the pulls: how much the injectors have left is unknown.',
  });
  if (!entered && watched.details[0]!.level !== 'not measured') {
    assumptions.push({
      quantity: 'largest injector duty allowed',
      value: limit,
      unit: '1',
      spread: null,
      source: 'common practice, no source',
      where: 'every pull',
      field: null,
    });
  }
  return { ...watched, assumptions };
}

/** Rotor speed in the pulls against the blower's limit; nothing at all is said of a car for which neither speed nor drive ratio is known. */
export function watchRotorSpeed(pulls: readonly WatchedPull[], limits: WarningLimits): Watched {
  const known = pulls.some((pull) => pull.rotorSpeedRpm || (pull.driveRatio !== undefined && pull.driveRatio !== null));
  if (!known) return { details: [], findings: [], assumptions: [] };
  if (limits.maxRotorSpeedRpm === undefined || limits.maxRotorSpeedRpm === null) {
    const text = 'The blower’s largest rotor speed was not entered, so its speed was held against nothing. Enter the maker’s limit.';
    return { details: [{ quantity: 'rotor speed', level: 'not measured', text }], findings: [], assumptions: [] };
  }
  return watchHighest(
    pulls,
    (pull) => pull.rotorSpeedRpm ?? (pull.driveRatio ? pull.engineSpeedRpm.map((rpm) => rpm * pull.driveRatio!) : null),
    limits.maxRotorSpeedRpm,
    {
      quantity: 'rotor speed',
      assumed: false,
      code: 'W_ROTOR_SPEED',
      show: rpmToTen,
      why: 'Beyond its limit the blower can touch its housing or lose its bearings, and what it adds is mostly heat.',
      fix: 'Shift earlier or fit a larger blower pulley before the next pull.',
      missing: 'Engine speed was not read in the pulls, so the rotor’s speed is unknown.',
    },
  );
}

interface HighestWords {
  readonly quantity: string;
  /** Whether nobody entered the limit. */
  readonly assumed: boolean;
  readonly code: string;
  readonly show: (value: number) => string;
  readonly why: string;
  readonly fix: string;
  readonly missing: string;
}

function watchHighest(
  pulls: readonly WatchedPull[],
  valuesOf: (pull: WatchedPull) => Float64Array | null,
  limit: number,
  words: HighestWords,
): Watched {
  const findings: Finding[] = [];
  let judged = 0;
  let highest: { readonly pull: WatchedPull; readonly index: number; readonly value: number } | null = null;
  for (const pull of pulls) {
    const values = valuesOf(pull);
    const held = values === null ? null : sustainedHighest(pull.timeS, values);
    if (held === null) continue;
    judged += 1;
    if (highest === null || held.value > highest.value) highest = { pull, index: held.index, value: held.value };
    if (held.value <= limit) continue;
    findings.push({
      code: words.code,
      severity: 'warning',
      message: `${capital(words.quantity)} held ${words.show(held.value)} at ${rpmToTen(pull.engineSpeedRpm[held.index]!)} in ${readingName(pull, held.index)}, beyond its limit of ${words.show(limit)}. ${words.why}`,
      where: pullPlace(pull, held.index),
      fix: words.fix,
    });
  }
  if (highest === null) {
    return { details: [{ quantity: words.quantity, level: 'not measured', text: words.missing }], findings, assumptions: [] };
  }
  const stop = findings.length > 0;
  const near = !stop && highest.value > nearShare * limit ? ' Hardly anything is left.' : '';
  const text = `Highest ${words.quantity} was ${words.show(highest.value)}, ${stop ? 'beyond its' : ''} limit ${words.show(limit)} (${whoseLimit(words.assumed)}; ${readingName(highest.pull, highest.index)}).${near}${missingText(pulls.length, judged)}`;
  return {
    details: [{ quantity: words.quantity, level: stop ? 'stop' : 'nothing alarming seen', text: text.replace('  ', ' ') }],
    findings,
    assumptions: [],
  };
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
