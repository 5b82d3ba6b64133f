type Part = { readonly from: number; readonly to: number };

/** A step of this many quanta is no flicker of the last digit. */
const largeStep = 2.5;
/** Pairs of large steps that a channel's clock is told by. */
const leastPairs = 6;
/** Share of these that must have repeats between them; fewer are answers lost now and then. */
const leastHeld = 0.1;
/** A run of repeats this many periods long was asked and had not changed; shorter ones before a large step are answers that never came. */
const restPeriods = 4;

/**
 * Time after which a channel is asked again, told by its own changes alone: where it moves one way by large steps and yet repeats itself between
 * them, the repeats are no readings. Works with any mixture of clocks, because what other channels do does not count.
 *
 * @param values logged numbers
 * @param timeS time of each row
 * @param parts of the log
 * @param quantum smallest step between values, 0 when unknown
 * @returns period, s; null where the channel is new in most rows, or moves too little to tell
 */
export function ownPeriod(values: Float64Array, timeS: Float64Array, parts: readonly Part[], quantum: number): number | null {
  const gaps: number[] = [];
  let held = 0;
  for (const { from, to } of parts) {
    let last = -1;
    let before: { readonly at: number; readonly step: number } | null = null;
    let rows = 0;
    for (let i = from; i < to; i++) {
      const value = values[i]!;
      if (Number.isNaN(value)) continue;
      rows++;
      const step = last < 0 ? 0 : value - values[last]!;
      last = i;
      if (step === 0) continue;
      if (before !== null && Math.abs(step) > largeStep * quantum && step * before.step > 0) {
        gaps.push(timeS[i]! - timeS[before.at]!);
        if (rows > 1) held++;
      }
      before = Math.abs(step) > largeStep * quantum ? { at: i, step } : null;
      rows = 0;
    }
  }
  if (held < leastPairs || held < leastHeld * gaps.length) return null;
  gaps.sort((a, b) => a - b);
  const at = (share: number): number => gaps[Math.min(gaps.length - 1, Math.floor(share * gaps.length))]!;
  // A foot that moves in jerks has no period.
  return at(0.9) <= 4 * at(0.1) ? at(0.5) : null;
}

/** True where the changes of a channel never follow each other faster than a period that another one keeps: too coarse to tell by itself, it is asked as often. */
export function keepsPeriod(values: Float64Array, timeS: Float64Array, parts: readonly Part[], periodS: number): boolean {
  let changes = 0;
  let fast = 0;
  for (const { from, to } of parts) {
    let last = -1;
    let changedAt = -1;
    for (let i = from; i < to; i++) {
      if (Number.isNaN(values[i]!)) continue;
      if (last >= 0 && values[i] !== values[last]) {
        changes++;
        if (changedAt >= 0 && timeS[i]! - timeS[changedAt]! < 0.45 * periodS) fast++;
        changedAt = i;
      }
      last = i;
    }
  }
  return changes >= 4 && fast <= 0.02 * changes;
}

/**
 * Rows with a new reading of a channel that keeps a period: those where it changed, and between them as many as the period asks for, evenly spaced.
 * Where a large step follows after few periods, the answers between never came, and none is put there.
 */
export function rowsByClock(
  values: Float64Array,
  timeS: Float64Array,
  parts: readonly Part[],
  clock: { readonly periodS: number; readonly quantum: number },
): Uint8Array {
  const { periodS, quantum } = clock;
  const fresh = new Uint8Array(values.length);
  for (const { from, to } of parts) {
    let start = -1;
    let last = -1;
    const close = (end: number, step: number): void => {
      const gapS = (end < to ? timeS[end]! : timeS[to - 1]! + periodS / 2) - timeS[start]!;
      const periods = Math.round(gapS / periodS);
      if (step > 1.5 * quantum && periods < restPeriods) return;
      let row = start + 1;
      for (let k = 1; k < periods; k++) {
        const wantedS = timeS[start]! + (k * gapS) / periods;
        while (row + 1 < end && Math.abs(timeS[row + 1]! - wantedS) <= Math.abs(timeS[row]! - wantedS)) row++;
        if (row < end && !Number.isNaN(values[row]!)) fresh[row] = 1;
      }
    };
    for (let i = from; i < to; i++) {
      const value = values[i]!;
      if (Number.isNaN(value)) continue;
      if (last < 0 || value !== values[last]) {
        if (start >= 0) close(i, Math.abs(value - values[start]!));
        start = i;
        fresh[i] = 1;
      }
      last = i;
    }
    if (start >= 0) close(to, 0);
  }
  return fresh;
}
