/** Positive steps of a time axis, sorted; from at most 50,000 rows. */
export function positiveSteps(timeS: Float64Array): Float64Array {
  const steps: number[] = [];
  const every = Math.max(1, Math.floor(timeS.length / 50_000));
  for (let i = 1; i < timeS.length; i += every) {
    const step = timeS[i]! - timeS[i - 1]!;
    if (step > 0) steps.push(step);
  }
  return Float64Array.from(steps).sort();
}

/**
 * The step of the time stamps themselves where it is coarse: a quarter of the time between rows or more, and the steps vary by it. 0 otherwise.
 *
 * @param rowS mean time between rows, s
 * @param equal rows whose stamp repeats the one before
 */
export function coarseTick(steps: Float64Array, rowS: number, equal: number, rows: number): number {
  if (steps.length < 10 && equal < 10) return 0;
  for (const places of [0, 1, 2, 3, 4]) {
    const tick = 10 ** -places;
    const whole = steps.every((step) => Math.abs(step / tick - Math.round(step / tick)) < 1e-3);
    if (!whole) continue;
    const spread = (steps[Math.floor(steps.length * 0.9)] ?? 0) - (steps[Math.floor(steps.length * 0.1)] ?? 0);
    const varied = spread > 0.5 * tick || equal > 0.05 * rows;
    return varied && tick >= 0.25 * rowS ? tick : 0;
  }
  return 0;
}
