import { type Finding, type Place, PullproofError } from '../../findings/index.js';
import { counted } from '../text/counted.js';
import { type ClockState, judgeStep } from './timeBreaks.js';
import type { TimeForm } from './timeColumn.js';
import { coarseTick, positiveSteps } from './timeTicks.js';

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

/** What happened, how often, where first, and its largest size. */
interface Seen {
  count: number;
  row: number;
  sizeS: number;
}

/** Where a clock falls, times go on from the next whole multiple of this, s: what the logger wrote can still be read off them. */
const restartGridS = 1000;
/** Least time between the end of a part and a part whose clock fell, s: longer than any two readings that are joined. */
const restartGapS = 60;
/** A clock is set a few times in a recording; falls beyond these, and beyond one row in a hundred, are rows out of order. */
const mostSetbacks = 3;

/**
 * Turns the numbers of a time column into one axis. Time never falls: after a restart it goes on, whole thousands of seconds later than its stamps say, so
 * that no time stands for two parts. Nothing is sorted and no gap is bridged.
 *
 * @param raw numbers of the column, none of them NaN
 * @param restarts rows above which the header was repeated
 * @param rowNumbers number in the file's data of each row
 * @throws E_TIME_ORDER where time falls without a reason that is known
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
  const origin = raw[0]!;
  for (let i = 0; i < rows; i++) timeS[i] = form.toS(raw[i]! - origin);
  const steps = positiveSteps(timeS);
  const usualS = steps.length === 0 ? 1 : steps[steps.length >> 1]!;
  const maxGapS = statedMaxGapS ?? Math.max(1, 5 * usualS);
  const repeatedHeaders = new Set(restarts.filter((row) => row > 0 && row < rows));
  const cuts: number[] = [];
  const seen = new Map<string, Seen>();
  const note = (kind: string, row: number, sizeS: number) => {
    const old = seen.get(kind);
    if (old === undefined) seen.set(kind, { count: 1, row, sizeS });
    else {
      old.count++;
      if (Math.abs(sizeS) > Math.abs(old.sizeS)) Object.assign(old, { row, sizeS });
    }
  };
  let addedS = 0;
  let partStart = 0;
  let lastStepS = usualS;
  let moved = false;
  let setbacks = 0;
  const stepInto = (row: number): number =>
    row < 1 || row >= rows ? Number.NaN : form.toS(raw[row]! - origin) - form.toS(raw[row - 1]! - origin);
  const begin = (i: number): void => {
    cuts.push(i);
    partStart = i;
    const fallS = timeS[i - 1]! - timeS[i]!;
    if (fallS < 0) return;
    const byS = Math.ceil((fallS + restartGapS) / restartGridS) * restartGridS;
    addedS += byS;
    timeS[i] = timeS[i]! + byS;
    moved = true;
  };
  for (let i = 1; i < rows; i++) {
    timeS[i] = timeS[i]! + addedS;
    const stepS = timeS[i]! - timeS[i - 1]!;
    if (repeatedHeaders.has(i)) {
      note('restart', i, stepS);
      begin(i);
      continue;
    }
    if (stepS > 0 && stepS <= maxGapS) {
      lastStepS = stepS;
      continue;
    }
    const state: ClockState = {
      hereS: timeS[i]!,
      beforeS: timeS[i - 1]!,
      partStartS: timeS[partStart]!,
      rowsInPart: i - partStart,
      shownS: form.toS(raw[i]!),
      shownBeforeS: form.toS(raw[i - 1]!),
      usualS,
      lastStepS,
      stepBeforeS: stepInto(i - 1),
      stepAfterS: stepInto(i + 1),
      maxGapS,
    };
    const step = judgeStep(state, form);
    if (step.kind === 'setback') setbacks++;
    if (step.kind === 'disorder' || setbacks > Math.max(mostSetbacks, 0.01 * rows)) refuseOrder(state, rowNumbers[i]!, where);
    note(step.kind, i, 'byS' in step ? step.byS : stepS);
    if ('byS' in step) {
      addedS += step.byS;
      timeS[i] = timeS[i]! + step.byS;
    } else if (step.kind !== 'same') begin(i);
  }
  const equal = seen.get('same')?.count ?? 0;
  const rowS = partsDurationS(timeS, cuts) / Math.max(1, rows - 1);
  const tickS = coarseTick(steps, rowS, equal, rows);
  return {
    timeS,
    parts: [0, ...cuts].map((from, i) => ({ from, to: cuts[i] ?? rows })),
    tickS,
    maxGapS,
    medianStepS: usualS,
    findings: findingsOf(seen, { maxGapS, tickS, rowS, rows, moved }, rowNumbers, where),
  };
}

function partsDurationS(timeS: Float64Array, cuts: readonly number[]): number {
  return [0, ...cuts].reduce((sum, from, i) => sum + timeS[(cuts[i] ?? timeS.length) - 1]! - timeS[from]!, 0);
}

function refuseOrder({ shownS, shownBeforeS }: ClockState, row: number, where: Place): never {
  throw new PullproofError(
    'E_TIME_ORDER',
    `time falls from ${shown(shownBeforeS)} s to ${shown(shownS)} s.`,
    { ...where, row },
    'Rows are not re-sorted. Fix the file, enter each part as its own run, or ignore the stamps with --rate (rows a second).',
  );
}

function findingsOf(
  seen: ReadonlyMap<string, Seen>,
  {
    maxGapS,
    tickS,
    rowS,
    rows,
    moved,
  }: { readonly maxGapS: number; readonly tickS: number; readonly rowS: number; readonly rows: number; readonly moved: boolean },
  rowNumbers: Uint32Array,
  where: Place,
): Finding[] {
  const found: Finding[] = [];
  const goesOn = moved ? ', and times go on from there, whole thousands of seconds later' : '';
  const warn = (kind: string, code: string, message: (seen: Seen) => string, fix: string) => {
    const what = seen.get(kind);
    if (what === undefined) return;
    found.push({
      code,
      severity: 'warning',
      message: message(what),
      where: { ...where, row: rowNumbers[what.row]! },
      fix,
      count: what.count,
    });
  };
  warn(
    'restart',
    'W_RESTART',
    ({ count }) => `the logger restarted ${times(count)}; each part is treated separately${goesOn}.`,
    'Nothing is joined across a restart. Give each part as its own run if they are different runs.',
  );
  warn('midnight', 'W_MIDNIGHT', () => 'the clock passes midnight; time goes on.', 'Nothing to do.');
  warn(
    'rollover',
    'W_ROLLOVER',
    ({ sizeS }) => `the time counter starts over after ${shown(sizeS)} s; time goes on.`,
    'Check that no time is missing there.',
  );
  warn(
    'jump',
    'W_CLOCK_JUMP',
    ({ sizeS }) =>
      `the clock jumps by ${shown(sizeS)} s, like a change of daylight saving time or zone; each part is treated separately${sizeS < 0 ? goesOn : ''}.`,
    'Nothing is joined across the jump.',
  );
  warn(
    'setback',
    'W_CLOCK_JUMP',
    ({ count, sizeS }) =>
      `the clock was set back ${times(count)}, by ${count === 1 ? '' : 'up to '}${shown(-sizeS)} s; each part is treated separately${goesOn}.`,
    'Nothing is joined across the break.',
  );
  warn(
    'gap',
    'W_GAP',
    ({ count, sizeS }) =>
      `${count === 1 ? 'a gap' : `${count} gaps`} longer than ${shown(maxGapS)} s, the longest ${shown(sizeS)} s; not bridged.`,
    'Data is missing there; a pull across a gap is not used.',
  );
  warn(
    'same',
    'W_TIME_REPEATED',
    ({ count }) => `${counted(count, 'row')} with the same time stamp as the row before.`,
    'The stamps are coarser than the rows; no rate was computed between such rows.',
  );
  if (tickS > 0) {
    found.push({
      code: 'W_TIME_QUANTISED',
      severity: 'warning',
      message: `time stamps come in steps of ${shown(tickS)} s at a row every ${shown(rowS)} s on average; rates get wider margins.`,
      where,
      fix: 'Log finer time stamps if the logger can.',
      count: rows,
    });
  }
  return found;
}

function times(count: number): string {
  return count === 1 ? 'once' : `${count} times`;
}

function shown(value: number): string {
  return String(Number(value.toPrecision(6)));
}
