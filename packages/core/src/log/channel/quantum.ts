/** Of more values, every n-th is looked at. */
const mostValues = 4000;

/**
 * Smallest step between different values of a column, as logged; 0 where no regular step was found.
 * The step is the mean of the smallest gaps between distinct values; it counts when nine gaps in ten are whole multiples of it, give or take the rounding of the text.
 */
export function quantumOf(values: Float64Array): number {
  const every = Math.max(1, Math.ceil(values.length / mostValues));
  const some = new Float64Array(Math.ceil(values.length / every));
  let count = 0;
  for (let i = 0; i < values.length; i += every) {
    const value = values[i]!;
    if (!Number.isNaN(value)) some[count++] = value;
  }
  const sorted = distinct(some.subarray(0, count).sort());
  if (sorted.length < 3) return 0;
  const gaps = new Float64Array(sorted.length - 1);
  for (let i = 0; i < gaps.length; i++) gaps[i] = sorted[i + 1]! - sorted[i]!;
  const scale = Math.max(Math.abs(sorted[0]!), Math.abs(sorted[sorted.length - 1]!));
  const resolution = textResolution(sorted);
  const real = gaps.filter((gap) => gap > scale * 1e-12);
  let least = Number.POSITIVE_INFINITY;
  for (const gap of real) if (gap < least) least = gap;
  let sum = 0;
  let near = 0;
  for (const gap of real) {
    if (!(gap <= 1.5 * least)) continue;
    sum += gap;
    near++;
  }
  const step = sum / near;
  const tolerance = Math.max(0.02 * step, Math.min(resolution * 1.01, 0.3 * step));
  let regular = 0;
  for (const gap of real) {
    const multiple = Math.round(gap / step);
    if (multiple >= 1 && Math.abs(gap - multiple * step) <= tolerance * Math.min(3, Math.sqrt(multiple))) regular++;
  }
  if (real.length >= 8 && regular >= 0.9 * real.length) return cleaned(step);
  return resolution > 0 && least >= 0.99 * resolution ? resolution : 0;
}

/** Power of ten on which the values of a column lie, 0 when finer than 1e-9. */
export function resolutionOf(values: Float64Array): number {
  const every = Math.max(1, Math.ceil(values.length / mostValues));
  return textResolution(values.filter((value, i) => i % every === 0 && !Number.isNaN(value)));
}

/** Power of ten on which all values lie, 0 when finer than 1e-9. */
function textResolution(sorted: Float64Array): number {
  for (let places = 0; places <= 9; places++) {
    const factor = 10 ** places;
    if (liesOn(sorted, factor)) return 1 / factor;
  }
  return 0;
}

function liesOn(sorted: Float64Array, factor: number): boolean {
  return sorted.every((value) => Math.abs(value * factor - Math.round(value * factor)) < 1e-6 * Math.max(1, Math.abs(value)));
}

/** Sorted values, each once; in place. */
function distinct(sorted: Float64Array): Float64Array {
  let count = 0;
  for (let i = 0; i < sorted.length; i++) {
    const value = sorted[i]!;
    if (i === 0 || value > sorted[count - 1]!) sorted[count++] = value;
  }
  return sorted.subarray(0, count);
}

function cleaned(step: number): number {
  return Number(step.toPrecision(6));
}
