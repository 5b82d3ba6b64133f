import type { Finding } from '../findings/index.js';
import { type Channel, findChannel, freshSamples, type Log, type Quantity } from '../log/index.js';
import type { CeilingResult, ModelEstimateResult } from '../result/index.js';
import {
  type Ceiling,
  type CeilingOptions,
  type CeilingSeries,
  ceilingFinding,
  findCeilings,
  highestBoostOf,
  pressureBeyondCeiling,
  readingsOnCeiling,
} from '../sensors/index.js';
import { joinableGapS, type MotionSignals, rowsOf, valueAt } from '../stretches/index.js';
import { boostLimitEvidence, type LevelledLog } from './boostLimit.js';

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

/** Fewer readings beyond a level may be bit errors. */
const leastBeyond = 3;

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
    const groups = groupsOf(sources, look.quantity).map((members) => ({ members, ceiling: ceilingOf(members, look) }));
    const others = groups.flatMap(({ members, ceiling }) =>
      members.map((member) => ({ member, free: ceiling === null || samplesOn(member, ceiling) === 0 })),
    );
    for (const { members, ceiling } of groups) {
      if (ceiling === null || members.some((member) => readsBeyond(member, ceiling))) continue;
      const { channel } = members[0]!;
      const upperPressure = look.quantity === 'manifold-pressure' && look.side === 'upper';
      const limited = upperPressure ? boostLimitEvidence(members.map(levelled), ceiling, optionsOf(members, look)) : null;
      if (limited !== null) {
        findings.push(limitFinding(ceiling, members, limited));
        continue;
      }
      const hit = new Set<Log>();
      for (const member of members) {
        const samples = samplesOn(member, ceiling);
        if (samples === 0) continue;
        hit.add(member.source.log);
        const told = tellCeiling(ceiling, look, channel, member.source, samples);
        const modelEstimate = upperPressure ? modelOf(member, ceiling, others) : null;
        results.push({ ...told.result, modelEstimate });
        findings.push(told.finding);
      }
      found.push({ quantity: look.quantity, channel: channel.name, ceiling, logs: hit });
    }
  }
  return { results, found, findings };
}

function samplesOn({ series }: Member, ceiling: Ceiling): number {
  return series.reduce((sum, one) => sum + count(readingsOnCeiling(one.values, ceiling)), 0);
}

/** A sensor that reads beyond a level anywhere in the log is not at the end of its range there: its boost is controlled. */
function readsBeyond({ source, channel }: Member, ceiling: Ceiling): boolean {
  const { values } = freshSamples(source.log, channel);
  const sign = ceiling.side === 'upper' ? 1 : -1;
  const limit = sign * ceiling.value + 1.5 * ceiling.quantum;
  return values.filter((value) => sign * value > limit).length >= leastBeyond;
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

const levelled = ({ source, channel, series }: Member): LevelledLog => ({ log: source.log, channel, series, setup: source.setup });

function stationOf(group: readonly Member[]): number {
  return group.reduce((sum, { source }) => sum + (source.stationPressurePa ?? seaLevelPa), 0) / group.length;
}

function optionsOf(group: readonly Member[], look: Look): CeilingOptions {
  const { channel } = group[0]!;
  const stationPa = stationOf(group);
  const pressure = look.quantity === 'manifold-pressure';
  const gauge = channel.reference === 'gauge';
  return {
    side: look.side,
    ...(channel.quantum > 0 ? { quantum: channel.quantum } : {}),
    ...(pressure && gauge ? { breathing: breathingShare * 1.5 * stationPa } : {}),
    stationPressurePa: pressure && !gauge ? stationPa : null,
  };
}

function ceilingOf(group: readonly Member[], look: Look): Ceiling | null {
  const pressure = look.quantity === 'manifold-pressure';
  const [ceiling = null] = findCeilings(
    group.flatMap(({ series: own }) => own),
    optionsOf(group, look),
  );
  if (ceiling === null || !look.possible(ceiling.value)) return null;
  // Where a count is larger than a living plateau breathes, a limited boost looks just like a clamp: then only a known end of a range is sure.
  const level = Math.abs(ceiling.value) + (pressure && group[0]!.channel.reference === 'gauge' ? stationOf(group) : 0);
  const blind = pressure && ceiling.quantum > breathingShare * level && ceiling.place === null;
  return blind ? { ...ceiling, certainty: 'possible' } : ceiling;
}

/** A level that something holds boost at. */
function limitFinding(ceiling: Ceiling, members: readonly Member[], evidence: string): Finding {
  const { channel, source } = members[0]!;
  const absolute = ceiling.value + (channel.reference === 'gauge' ? stationOf(members) : 0);
  return {
    code: 'BOOST_LIMITED',
    severity: 'note',
    message: `Manifold pressure levels off at ${(absolute / 1000).toFixed(1)} kPa. Boost is held there; the sensor did not run out of range: ${evidence}. The readings count in full.`,
    where: { path: source.log.path, channel: channel.name, ...(source.setup === null ? {} : { setup: source.setup }) },
    fix: 'If you expected more boost, look at the target, the wastegate or bypass and their control.',
  };
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

/** What pressure was above the ceiling, by the shape of pulls that were free of it; null where there are none, or too few free readings. */
function modelOf(
  { series, channel, source }: Member,
  ceiling: Ceiling,
  others: readonly { readonly member: Member; readonly free: boolean }[],
): ModelEstimateResult | null {
  const absolute = ({ channel: of, source: from }: Member): number =>
    of.reference === 'gauge' ? (from.stationPressurePa ?? seaLevelPa) : 0;
  // Pulls of the same setup first: then only the day differs.
  const references = others
    .filter(({ member, free }) => free && member.source !== source)
    .sort((a, b) => Number(b.member.source.setup === source.setup) - Number(a.member.source.setup === source.setup))
    .map(({ member }) => member.series.map((one) => ({ rpm: one.rpm, values: one.values.map((value) => value + absolute(member)) })));
  const stationPressurePa = source.stationPressurePa ?? seaLevelPa;
  const found = pressureBeyondCeiling(series, ceiling, { shift: absolute({ series, channel, source }), references, stationPressurePa });
  if (found === null) return null;
  const { label, engineSpeedRpm, estimates } = found;
  return {
    label,
    engineSpeedRpm,
    value: estimates.map((one) => one?.value ?? null),
    low: estimates.map((one) => one?.low ?? null),
    high: estimates.map((one) => one?.high ?? null),
    level: 0.95,
  };
}

function count(flags: Uint8Array): number {
  return flags.reduce((sum, flag) => sum + flag, 0);
}
