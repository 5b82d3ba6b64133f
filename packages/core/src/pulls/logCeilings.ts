import { type Finding, PullproofError } from '../findings/index.js';
import { type Channel, findChannel, freshSamples, type Log, type Quantity } from '../log/index.js';
import type { CeilingResult, ModelEstimateResult } from '../result/index.js';
import { nullable } from '../result/index.js';
import {
  beyondCeiling,
  type Ceiling,
  type CeilingSeries,
  ceilingFinding,
  findCeilings,
  highestBoostOf,
  readingsOnCeiling,
} from '../sensors/index.js';
import { joinableGapS, type MotionSignals, rowsOf, valueAt } from '../stretches/index.js';

/** A log whose pulls are looked through for ceilings. */
export interface CeilingSource {
  readonly log: Log;
  readonly signals: MotionSignals;
  readonly pulls: readonly { readonly startS: number; readonly endS: number }[];
  readonly setup: string | null;
  /** Pressure of the weather; null where nobody said. */
  readonly stationPressurePa: number | null;
  /** Logs are looked at together only where this is the same: the law that their pressure was rescaled by. */
  readonly sensorKey: string;
}

/** A ceiling of one channel, with every log that it was found in. */
export interface FoundCeiling {
  readonly quantity: CeilingResult['quantity'];
  readonly channel: string;
  /** In the channel's own reference. */
  readonly ceiling: Ceiling;
  readonly logs: ReadonlySet<Log>;
}

/** Ceilings as the result shows them, the same for curves, and findings with place and remedy. */
export interface FoundCeilings {
  readonly results: readonly CeilingResult[];
  readonly found: readonly FoundCeiling[];
  readonly findings: readonly Finding[];
}

interface Look {
  readonly quantity: CeilingResult['quantity'];
  readonly side: 'upper' | 'lower';
  /** A level is only a ceiling where this holds: a mixture held steady by its control is none. */
  readonly possible: (level: number) => boolean;
}

/** Where a wideband sensor's range may end under full load: common practice, no source. */
const looks: readonly Look[] = [
  { quantity: 'manifold-pressure', side: 'upper', possible: () => true },
  { quantity: 'air-mass-flow', side: 'upper', possible: () => true },
  { quantity: 'lambda', side: 'upper', possible: (level) => level > 1.2 },
  { quantity: 'lambda', side: 'lower', possible: (level) => level < 0.75 },
];

const seaLevelPa = 101325;
/** Share of the level by which living pressure drifts in half a second, as findCeilings takes it. */
const breathingShare = 0.0025;

interface Series extends CeilingSeries {
  readonly rpm: Float64Array;
}

/**
 * Ceilings of manifold pressure, lambda and air flow in the pulls of logs. Channels of one name, unit and sensor law are looked at together, for one pull alone proves little.
 *
 * @param sources logs with their pulls
 * @returns ceilings for the result, the same for curves, and findings with place and remedy
 */
export function logCeilings(sources: readonly CeilingSource[]): FoundCeilings {
  const results: CeilingResult[] = [];
  const found: FoundCeiling[] = [];
  const findings: Finding[] = [];
  for (const look of looks) {
    for (const group of groupsOf(sources, look.quantity)) {
      const ceiling = ceilingOf(group, look);
      if (ceiling === null) continue;
      const { channel } = group[0]!;
      const hit = new Set<Log>();
      for (const { source, series } of group) {
        const samples = series.reduce((sum, one) => sum + count(readingsOnCeiling(one.values, ceiling)), 0);
        if (samples === 0) continue;
        hit.add(source.log);
        const told = tellCeiling(ceiling, look, channel, source, samples);
        results.push({ ...told.result, modelEstimate: modelOf(series, ceiling, channel, source, look) });
        findings.push(told.finding);
      }
      found.push({ quantity: look.quantity, channel: channel.name, ceiling, logs: hit });
    }
  }
  return { results, found, findings };
}

interface Member {
  readonly source: CeilingSource;
  readonly channel: Channel;
  readonly series: readonly Series[];
}

function groupsOf(sources: readonly CeilingSource[], quantity: Quantity): Member[][] {
  const groups = new Map<string, Member[]>();
  for (const source of sources) {
    const channel = findChannel(source.log, quantity);
    if (channel === null) continue;
    const series = seriesOf(source, channel);
    if (series.length === 0) continue;
    const key = JSON.stringify([channel.name, channel.unit, channel.reference, source.sensorKey]);
    const member = { source, channel, series };
    const members = groups.get(key);
    if (members === undefined) groups.set(key, [member]);
    else members.push(member);
  }
  return [...groups.values()];
}

function seriesOf(source: CeilingSource, channel: Channel): Series[] {
  const { engine } = source.signals;
  const gapS = engine === null ? 0 : joinableGapS(engine);
  return source.pulls.flatMap((pull) => {
    const { from, to } = rowsOf(source.log, pull);
    const { timeS, values } = freshSamples(source.log, channel, from, to);
    if (values.length < 3) return [];
    const rpm = timeS.map((t) => (engine === null ? Number.NaN : valueAt(engine, t, gapS)));
    return [{ timeS, values, engineSpeedRpm: rpm, rpm }];
  });
}

function ceilingOf(group: readonly Member[], look: Look): Ceiling | null {
  const { channel } = group[0]!;
  const stations = group.map(({ source }) => source.stationPressurePa ?? seaLevelPa);
  const stationPa = stations.reduce((sum, pa) => sum + pa, 0) / stations.length;
  const pressure = look.quantity === 'manifold-pressure';
  const series = group.flatMap(({ series: own }) => own);
  const gauge = channel.reference === 'gauge';
  const [ceiling = null] = findCeilings(series, {
    side: look.side,
    ...(channel.quantum > 0 ? { quantum: channel.quantum } : {}),
    ...(pressure && gauge ? { breathing: breathingShare * 1.5 * stationPa } : {}),
    stationPressurePa: pressure && !gauge ? stationPa : null,
  });
  if (ceiling === null || !look.possible(ceiling.value)) return null;
  // Where a count is larger than a living plateau breathes, a limited boost looks just like a clamp: then only a known end of a range is sure.
  const level = Math.abs(ceiling.value) + (pressure && gauge ? stationPa : 0);
  const blind = pressure && ceiling.quantum > breathingShare * level && ceiling.place === null;
  return blind ? { ...ceiling, certainty: 'possible' } : ceiling;
}

function tellCeiling(
  ceiling: Ceiling,
  { quantity, side }: Look,
  channel: Channel,
  source: CeilingSource,
  samples: number,
): { readonly result: Omit<CeilingResult, 'modelEstimate'>; readonly finding: Finding } {
  const where = { path: source.log.path, channel: channel.name, ...(source.setup === null ? {} : { setup: source.setup }) };
  const upperPressure = quantity === 'manifold-pressure' && side === 'upper';
  const stationPa = source.stationPressurePa ?? seaLevelPa;
  const absolute = channel.reference === 'gauge' ? ceiling.value + stationPa : ceiling.value;
  const here: Ceiling = { ...ceiling, value: absolute, readings: samples };
  const finding = upperPressure ? ceilingFinding(here, { where, stationPressurePa: stationPa }) : plainFinding(here, quantity, where);
  return {
    finding,
    result: {
      log: source.log.path,
      setup: source.setup,
      channel: channel.name,
      quantity,
      side,
      value: absolute,
      unit: quantity === 'manifold-pressure' ? 'Pa' : quantity === 'lambda' ? '1' : 'kg/s',
      verdict: ceiling.certainty === 'found' ? 'certain' : 'possible',
      samples,
      pulls: ceiling.visits,
      highestBoostPa: upperPressure ? highestBoostOf(absolute, stationPa).gaugePa : null,
      explanation: finding.message,
    },
  };
}

/** A ceiling of lambda or air flow in words. */
function plainFinding(ceiling: Ceiling, quantity: Look['quantity'], where: Finding['where']): Finding {
  const upper = ceiling.side === 'upper';
  const sure = ceiling.certainty === 'found';
  const [name, value] =
    quantity === 'lambda' ? ['Lambda', ceiling.value.toFixed(3)] : ['Air flow', `${(1000 * ceiling.value).toFixed(1)} g/s`];
  return {
    code: `W_SENSOR_${upper ? 'CEILING' : 'FLOOR'}${sure ? '' : '_POSSIBLE'}`,
    severity: sure ? 'warning' : 'note',
    message: `${name} ${sure ? 'is cut off' : 'may be cut off'} at ${value}: ${ceiling.readings} readings stand there. The real value was at ${upper ? 'least' : 'most'} that; these readings enter no average.`,
    where,
    fix: `Log a channel whose range reaches ${upper ? 'higher' : 'lower'}, then log again.`,
    count: ceiling.readings,
  };
}

/** What pressure may have been above the ceiling; null where too few free readings are left to say. */
function modelOf(
  series: readonly Series[],
  ceiling: Ceiling,
  channel: Channel,
  source: CeilingSource,
  look: Look,
): ModelEstimateResult | null {
  if (look.quantity !== 'manifold-pressure') return null;
  const shift = channel.reference === 'gauge' ? (source.stationPressurePa ?? seaLevelPa) : 0;
  // Only the top of the rise: lower down throttle and spool-up bend the curve.
  const near = (value: number): boolean => value > ceiling.value - 0.2 * (Math.abs(ceiling.value) + shift);
  const rows = series.flatMap((one) =>
    Array.from(one.values, (value, i) => ({ rpm: one.rpm[i]!, value })).filter((row) => near(row.value)),
  );
  const values = Float64Array.from(rows, ({ value }) => value);
  const on = readingsOnCeiling(values, ceiling);
  const speeds = rows.filter(({ rpm }, i) => on[i] === 1 && Number.isFinite(rpm)).map(({ rpm }) => rpm);
  const free = values.length - count(on);
  if (speeds.length === 0 || free < Math.max(leastFree, leastFreeShare * values.length)) return null;
  const first = Math.ceil(Math.min(...speeds) / 100) * 100;
  const engineSpeedRpm = Array.from({ length: Math.floor((Math.max(...speeds) - first) / 100) + 1 }, (_, i) => first + 100 * i);
  if (engineSpeedRpm.length === 0) return null;
  try {
    const { estimates, label } = beyondCeiling(
      Float64Array.from(rows, ({ rpm }) => rpm),
      values,
      ceiling,
      engineSpeedRpm,
    );
    const farthest = Math.max(...estimates.map(({ value }) => value + shift));
    if (!(farthest < beyondShare * (ceiling.value + shift))) return null;
    return {
      label,
      engineSpeedRpm,
      value: estimates.map(({ value }) => nullable(value + shift)),
      low: estimates.map(({ low }) => nullable(low + shift)),
      high: estimates.map(({ high }) => nullable(high + shift)),
      level: 0.95,
    };
  } catch (cause) {
    // Too few readings below the ceiling, or a fit that does not settle: then there is no estimate, and none is shown.
    if (cause instanceof PullproofError && noEstimate.has(cause.code)) return null;
    throw cause;
  }
}

/** A line through fewer free readings than this, or through a tail of them, may go anywhere; and nobody should believe one that leaves the ceiling this far behind. Common practice, no source. */
const leastFree = 20;
const leastFreeShare = 0.2;
const beyondShare = 1.35;

const noEstimate: ReadonlySet<string> = new Set(['E_TOO_FEW_SEEN', 'E_SINGULAR', 'E_NOT_CONVERGED']);

function count(flags: Uint8Array): number {
  return flags.reduce((sum, flag) => sum + flag, 0);
}
