import { PullproofError } from '../findings/index.js';
import { type Channel, findChannel, freshSamples, type Log, type Quantity } from '../log/index.js';
import { lowerBound } from '../maths/index.js';
import { joinableGapS, valueAt } from '../stretches/index.js';
import { formulaLimits } from './formulaLimits.js';
import { type Formula, formulaName, quantityNamed } from './formulas.js';
import { shownUnit, unitOfQuantity } from './formulaUnit.js';

/** A formula worked out on one log. */
export interface CalculatedChannel {
  readonly formula: Formula;
  /** The result as a channel of the log; null where the log lacks a quantity that it needs. */
  readonly channel: Channel | null;
  /** Quantities and formulas above that it needs and that are not there. */
  readonly missing: readonly string[];
  /** Samples at which it has no value: an input is missing, or the result is not finite. */
  readonly withoutValue: number;
}

export interface CalculateOptions {
  /** Values of quantities where the log has no channel of them, SI: what was entered for the run, such as the pressure of the weather. */
  readonly entered?: Partial<Readonly<Record<Quantity, number>>>;
  /** Pressure of the weather, Pa: makes gauge pressures absolute. Default: `entered['barometric-pressure']`. */
  readonly stationPressurePa?: number;
  /** Chooses or changes the channel of a quantity; null where there is none. Default {@link findChannel}. */
  readonly channelOf?: (quantity: Quantity) => Channel | null;
}

/** One input of a formula: readings with their own times, in base units, or one number for the whole log. */
type Operand = { readonly constant: number } | Readings;

interface Readings {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  readonly rows: Uint32Array;
  readonly gapS: number;
  /** True for what has no values in between, such as a gear. */
  readonly stepped: boolean;
  /** True for what changes so slowly that it need not be sampled where the others are. */
  readonly slowByNature: boolean;
}

const slowQuantities: ReadonlySet<Quantity> = new Set<Quantity>([
  'barometric-pressure',
  'ambient-temperature',
  'coolant-temperature',
  'fuel-temperature',
  'ethanol-share',
]);

/**
 * Works formulas out on a log, sample by sample.
 *
 * The samples are the new readings of the input that was recorded slowest, the one with the fewest; the weather and the temperatures and shares of the fluids
 * count as slowest only among themselves. The others are interpolated straight between their own neighbours to those times, never across a gap: longer than three
 * of their usual refresh times and than 0.25 s, or where the log parts. A gear counts only between two equal readings. Pressures are absolute.
 *
 * @param log the log
 * @param formulas from {@link compileFormulas}
 * @param options values entered, and which channel to take
 * @returns one entry a formula, its channel in the formula's unit: NaN where an input is missing or the result is not finite, and between its samples
 * @throws E_FORMULA_GAUGE for a gauge pressure without `stationPressurePa`, E_FORMULA_WORK where formula and log together are beyond 2·10⁸ steps
 *
 * Uncertainty: none of its own; the spread between pulls shows in curves.
 *
 * @example
 * ```ts
 * import { calculateChannels, compileFormulas, loadFormulaParser, readLog } from '@pullproof/core';
 * const text = 'Time (s),Engine speed (rpm),MAP (kPa abs)\n0.0,3000,150\n0.1,3100,160\n0.2,3200,\n';
 * const log = readLog(Uint8Array.from(text, (c) => c.charCodeAt(0)), { path: 'pull.csv' });
 * const formulas = compileFormulas({ ratio: 'manifold_pressure / barometric_pressure' }, await loadFormulaParser());
 * const [ratio] = calculateChannels(log, formulas, { entered: { 'barometric-pressure': 100000 } });
 * ratio?.channel?.values[1]; // => 1.6
 * ratio?.channel?.values[2]; // => NaN
 * ```
 */
export function calculateChannels(log: Log, formulas: readonly Formula[], options: CalculateOptions = {}): readonly CalculatedChannel[] {
  const operands = new Map<string, Operand | null>();
  const operandOf = (name: string): Operand | null => {
    const known = operands.get(name);
    if (known !== undefined) return known;
    const made = quantityOperand(log, quantityNamed(name)!, options);
    operands.set(name, made);
    return made;
  };
  return formulas.map((formula, index): CalculatedChannel => {
    const inputs = new Map(formula.names.map((name) => [name, operandOf(name)]));
    const missing = formula.names.filter((name) => inputs.get(name) === null);
    const made = missing.length > 0 ? null : workedOut(log, formula, inputs as ReadonlyMap<string, Operand>);
    const there = made === null || 'constant' in made || made.values.some((value) => !Number.isNaN(value));
    const withoutValue = made === null || 'constant' in made ? 0 : made.values.filter(Number.isNaN).length;
    operands.set(formulaName(formula.name), there ? made : null);
    return { formula, channel: made !== null && there ? channelFrom(log, formula, { operand: made, index }) : null, missing, withoutValue };
  });
}

/** The channel of a quantity, else what was entered for it, in base units; null without either. */
function quantityOperand(log: Log, quantity: Quantity, options: CalculateOptions): Operand | null {
  const { entered = {}, channelOf = (wanted) => findChannel(log, wanted) } = options;
  const { inBase } = unitOfQuantity(quantity);
  const channel = channelOf(quantity);
  const samples = channel === null ? null : freshSamples(log, channel);
  if (channel === null || samples === null || samples.values.length === 0) {
    const value = entered[quantity];
    return value === undefined || !Number.isFinite(value) ? null : { constant: value * inBase };
  }
  const shift = channel.reference === 'gauge' ? stationPressure(log, channel, options) : 0;
  return {
    timeS: samples.timeS,
    rows: samples.rows,
    values: samples.values.map((value) => (value + shift) * inBase),
    gapS: joinableGapS({ channel, ...samples }),
    stepped: quantity === 'gear' || quantity === 'commanded-gear',
    slowByNature: slowQuantities.has(quantity),
  };
}

function stationPressure(log: Log, channel: Channel, { stationPressurePa, entered }: CalculateOptions): number {
  const pressurePa = stationPressurePa ?? entered?.['barometric-pressure'];
  if (pressurePa !== undefined && Number.isFinite(pressurePa)) return pressurePa;
  throw new PullproofError(
    'E_FORMULA_GAUGE',
    `${channel.name} is a gauge pressure, and the pressure of the weather that would make it absolute is not given.`,
    { path: log.path, channel: channel.name },
    'Give stationPressurePa.',
  );
}

/** The result of a formula on the samples of its slowest input. */
function workedOut(log: Log, formula: Formula, inputs: ReadonlyMap<string, Operand>): Operand {
  const { compiled } = formula;
  const readings = [...inputs.values()].filter((operand): operand is Readings => !('constant' in operand));
  const alone = { timeS: new Float64Array(1), runs: [] };
  if (readings.length === 0) {
    const values = new Map([...inputs].map(([name, operand]) => [name, Float64Array.of((operand as { constant: number }).constant)]));
    return { constant: compiled.evaluate({ ...alone, values })[0]! };
  }
  const quick = readings.filter(({ slowByNature }) => !slowByNature);
  const base = (quick.length > 0 ? quick : readings).reduce((least, one) => (one.rows.length < least.rows.length ? one : least));
  const runs = runsOf(log, base);
  refuseWork(log, formula, base);
  const values = new Map([...inputs].map(([name, operand]) => [name, onSamples(log, operand, base)]));
  return { ...base, values: compiled.evaluate({ timeS: base.timeS, runs, values }), stepped: false };
}

/** Index ranges of samples that neither a part of the log nor a gap parts. */
function runsOf(log: Log, { timeS, rows, gapS }: Readings): { from: number; to: number }[] {
  return log.parts.flatMap((part) => {
    const runs: { from: number; to: number }[] = [];
    const end = lowerBound(rows, part.to);
    for (let i = lowerBound(rows, part.from); i < end; i++) {
      const last = runs.at(-1);
      if (last !== undefined && timeS[i]! - timeS[i - 1]! <= gapS) last.to = i + 1;
      else runs.push({ from: i, to: i + 1 });
    }
    return runs;
  });
}

/** An input at the times of other samples, part of the log by part. */
function onSamples(log: Log, operand: Operand, base: Readings): Float64Array {
  if ('constant' in operand) return new Float64Array(base.timeS.length).fill(operand.constant);
  if (operand.rows === base.rows) return operand.values;
  const out = new Float64Array(base.timeS.length).fill(Number.NaN);
  for (const part of log.parts) {
    const [from, to] = [lowerBound(operand.rows, part.from), lowerBound(operand.rows, part.to)];
    const own = { timeS: operand.timeS.subarray(from, to), values: operand.values.subarray(from, to) };
    for (let i = lowerBound(base.rows, part.from); i < base.rows.length && base.rows[i]! < part.to; i++) {
      out[i] = valueAt(own, base.timeS[i]!, operand.gapS);
      if (operand.stepped && !own.values.includes(out[i]!)) out[i] = Number.NaN;
    }
  }
  return out;
}

function refuseWork(log: Log, { name, compiled }: Formula, base: Readings): void {
  const samples = base.timeS.length;
  const perSecond = samples / Math.max(base.timeS[samples - 1]! - base.timeS[0]!, Number.MIN_VALUE);
  const inFits = compiled.widthsS.reduce((sum, widthS) => sum + Math.min(samples, widthS * perSecond), 0);
  if (samples * (compiled.steps + fitSteps * inFits) <= formulaLimits.steps) return;
  throw new PullproofError(
    'E_FORMULA_WORK',
    `${name} is too much work for this log of ${samples} samples.`,
    { path: log.path },
    'Make the formula shorter, its widths in time smaller, or read only the span of the log that matters.',
  );
}

/** Steps that one sample inside a fit over time costs. */
const fitSteps = 20;

function channelFrom(log: Log, { name, text, unit, compiled }: Formula, { operand, index }: { operand: Operand; index: number }): Channel {
  const values = new Float64Array(log.rows).fill(Number.NaN);
  const fresh = new Uint8Array(log.rows);
  const { inBase } = shownUnit(compiled.powers);
  if ('constant' in operand) {
    values.fill(operand.constant / inBase);
    fresh.fill(1);
  } else {
    operand.rows.forEach((row, i) => {
      values[row] = operand.values[i]! / inBase;
      fresh[row] = 1;
    });
  }
  const steps =
    'constant' in operand ? [] : Array.from(operand.timeS.subarray(1), (t, i) => t - operand.timeS[i]!).filter((step) => step > 0);
  steps.sort((a, b) => a - b);
  const at = (share: number): number => steps[Math.floor(share * (steps.length - 1))]!;
  return {
    name,
    originalName: name,
    column: log.channels.length + index,
    quantity: null,
    bank: null,
    position: null,
    reference: null,
    unit,
    standing: 'stated',
    evidence: `calculated: ${text}`,
    values,
    fresh,
    freshBy: 'where its slowest input was new',
    refreshS: steps.length === 0 ? null : { median: at(0.5), low: at(0), high: at(1) },
    quantum: 0,
    missing: values.filter(Number.isNaN).length,
  };
}
