import type { Channel, Quantity } from '../../log/index.js';
import type { Repeatability } from '../../power/index.js';
import type { TrialPull } from '../../pulls/index.js';
import { channelOf } from '../../pulls/index.js';
import type { BandedValue, CurveResult } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { meanOfCurves, quantityCurve } from '../../stretches/index.js';
import { bandOf, type SharedError } from '../../uncertainty/index.js';
import type { KnownInput } from './supplyInputs.js';

/** A channel of one pull on the grid; NaN where it has no readings. */
export function onGrid(pull: TrialPull, channel: Channel, gridRpm: Float64Array): Float64Array {
  return quantityCurve([{ ...pull, channel }], gridRpm)!.mean;
}

/** A quantity of each pull on the grid, a pressure as absolute pressure; null for a pull whose log has no such channel. */
export function pullCurves(pulls: readonly TrialPull[], quantities: readonly Quantity[], gridRpm: Float64Array): (Float64Array | null)[] {
  const channel = channelOf(quantities);
  return pulls.map((pull) => {
    const found = channel(pull.run);
    return found === null ? null : onGrid(pull, found, gridRpm);
  });
}

/** Something worked out for each pull from inputs that may be off. */
export interface PullModel {
  readonly inputs: readonly KnownInput[];
  /** On the grid, for values of the inputs in their order; one curve for each pull. */
  readonly curves: (values: readonly number[]) => readonly Float64Array[];
}

/** Mean over the pulls with everything that its band needs. */
export interface ModelledCurve {
  readonly gridRpm: Float64Array;
  readonly mean: Float64Array;
  readonly pulls: readonly Float64Array[];
  /** Spread from pull to pull, of the mean. */
  readonly random: SharedError;
  /** What one standard uncertainty of each input does, in the order of the inputs. */
  readonly effects: readonly { readonly input: KnownInput; readonly effect: Float64Array }[];
}

/** Mean of a model over the pulls, with first-order effects of its inputs (JCGM 100:2008, 5.1.3). A single pull takes the assumed or measured spread of pulls. */
export function modelledCurve(model: PullModel, gridRpm: Float64Array, spread: Repeatability): ModelledCurve {
  const central = model.inputs.map(({ value }) => value);
  const meanAt = (values: readonly number[]): Float64Array => meanOfCurves(model.curves(values), gridRpm).mean;
  const pulls = model.curves(central);
  const { mean, pullToPull, count } = meanOfCurves(pulls, gridRpm);
  const most = Math.max(1, ...count);
  const shape = mean.map((value, i) => {
    const n = Math.max(1, count[i]!);
    return n < 2 || Number.isNaN(pullToPull[i]!) ? value * spread.pullToPull : pullToPull[i]! / Math.sqrt(n);
  });
  const effects = model.inputs.map((input, k) => {
    const moved = (by: number): Float64Array => meanAt(central.map((value, i) => (i === k ? value + by : value)));
    const up = moved(input.spread);
    const down = moved(-input.spread);
    return { input, effect: up.map((value, i) => (value - down[i]!) / 2) };
  });
  return {
    gridRpm,
    mean,
    pulls,
    random: { name: 'pull-to-pull spread', shape: finite(shape), degrees: most < 2 ? spread.pullDegrees : most - 1 },
    effects: effects.map(({ input, effect }) => ({ input, effect: finite(effect) })),
  };
}

/** Where there is no value there is no error either; the value itself stays missing. */
function finite(values: Float64Array): Float64Array {
  return values.map((value) => (Number.isNaN(value) ? 0 : value));
}

function inputErrorsOf({ effects }: ModelledCurve): SharedError[] {
  return effects.map(({ input, effect }) => ({ name: input.name, shape: effect, degrees: Number.POSITIVE_INFINITY }));
}

/** The curve with its 95 % band, each point by itself. `bounds` marks readings that rest on a ceiling. */
export function bandedCurve(modelled: ModelledCurve, bounds: readonly ('at-least' | 'at-most' | null)[] = []): CurveResult {
  const { gridRpm, mean, random } = modelled;
  const half = (shared: readonly SharedError[]): Float64Array =>
    bandOf({ shared, covariance: null }, gridRpm.length, { draws: 0 }).pointwise;
  const inputs = inputErrorsOf(modelled);
  const all = half([random, ...inputs]);
  const known = (values: Float64Array): (number | null)[] =>
    Array.from(values, (value, i) => (Number.isFinite(mean[i]!) ? nullable(value) : null));
  const bounded = bounds.some((bound) => bound !== null);
  return {
    engineSpeedRpm: Array.from(gridRpm),
    value: known(mean),
    low: known(mean.map((value, i) => (bounds[i] === 'at-most' ? Number.NaN : value - all[i]!))),
    high: known(mean.map((value, i) => (bounds[i] === 'at-least' ? Number.NaN : value + all[i]!))),
    level: 0.95,
    simultaneous: false,
    bound: bounds.includes('at-least') ? 'at-least' : null,
    ...(bounded ? { boundAt: bounds } : {}),
    parts: { noise: known(new Float64Array(mean.length)), pullToPull: known(half([random])), inputs: known(half(inputs)) },
  };
}

/** One point of a curve. */
export function bandedPoint(curve: CurveResult, index: number, unit: string, standing: BandedValue['standing']): BandedValue {
  return { value: curve.value[index] ?? null, low: curve.low[index] ?? null, high: curve.high[index] ?? null, unit, standing };
}
