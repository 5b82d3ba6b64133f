import { findChannel } from '../../log/index.js';
import type { Repeatability } from '../../power/index.js';
import { fuelRailOfRuns } from '../../pulls/index.js';
import type { BandedValue, FuelPressureSag, Standing } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { halfAtPoint } from '../../uncertainty/index.js';
import { rpmText } from '../../units/index.js';
import { type InjectorReadings, injectsDirectly } from './injectorReadings.js';
import { bandedCurve, modelledCurve } from './pullCurves.js';

/** A fall of this much of the pressure is one of half as much fuel, and told. Common practice, no source. */
const toldShare = 0.02;
/** Up to this much a fall that is not certain is called none. Common practice, no source. */
const harmlessShare = 0.05;
/** Width of the window at the top of the pulls, and least width of the part that the slope is taken over. */
const topRpm = 300;
const leastSlopeRpm = 800;

/** Whether fuel pressure falls below what it should be along the pulls of a setup. */
export function fuelPressureFall(
  readings: readonly InjectorReadings[],
  gridRpm: Float64Array,
  spread: Repeatability,
): { readonly sag: FuelPressureSag | null; readonly status: string | null } {
  const told = readings.filter(({ railPa }) => railPa !== null);
  if (told.length === 0)
    return { sag: null, status: 'Fuel pressure was not logged in the pulls: log it to see whether the pump keeps up.' };
  if (injectsDirectly(told) === true)
    return {
      sag: null,
      status: 'This is the pressure of a direct-injection pump; what it was asked for was not logged, so a fall cannot be told.',
    };
  const known = fuelRailOfRuns(told.map(({ pull }) => ({ inputs: pull.run.inputs, log: pull.log })));
  const entered = known?.rail ?? null;
  const withManifold = told.every(({ manifoldPa }) => manifoldPa !== null);
  if (entered === 'referenced' && !withManifold)
    return { sag: null, status: 'The rail follows manifold pressure, which was not logged: whether fuel pressure falls cannot be told.' };
  const tried = (entered !== null ? [entered] : withManifold ? (['referenced', 'fixed'] as const) : (['fixed'] as const)).map((rail) =>
    sagOf(told, gridRpm, rail, known?.standing ?? 'assumed', spread),
  );
  const sags = tried.filter((one) => one !== null);
  if (sags.length === 0) return { sag: null, status: 'The pulls hold too few readings of fuel pressure.' };
  // Where nobody said what the rail does: the reading that falls less, since the wrong one always seems to fall or rise.
  const sag = sags.reduce((a, b) => (Math.abs(b.atTop.value ?? 0) < Math.abs(a.atTop.value ?? 0) ? b : a));
  return { sag, status: null };
}

function sagOf(
  readings: readonly InjectorReadings[],
  gridRpm: Float64Array,
  rail: 'referenced' | 'fixed',
  railStanding: Standing,
  spread: Repeatability,
): FuelPressureSag | null {
  const across = rail === 'referenced';
  const watched = readings.map(({ railPa, manifoldPa, stationPa }) => railPa!.map((pa, i) => pa - (across ? manifoldPa![i]! : stationPa)));
  const starts = watched.map(startOf);
  if (starts.some(Number.isNaN)) return null;
  const modelled = modelledCurve(
    { inputs: [], curves: () => watched.map((values, p) => values.map((pa) => pa - starts[p]!)) },
    gridRpm,
    spread,
  );
  const expectedPa = banded(starts, 'Pa', spread, Math.abs(mean(starts)));
  const lastRpm = lastKnown(modelled.mean, gridRpm);
  if (lastRpm === null) return null;
  const atTops = watched.map((values, p) => mean(inWindow(values, gridRpm, lastRpm - topRpm, lastRpm).map((pa) => pa / starts[p]! - 1)));
  const slopes = watched.map((values) => slopeOf(values, gridRpm, lastRpm));
  const atTop = banded(atTops.filter(Number.isFinite), '1', spread, 1);
  const flow = (share: number | null): number | null => (share === null ? null : nullable(Math.sqrt(1 + share) - 1));
  const verdict = verdictOf(atTop);
  const channel = findChannel(readings[0]!.pull.log, 'fuel-pressure')!.name;
  const steady = across ? 'pressure across the injector' : 'rail pressure';
  const flowAtTop = { ...atTop, value: flow(atTop.value), low: flow(atTop.low), high: flow(atTop.high), standing: 'model' as const };
  return {
    channel,
    steady,
    railStanding,
    expectedPa,
    shortfallPa: bandedCurve(modelled),
    slopePaPerKrpm: banded(slopes.filter(Number.isFinite), 'Pa per 1000 rpm', spread, expectedPa.value ?? 0),
    atTop,
    flowAtTop,
    verdict,
    sentence: sentenceOf(steady, verdict, atTop, flowAtTop, expectedPa, lastRpm),
  };
}

/** Median of the first quarter of a pull's readings. */
function startOf(values: Float64Array): number {
  const known = values.filter((value) => Number.isFinite(value));
  if (known.length < 4) return Number.NaN;
  const first = known.slice(0, Math.max(2, known.length >> 2)).sort();
  return (first[(first.length - 1) >> 1]! + first[first.length >> 1]!) / 2;
}

function lastKnown(values: Float64Array, gridRpm: Float64Array): number | null {
  for (let i = values.length - 1; i >= 0; i--) if (Number.isFinite(values[i]!)) return gridRpm[i]!;
  return null;
}

function inWindow(values: Float64Array, gridRpm: Float64Array, fromRpm: number, toRpm: number): number[] {
  return Array.from(values).filter((value, i) => Number.isFinite(value) && gridRpm[i]! >= fromRpm && gridRpm[i]! <= toRpm);
}

/** Slope over the upper half of a pull's engine speeds, for 1,000 rpm. */
function slopeOf(values: Float64Array, gridRpm: Float64Array, lastRpm: number): number {
  const known = Array.from(gridRpm).filter((_, i) => Number.isFinite(values[i]!));
  const fromRpm = ((known[0] ?? lastRpm) + lastRpm) / 2;
  if (lastRpm - fromRpm < leastSlopeRpm) return Number.NaN;
  const points = Array.from(values.keys()).filter((i) => Number.isFinite(values[i]!) && gridRpm[i]! >= fromRpm && gridRpm[i]! <= lastRpm);
  const meanRpm = mean(points.map((i) => gridRpm[i]!));
  const meanPa = mean(points.map((i) => values[i]!));
  const spanned = points.reduce((sum, i) => sum + (gridRpm[i]! - meanRpm) ** 2, 0);
  return (1000 * points.reduce((sum, i) => sum + (gridRpm[i]! - meanRpm) * (values[i]! - meanPa), 0)) / spanned;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Mean over the pulls with its 95 % band; a single pull takes the spread of pulls as a share of `scale`. */
function banded(values: readonly number[], unit: string, spread: Repeatability, scale: number): BandedValue {
  if (values.length === 0) return { value: null, low: null, high: null, unit, standing: 'measured' };
  const value = mean(values);
  const single = values.length < 2;
  const deviation = single
    ? scale * spread.pullToPull
    : Math.sqrt(values.reduce((sum, one) => sum + (one - value) ** 2, 0) / (values.length - 1));
  const half = halfAtPoint(deviation / Math.sqrt(values.length), single ? spread.pullDegrees : values.length - 1);
  return { value: nullable(value), low: nullable(value - half), high: nullable(value + half), unit, standing: 'measured' };
}

function verdictOf({ value, low, high }: BandedValue): FuelPressureSag['verdict'] {
  if (value === null || low === null || high === null) return 'cannot tell';
  if (high < 0 && value < -toldShare) return 'falls';
  return low > -harmlessShare ? 'holds' : 'cannot tell';
}

function sentenceOf(
  steady: string,
  verdict: FuelPressureSag['verdict'],
  atTop: BandedValue,
  flowAtTop: BandedValue,
  expectedPa: BandedValue,
  lastRpm: number,
): string {
  const percent = (share: number | null): string => (share === null ? 'unknown' : `${(100 * share).toFixed(1)} %`.replace('-', '−'));
  const range = `${percent(atTop.value)} (${percent(atTop.low)} to ${percent(atTop.high)})`;
  const at = `at ${rpmText(lastRpm)}, against ${((expectedPa.value ?? 0) / 1000).toFixed(0)} kPa at the start of the pulls`;
  const subject = steady.charAt(0).toUpperCase() + steady.slice(1);
  if (verdict === 'falls') {
    const less = (share: number | null): string => percent(share === null ? null : -share);
    return `${subject} falls by ${less(atTop.value)} (${less(atTop.high)} to ${less(atTop.low)}) ${at}: the injectors give ${less(flowAtTop.value)} less than the calibration expects.`;
  }
  if (verdict === 'holds') return `${subject} holds: ${range} ${at}.`;
  return `Whether ${steady} falls cannot be told: ${range} ${at}.`;
}
