import { findChannel, type Log, onceForEach } from '../log/index.js';
import type { RunInputs } from '../trial/index.js';

/** What the fuel rail does, and how that is known. */
export interface FuelRail {
  readonly rail: 'referenced' | 'fixed';
  readonly standing: 'entered' | 'measured';
}

/** A rail that follows rises with manifold pressure one for one, a fixed one not at all; between the two nobody can say. Common practice, no source. */
const followsAbove = 0.65;
const fixedBelow = 0.35;
/** Less of manifold pressure than this, Pa, shows no slope. */
const leastSpanPa = 20e3;
const leastRows = 30;
const runningAboveRpm = 300;
/** Above this the pump is a direct-injection one. */
const directInjectionPa = 2.5e6;

/**
 * What the fuel rail does: as entered, else as the log shows it below the air's pressure, at idle and part load, where every pump keeps up.
 *
 * One assumption for every answer: headroom, fuel pressure, the warning line and the top end ask here.
 *
 * @returns null where nobody said and the log does not show it
 */
export function fuelRailOf({ inputs, log }: { readonly inputs: RunInputs; readonly log: Log }): FuelRail | null {
  const entered = inputs.injectors?.rail ?? null;
  if (entered !== null) return { rail: entered, standing: 'entered' };
  const slope = slopeOf(log);
  if (Number.isNaN(slope)) return null;
  if (slope > followsAbove) return { rail: 'referenced', standing: 'measured' };
  return slope < fixedBelow ? { rail: 'fixed', standing: 'measured' } : null;
}

/** The same for the runs of a setup: what one of them shows holds for all. */
export function fuelRailOfRuns(runs: readonly { readonly inputs: RunInputs; readonly log: Log }[]): FuelRail | null {
  const known = runs.map(fuelRailOf).filter((one) => one !== null);
  return known.find(({ standing }) => standing === 'entered') ?? known[0] ?? null;
}

/** Rail pressure against manifold pressure at part load, least squares; NaN where too little was logged. */
const slopeOf = onceForEach((log: Log): number => {
  const [rail, manifold, engine] = (['fuel-pressure', 'manifold-pressure', 'engine-speed'] as const).map((quantity) =>
    findChannel(log, quantity),
  );
  if (rail == null || manifold == null) return Number.NaN;
  const gauge = manifold.reference === 'gauge';
  const x: number[] = [];
  const y: number[] = [];
  for (let row = 0; row < log.rows; row++) {
    const [railPa, pa] = [rail.values[row]!, manifold.values[row]!];
    if (!(railPa > 0 && railPa < directInjectionPa) || (engine != null && engine.values[row]! < runningAboveRpm)) continue;
    if (pa < (gauge ? -5e3 : 90e3)) {
      x.push(pa);
      y.push(railPa);
    }
  }
  if (x.length < leastRows) return Number.NaN;
  const sorted = [...x].sort((a, b) => a - b);
  if (sorted[Math.floor(0.95 * x.length)]! - sorted[Math.floor(0.05 * x.length)]! < leastSpanPa) return Number.NaN;
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [mx, my] = [mean(x), mean(y)];
  return x.reduce((sum, value, i) => sum + (value - mx) * (y[i]! - my), 0) / x.reduce((sum, value) => sum + (value - mx) ** 2, 0);
});
