import type { TimeForm } from './timeColumn.js';

/** What happens between a row and the one before it. `byS`: what is added to the time from here on. */
export type TimeStep =
  | { readonly kind: 'on' | 'same' | 'gap' | 'restart' | 'setback' | 'jump' | 'disorder' }
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
  /** Step into the row before, and step to the row after; NaN where there is none. */
  readonly stepBeforeS: number;
  readonly stepAfterS: number;
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
 * of summer time or zone; one from well into a part to its beginning or to zero is a restart; one with ordinary steps before and behind it is a clock that was
 * set back. Any other fall is disorder: rows that changed places, or a stamp that is wrong.
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
  if (toStart && wellIn) return { kind: 'restart' };
  return { kind: wasSetBack(stepS, state) ? 'setback' : 'disorder' };
}

/** True where the steps around a fall are as usual: the rows run on, and only the clock was set. Rows that changed places would have steps of two rows there. */
function wasSetBack(fallS: number, { stepBeforeS, stepAfterS, usualS, maxGapS }: ClockState): boolean {
  const steps = [stepBeforeS, stepAfterS].filter((stepS) => !Number.isNaN(stepS));
  if (steps.length === 0 || !steps.every((stepS) => stepS >= 0 && stepS <= maxGapS)) return false;
  if (steps.length < 2) return true;
  const off = (stepS: number): number => Math.abs(stepS - usualS);
  const asSetBack = off(stepBeforeS) + off(stepAfterS);
  const inOrder = [stepBeforeS + fallS, -fallS, stepAfterS + fallS];
  if (inOrder.some((stepS) => stepS < 0)) return asSetBack <= 2 * usualS;
  return asSetBack < inOrder.reduce((sum, stepS) => sum + off(stepS), 0);
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
