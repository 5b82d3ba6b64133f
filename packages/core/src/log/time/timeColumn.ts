import { type Place, PullproofError } from '../../findings/index.js';
import { cellKinds } from '../text/cell.js';
import type { NamedColumn } from '../words/nameAndUnit.js';

/** How a time column counts. `wrapS`: seconds after which a clock starts over. */
export interface TimeForm {
  readonly form: string;
  readonly toS: (value: number) => number;
  readonly wrapS: number | null;
  /** Unit of the counter, s, for counters that may roll over; null for clocks. */
  readonly counterUnitS: number | null;
  readonly evidence: string;
  readonly unit: string;
}

/** Units that a bare time may count in, by name. */
export type TimeUnit = 's' | 'ms' | 'us' | 'min' | 'h';

const unitS: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6, ns: 1e-9, min: 60, h: 3600, d: 86_400 };

/** Faster than any engine speeds up or slows down over 20 rows. Common practice, no source. */
const fastestRpmPerS = 25_000;

/** Middle of the positive steps of a column, from the first 20,000 rows. */
export function middleStep(values: Float64Array): number {
  const steps: number[] = [];
  const end = Math.min(values.length, 20_000);
  let before = Number.NaN;
  for (let i = 0; i < end; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    if (value > before) steps.push(value - before);
    before = value;
  }
  steps.sort((a, b) => a - b);
  return steps.length === 0 ? Number.NaN : steps[steps.length >> 1]!;
}

/**
 * Settles how a time column counts: a clock by its cells, a number by the unit written, else by which unit gives a logger's step.
 *
 * @param rpmPerRow how much the engine speed moves from row to row over longer spans, which rules out units that would make it impossible; NaN when unknown
 * @throws E_TIME_UNIT where seconds and milliseconds are both possible
 */
export function settleTimeForm(
  named: NamedColumn,
  values: Float64Array,
  kinds: Uint8Array | null,
  stated: TimeUnit | undefined,
  rpmPerRow: number,
  where: Place,
): TimeForm {
  const clock = clockForm(kinds);
  if (clock !== null) return clock;
  const written = named.unit?.dimension === 'time' ? (named.unit.symbol as TimeUnit) : null;
  const unit = stated ?? written;
  const because = stated !== undefined ? 'stated' : 'unit written';
  if (unit !== null && unit !== undefined) return numeric(unit, because);
  const step = middleStep(values);
  const first = values.find((value) => !Number.isNaN(value)) ?? Number.NaN;
  const epoch = epochUnit(first);
  if (epoch !== null) return numeric(epoch, `its numbers are ${epoch} since 1970`);
  if (Number.isNaN(step)) return numeric('s', 'a single row');
  // Spreadsheets count days since 1900: 46144 is in 2026.
  if (first > 36_000 && first < 60_000 && step < 5e-5 && step * 86_400 >= 0.0005)
    return numeric('d', 'its numbers are days as spreadsheets count them');
  const ofALogger = (['s', 'ms', 'us'] as const).filter((unit) => step * unitS[unit]! >= 0.0005 && step * unitS[unit]! <= 3);
  const possible = ofALogger.filter((unit) => !(rpmPerRow / (step * unitS[unit]!) > fastestRpmPerS));
  if (possible.length === 1) {
    const because = ofALogger.length === 1 ? "is only a logger's" : 'lets the engine turn up no faster than an engine can only';
    return numeric(possible[0]!, `no unit is written; a step of ${Number(step.toPrecision(4))} ${because} in ${possible[0]}`);
  }
  throw new PullproofError(
    'E_TIME_UNIT',
    `the time step is ${Number(step.toPrecision(4))} and no unit is written: it may be ${possible.length === 0 ? 'anything' : possible.join(' or ')}.`,
    where,
    'State the unit: --time-unit s or --time-unit ms (in the library: timeUnit).',
  );
}

function numeric(unit: string, evidence: string): TimeForm {
  const factor = unitS[unit] ?? 1;
  const per = factor < 1 ? Math.round(1 / factor) : 1;
  return {
    form: 'number',
    toS: per > 1 ? (value) => value / per : (value) => value * factor,
    wrapS: null,
    counterUnitS: factor,
    evidence,
    unit,
  };
}

function epochUnit(first: number): string | null {
  if (first > 9e8 && first < 5e9) return 's';
  if (first > 9e11 && first < 5e12) return 'ms';
  if (first > 9e14 && first < 5e15) return 'us';
  if (first > 9e17 && first < 5e18) return 'ns';
  return null;
}

function clockForm(kinds: Uint8Array | null): TimeForm | null {
  if (kinds === null) return null;
  const counts = new Uint32Array(16);
  for (const kind of kinds) counts[kind]!++;
  const most = [cellKinds.clock, cellKinds.clock12, cellKinds.minutes, cellKinds.dateTime, cellKinds.date].reduce((a, b) =>
    counts[b]! > counts[a]! ? b : a,
  );
  if (counts[most] === 0 || counts[most]! < counts[cellKinds.number]!) return null;
  const common = { toS: (value: number) => value, counterUnitS: null, unit: 's' };
  if (most === cellKinds.dateTime) return { ...common, form: 'date-time', wrapS: null, evidence: 'date and time' };
  if (most === cellKinds.date) return { ...common, form: 'date', wrapS: null, evidence: 'dates' };
  if (most === cellKinds.minutes) return { ...common, form: 'minutes', wrapS: 3600, evidence: 'm:s' };
  return { ...common, form: most === cellKinds.clock12 ? 'clock-12' : 'clock', wrapS: 86400, evidence: 'h:m:s' };
}
