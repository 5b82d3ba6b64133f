import { type Finding, type Place, PullproofError } from '../findings/index.js';
import type { TimeForm } from './timeColumn.js';

/** The time of each row from the first one, and where the recording breaks. */
export interface TimeAxis {
  readonly timeS: Float64Array;
  /** Index ranges without a break. */
  readonly parts: readonly { readonly from: number; readonly to: number }[];
  /** Step of the stamps themselves where it is coarse against the sampling, s; 0 otherwise. */
  readonly tickS: number;
  readonly maxGapS: number;
  readonly medianStepS: number;
  readonly findings: readonly Finding[];
}

interface Jump {
  readonly row: number;
  readonly stepS: number;
}

const hour = 3600;
/** Ranges of counters that roll over, in counts. */
const counterRanges: readonly number[] = [2 ** 16, 2 ** 24, 2 ** 32];

/**
 * Turns the numbers of a time column into one axis. Time never falls within a part; nothing is sorted and no gap is bridged.
 *
 * A fall of exactly a counter's range continues (W_ROLLOVER), one of a day continues (W_MIDNIGHT), one of whole half hours starts a part (W_CLOCK_JUMP),
 * one to the start of the clock starts a part (W_RESTART); any other is E_TIME_ORDER.
 *
 * @param raw numbers of the column, none of them NaN
 * @param restarts rows above which the header was repeated
 * @param rowNumbers number in the file's data of each row
 */
export function buildTimeAxis(
  raw: Float64Array,
  form: TimeForm,
  restarts: readonly number[],
  rowNumbers: Uint32Array,
  statedMaxGapS: number | undefined,
  where: Place,
): TimeAxis {
  const rows = raw.length;
  const timeS = new Float64Array(rows);
  const origin = raw[0] ?? 0;
  for (let i = 0; i < rows; i++) timeS[i] = form.toS(raw[i]! - origin);
  const steps = positiveSteps(timeS);
  const median = steps.length === 0 ? Number.NaN : steps[steps.length >> 1]!;
  const findings: Finding[] = [];
  const note = (code: string, message: string, fix: string, count: number, row: number) =>
    findings.push({ code, severity: 'warning', message, where: { ...where, row: rowNumbers[row]! }, fix, count });

  const starts = new Set(restarts.filter((row) => row > 0 && row < rows));
  const repeated = starts.size;
  const usual = Number.isNaN(median) ? 1 : median;
  const maxGapS = statedMaxGapS ?? Math.max(1, 5 * usual);
  let shift = 0;
  let partStart = 0;
  let lastStepS = usual;
  let fallsToStart = 0;
  let firstFall = 0;
  const midnights: Jump[] = [];
  const rollovers: Jump[] = [];
  const clockJumps: Jump[] = [];
  const gaps: Jump[] = [];
  let equal = 0;
  let firstEqual = 0;
  for (let i = 1; i < rows; i++) {
    const before = timeS[i - 1]!;
    const here = timeS[i]! + shift;
    let step = here - before;
    if (starts.has(i)) {
      partStart = i;
      if (step < 0) {
        timeS[i] = here;
      }
      timeS[i] = here;
      continue;
    }
    const most = Math.max(3 * usual, 3 * lastStepS);
    if (step < 0) {
      const wrap = wrapOf(step, form, raw[i - 1]!, most);
      if (wrap !== null) {
        shift += wrap.byS;
        step += wrap.byS;
        (wrap.kind === 'midnight' ? midnights : rollovers).push({ row: i, stepS: wrap.byS });
      } else if (form.wrapS !== null && isWholeHalfHours(step, usual)) {
        clockJumps.push({ row: i, stepS: step });
        starts.add(i);
        partStart = i;
      } else if (here - timeS[partStart]! <= Math.max(20 * usual, 1e-9) || Math.abs(form.toS(raw[i]!)) <= 5 * usual) {
        if (fallsToStart === 0) firstFall = i;
        fallsToStart++;
        starts.add(i);
        partStart = i;
      } else {
        throw new PullproofError(
          'E_TIME_ORDER',
          `time falls from ${shown(form.toS(raw[i - 1]!))} s to ${shown(form.toS(raw[i]!))} s.`,
          { ...where, row: rowNumbers[i]! },
          'Rows are never sorted here: put the file right, or give each part as its own run.',
        );
      }
    } else if (form.wrapS !== null && step > maxGapS && isWholeHalfHours(step, usual)) {
      clockJumps.push({ row: i, stepS: step });
      starts.add(i);
      partStart = i;
    } else if (step > maxGapS) {
      gaps.push({ row: i, stepS: step });
      starts.add(i);
      partStart = i;
    } else if (step === 0) {
      if (equal === 0) firstEqual = i;
      equal++;
    }
    if (step > 0) lastStepS = step;
    timeS[i] = here + (step - (here - before));
  }

  if (repeated + fallsToStart > 0) {
    const first = restarts.find((row) => row > 0 && row < rows) ?? firstFall;
    note(
      'W_RESTART',
      `the logger restarted ${repeated + fallsToStart} times; the parts are kept apart.`,
      'Nothing is joined across a restart. Give each part as its own run if they are different runs.',
      repeated + fallsToStart,
      first,
    );
  }
  if (midnights.length > 0)
    note('W_MIDNIGHT', 'the clock passes midnight; time goes on.', 'Nothing to do.', midnights.length, midnights[0]!.row);
  if (rollovers.length > 0) {
    note(
      'W_ROLLOVER',
      `the time counter starts over after ${shown(rollovers[0]!.stepS)} s; time goes on.`,
      'Check that no time is missing there.',
      rollovers.length,
      rollovers[0]!.row,
    );
  }
  if (clockJumps.length > 0) {
    note(
      'W_CLOCK_JUMP',
      `the clock jumps by ${shown(clockJumps[0]!.stepS)} s, as at a change of summer time or zone; the parts are kept apart.`,
      'Nothing is joined across the jump.',
      clockJumps.length,
      clockJumps[0]!.row,
    );
  }
  if (gaps.length > 0) {
    const longest = gaps.reduce((a, b) => (b.stepS > a.stepS ? b : a));
    note(
      'W_GAP',
      `${gaps.length} gaps longer than ${shown(maxGapS)} s, the longest ${shown(longest.stepS)} s; they are not bridged.`,
      'Samples are missing there; a pull across a gap is not used.',
      gaps.length,
      longest.row,
    );
  }
  const tickS = equal > 0 && steps.length === 0 ? Number.NaN : coarseTick(steps, median, equal, rows);
  if (equal > 0) {
    note(
      'W_TIME_REPEATED',
      `${equal} rows have the time stamp of the row before.`,
      'The stamps are coarser than the rows; no rate is taken between such rows.',
      equal,
      firstEqual,
    );
  }
  if (tickS > 0) {
    note(
      'W_TIME_QUANTISED',
      `time stamps come in steps of ${shown(tickS)} s at a row every ${shown(median)} s; rates get wider bands.`,
      'Log finer time stamps if the logger can.',
      rows,
      0,
    );
  }
  const cuts = [...starts].sort((a, b) => a - b);
  const parts = [0, ...cuts].map((from, i) => ({ from, to: cuts[i] ?? rows }));
  return { timeS, parts, tickS: Number.isNaN(tickS) ? 0 : tickS, maxGapS, medianStepS: usual, findings };
}

function wrapOf(
  step: number,
  form: TimeForm,
  rawBefore: number,
  mostS: number,
): { readonly kind: 'midnight' | 'rollover'; readonly byS: number } | null {
  const plausible = (byS: number) => step + byS > 0 && step + byS <= mostS;
  if (form.wrapS !== null) {
    if (plausible(form.wrapS)) return { kind: form.wrapS === 86400 ? 'midnight' : 'rollover', byS: form.wrapS };
    if (form.form === 'clock' && plausible(43200)) return { kind: 'rollover', byS: 43200 };
    return null;
  }
  if (form.counterUnitS === null) return null;
  for (const range of counterRanges) {
    for (const unitS of [1e-3, 1e-6, form.counterUnitS]) {
      const byS = range * unitS;
      if (plausible(byS) && form.toS(rawBefore) < byS && form.toS(rawBefore) > byS - mostS) return { kind: 'rollover', byS };
    }
  }
  return null;
}

/** A jump of whole half hours, give or take a few rows. */
function isWholeHalfHours(stepS: number, usualS: number): boolean {
  const halves = Math.round(Math.abs(stepS) / (hour / 2));
  return halves >= 1 && halves <= 28 && Math.abs(Math.abs(stepS) - (halves * hour) / 2) <= Math.max(3 * usualS, 0.001);
}

function positiveSteps(timeS: Float64Array): Float64Array {
  const steps: number[] = [];
  const every = Math.max(1, Math.floor(timeS.length / 50_000));
  for (let i = 1; i < timeS.length; i += every) {
    const step = timeS[i]! - timeS[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return Float64Array.from(steps).sort();
}

/** The step of the stamps where it is a quarter of the row step or more and the steps vary by it; 0 otherwise. */
function coarseTick(steps: Float64Array, median: number, equal: number, rows: number): number {
  if (steps.length < 10) return 0;
  for (const places of [0, 1, 2, 3, 4]) {
    const tick = 10 ** -places;
    const whole = steps.every((step) => Math.abs(step / tick - Math.round(step / tick)) < 1e-3);
    if (!whole) continue;
    const varied = steps[Math.floor(steps.length * 0.9)]! - steps[Math.floor(steps.length * 0.1)]! > 0.5 * tick || equal > 0.05 * rows;
    return varied && tick >= 0.25 * median ? tick : 0;
  }
  return 0;
}

function shown(value: number): string {
  return String(Number(value.toPrecision(6)));
}
