import type { TimeForm } from './timeColumn.js';

/** What happens between a row and the one before it. `byS`: what is added to the time from here on. */
export type TimeStep =
  | { readonly kind: 'on' | 'same' | 'gap' | 'restart' | 'jump' | 'disorder' }
  | { readonly kind: 'midnight' | 'rollover'; readonly byS: number };

/** Where the clock stands, for judging the next row. */
export interface ClockState {
  /** Time of the row from the first one, and of the row before it, s. */
  readonly hereS: number;
  readonly beforeS: number;
  readonly partStartS: number;
  readonly rowsInPart: number;
  /** Numbers as the counter shows them, s. */
  readonly shownS: number;
  readonly shownBeforeS: number;
  readonly usualS: number;
  readonly lastStepS: number;
  readonly maxGapS: number;
}

const dayS = 86_400;
const halfHourS = 1800;
/** Ranges of counters that roll over, in counts. */
const counterRanges: readonly number[] = [2 ** 16, 2 ** 24, 2 ** 32];

/**
 * Judges one step of the clock.
 *
 * A fall that a counter's whole range turns into an ordinary step is a rollover, one that a day does is midnight; one of whole half hours on a clock is a change
 * of summer time or zone; one from well into a part to its beginning or to zero is a restart. Any other fall is disorder.
 */
export function judgeStep(state: ClockState, form: TimeForm): TimeStep {
  const stepS = state.hereS - state.beforeS;
  if (stepS === 0) return { kind: 'same' };
  if (stepS > 0) {
    if (stepS <= state.maxGapS) return { kind: 'on' };
    return { kind: form.wrapS !== null && isWholeHalfHours(stepS, state.usualS) ? 'jump' : 'gap' };
  }
  const mostS = 3 * Math.max(state.usualS, state.lastStepS);
  const wrap = wrapOf(stepS, form, state.shownBeforeS, mostS);
  if (wrap !== null) return wrap;
  if (form.wrapS !== null && isWholeHalfHours(stepS, state.usualS)) return { kind: 'jump' };
  const toStart = state.hereS - state.partStartS <= 2 * state.usualS || (form.wrapS === null && state.shownS <= 2 * state.usualS);
  const wellIn = state.rowsInPart >= 5 && -stepS >= 5 * state.usualS;
  return { kind: toStart && wellIn ? 'restart' : 'disorder' };
}

function wrapOf(stepS: number, form: TimeForm, shownBeforeS: number, mostS: number): TimeStep | null {
  const makesAStep = (byS: number) => stepS + byS > 0 && stepS + byS <= mostS;
  if (form.wrapS !== null) {
    if (makesAStep(form.wrapS)) return { kind: form.wrapS === dayS ? 'midnight' : 'rollover', byS: form.wrapS };
    // A clock without am and pm goes from 12:59:59 to 1:00:00.
    return form.form === 'clock' && makesAStep(dayS / 2) ? { kind: 'rollover', byS: dayS / 2 } : null;
  }
  if (form.counterUnitS === null) return null;
  for (const range of counterRanges) {
    for (const unitS of new Set([1e-3, 1e-6, form.counterUnitS])) {
      const byS = range * unitS;
      if (makesAStep(byS) && shownBeforeS < byS && shownBeforeS > byS - mostS) return { kind: 'rollover', byS };
    }
  }
  return null;
}

/** A jump of whole half hours, give or take a few rows. */
function isWholeHalfHours(stepS: number, usualS: number): boolean {
  const halves = Math.round(Math.abs(stepS) / halfHourS);
  return halves >= 1 && halves <= 28 && Math.abs(Math.abs(stepS) - halves * halfHourS) <= Math.max(3 * usualS, 0.001);
}
