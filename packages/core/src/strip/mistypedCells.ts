import { cholesky, choleskySolve } from '../maths/index.js';
import { STANDARD_GRAVITY } from '../vehicle/index.js';
import type { Slip } from './learnFromSlips.js';
import { type StripMark, speedTrapM, stripMarkM, stripMarks } from './stripGeometry.js';

/** A cell of a slip that the others exclude. */
export interface MistypedCell {
  readonly kind: 'times' | 'speeds';
  readonly mark: StripMark;
  readonly printed: number;
  /** What the other cells make it. */
  readonly expected: number;
}

interface Cell {
  readonly kind: 'times' | 'speeds';
  readonly mark: StripMark;
  readonly value: number;
  readonly error: number;
}

/** How far the simplest of cars is off from a printed slip (shifts, gearing, converters), one standard deviation; found on the cars of bench/stripStudy.js; regression, not truth. */
const modelError = { timeS: 0.06, speedMps: 0.7 } as const;
/** A cell is mistyped where it is so many of these off, and the others agree when it is gone. */
const mistypedBeyond = 5;
const agreesWithin = 9;
/** Logarithms of grip (of g) and of power over mass (W/kg), and seconds lost at the start: usual cars with their spread. Common practice, no source. */
const usual = [
  { value: Math.log(0.45), spread: 0.4 },
  { value: Math.log(85), spread: 0.7 },
  { value: 0, spread: 0.25 },
] as const;
/** Drag of a usual car over twice its mass, 1/m. */
const dragPerM = 2.6e-4;
const leastCells = 4;

/**
 * Cells of a slip that neither the other cells nor physics allow: a digit that is wrong, such as a second or 10 mph.
 *
 * The other cells are fitted with the simplest car (grip, power over mass, time lost at the start; drag of a usual car); what that makes of the cell is compared with what is printed.
 *
 * @param slip cells in SI, those that are already known to be wrong left out
 * @returns the cell, or two where either of them would explain it; empty where the slip is whole, has fewer than four cells, or more than one is wrong
 */
export function mistypedCells(slip: Slip): MistypedCell[] {
  const cells: Cell[] = stripMarks.flatMap((mark) => [
    ...(slip.timesS[mark] === undefined ? [] : [{ kind: 'times' as const, mark, value: slip.timesS[mark]!, error: modelError.timeS }]),
    ...(slip.trapsMps[mark] === undefined
      ? []
      : [{ kind: 'speeds' as const, mark, value: slip.trapsMps[mark]!, error: modelError.speedMps }]),
  ]);
  if (cells.length < leastCells || !(fit(cells).misfit > agreesWithin)) return [];
  const suspects = cells
    .map((cell) => {
      const rest = fit(cells.filter((other) => other !== cell));
      const expected = predict(rest.car, [cell])[0]!;
      return { cell, expected, rest: rest.misfit, off: Math.abs(cell.value - expected) / cell.error };
    })
    .filter(({ rest, off }) => rest < agreesWithin && off > mistypedBeyond)
    .sort((a, b) => a.rest - b.rest);
  return suspects
    .filter(({ rest }) => rest < suspects[0]!.rest + 3)
    .slice(0, 2)
    .map(({ cell, expected }) => ({ kind: cell.kind, mark: cell.mark, printed: cell.value, expected }));
}

/** The likeliest simple car, and how badly it fits: Σ (residual/error)² and its own distance from usual cars, less what is to be expected. */
function fit(cells: readonly Cell[]): { readonly car: Float64Array; readonly misfit: number } {
  let car = Float64Array.from(usual, ({ value }) => value);
  const residuals = (of: Float64Array): Float64Array => {
    const predicted = predict(of, cells);
    return Float64Array.from([
      ...cells.map(({ value, error }, i) => (predicted[i]! - value) / error),
      ...usual.map(({ value, spread }, k) => (of[k]! - value) / spread),
    ]);
  };
  const cost = (of: Float64Array): number => residuals(of).reduce((sum, r) => sum + r * r, 0);
  let now = cost(car);
  let damping = 1e-3;
  for (let round = 0; round < 40; round++) {
    const at = residuals(car);
    const columns = usual.map((_, k) => {
      const moved = car.slice();
      moved[k] = moved[k]! + 0.01;
      return residuals(moved).map((value, i) => (value - at[i]!) / 0.01);
    });
    const normal = new Float64Array(9);
    const right = new Float64Array(3);
    for (let a = 0; a < 3; a++) {
      right[a] = -columns[a]!.reduce((sum, value, i) => sum + value * at[i]!, 0);
      for (let b = 0; b < 3; b++) normal[a * 3 + b] = columns[a]!.reduce((sum, value, i) => sum + value * columns[b]![i]!, 0);
      normal[a * 4] = normal[a * 4]! * (1 + damping);
    }
    const lower = cholesky(normal, 3);
    if (lower === null) break;
    const step = choleskySolve(lower, 3, right);
    const tried = car.map((value, k) => value + Math.max(-0.5, Math.min(0.5, step[k]!)));
    const then = cost(tried);
    if (then < now) {
      const small = now - then < 1e-4 * (1 + now);
      car = tried;
      now = then;
      damping /= 4;
      if (small) break;
    } else damping = Math.max(10 * damping, 1e-3);
    if (damping > 1e6) break;
  }
  return { car, misfit: now - Math.max(0, cells.length - 3) };
}

const stepS = 0.04;

/** Times and speeds that the simple car would print. */
function predict(car: Float64Array, cells: readonly Cell[]): number[] {
  const grip = Math.exp(car[0]!) * STANDARD_GRAVITY;
  const power = Math.exp(car[1]!);
  const farthest = Math.max(...cells.map(({ mark }) => stripMarkM[mark]));
  const speedOf = (v: number): number => Math.max(0.02, Math.min(grip, power / Math.max(v, 0.1)) - dragPerM * v * v - 0.12);
  const distances = [0];
  const speeds = [0];
  let [x, v] = [0, 0];
  while (x < farthest && distances.length < 2500) {
    const a = speedOf(v);
    const middle = speedOf(v + (stepS / 2) * a);
    x += stepS * v + 0.5 * stepS * stepS * middle;
    v += stepS * middle;
    distances.push(x);
    speeds.push(v);
  }
  const reachedS = (wantedM: number): number => {
    let i = 0;
    while (i + 2 < distances.length && distances[i + 1]! < wantedM) i++;
    const mean = (speeds[i]! + speeds[i + 1]!) / 2;
    return stepS * i + (wantedM - distances[i]!) / Math.max(mean, 0.1);
  };
  return cells.map(({ kind, mark }) => {
    const toM = stripMarkM[mark];
    return kind === 'times' ? reachedS(toM) + car[2]! : speedTrapM / (reachedS(toM) - reachedS(toM - speedTrapM));
  });
}
