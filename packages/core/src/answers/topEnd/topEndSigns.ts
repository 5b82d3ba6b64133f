import { healthySigns, type TopEndSign, topEndSigns } from '../../boost/index.js';
import { type Quantity, shownName } from '../../log/index.js';
import type { FittedSetup, FoundCeiling, TrialPull } from '../../pulls/index.js';
import { pullsCurve } from '../../pulls/index.js';
import type { TopEndObservation, TopEndSamples, TopEndTrace } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import { pullReadings, quantityCurve } from '../../stretches/index.js';
import { type SignSource, signSources } from './topEndChannels.js';
import type { RpmWindow, TopEndWindows } from './topEndFade.js';

/** A sign with everything that is shown of it but its sentence. */
export type Observed = Omit<TopEndObservation, 'sentence' | 'id'> & {
  readonly id: TopEndSign;
  /** False where it is shown but not weighed: readings that rest on a sensor's ceiling are bounds. */
  readonly weighed: boolean;
};

/** Pulls whose spread counts as known beforehand, in degrees of freedom. Common practice, no source. */
const knownDegrees = 2;
/** Engine speeds of a picture lie this many grid points apart. */
const traceStep = 3;

/** Course of one sign in the pulls of one setup. */
interface Course {
  readonly low: number;
  readonly top: number;
  /** Trend of each pull; only pulls that have both windows. */
  readonly trends: readonly number[];
  readonly samples: readonly TopEndSamples[];
  readonly trace: TopEndTrace;
  readonly channels: readonly string[];
  readonly pulls: readonly TrialPull[];
}

/** Why a sign could not be taken from the logs. */
export type SignGap = 'not logged' | 'in one setup only' | 'not over both windows';

/**
 * Everything that the logs show from the low to the top window.
 *
 * @returns signs as measured, why others were not, and quantities that a setup lacks
 */
export function observedSigns(
  after: FittedSetup,
  before: FittedSetup | null,
  windows: TopEndWindows,
  ceilings: readonly FoundCeiling[],
): { readonly observed: readonly Observed[]; readonly gaps: ReadonlyMap<TopEndSign, SignGap>; readonly notLogged: readonly Quantity[] } {
  const observed: Observed[] = [];
  const gaps = new Map<TopEndSign, SignGap>();
  const notLogged = new Set<Quantity>();
  const setups = [after, ...(before === null ? [] : [before])];
  for (const source of signSources) {
    const courses = setups.map((setup) => courseOf(setup, source, windows));
    if (courses.some((course) => course === null)) {
      const lacks = (setup: FittedSetup): Quantity[] => source.needs.filter((quantity) => !hasQuantity(setup, quantity));
      for (const quantity of setups.flatMap(lacks)) notLogged.add(quantity);
      const lacking = setups.filter((setup) => lacks(setup).length > 0).length;
      gaps.set(source.sign, lacking === 0 ? 'not over both windows' : lacking === setups.length ? 'not logged' : 'in one setup only');
      continue;
    }
    const clipped =
      source.sign === 'manifold-pressure' && [after, before].some((setup) => setup !== null && onCeiling(setup, windows, ceilings));
    observed.push({ ...trendOf(source, courses[0]!, courses[1] ?? null), weighed: !clipped });
    if (source.sign === 'manifold-pressure')
      observed.push(...ceilingSign(after, before, windows, ceilings, courses[0]!), ...sweepSign(courses[0]!));
  }
  observed.push(...cutSign(after, before, windows));
  return { observed, gaps, notLogged: [...notLogged] };
}

function hasQuantity(setup: FittedSetup, quantity: Quantity): boolean {
  return setup.used.some((pull) => pull.log.channels.some((channel) => channel.quantity === quantity && channel.missing < pull.log.rows));
}

function courseOf(setup: FittedSetup, source: SignSource, windows: TopEndWindows): Course | null {
  const pulls = setup.used.map((pull) => ({ ...pull, channel: source.channel(pull.run) })).filter(({ channel }) => channel !== null);
  const curve = pulls.length === 0 ? null : quantityCurve(pulls, windows.engineSpeedRpm);
  if (curve === null) return null;
  const low = curve.pulls.map((values) => mean(values, windows.low));
  const top = curve.pulls.map((values) => mean(values, windows.top));
  const both = Array.from(low.keys()).filter(
    (p) => Number.isFinite(low[p]!) && Number.isFinite(top[p]!) && (!source.relative || (low[p]! > 0 && top[p]! > 0)),
  );
  if (both.length === 0) return null;
  const average = (values: readonly number[]): number => both.reduce((sum, p) => sum + values[p]!, 0) / both.length;
  const at = Array.from(windows.engineSpeedRpm.keys()).filter((i) => i % traceStep === 0);
  return {
    low: average(low),
    top: average(top),
    trends: both.map((p) => (source.relative ? Math.log(top[p]! / low[p]!) : top[p]! - low[p]!)),
    samples: both
      .flatMap((p) => [samplesOf(pulls[p]!, windows.low, 'low'), samplesOf(pulls[p]!, windows.top, 'top')])
      .filter((one) => one !== null),
    trace: {
      setup: setup.name,
      engineSpeedRpm: at.map((i) => windows.engineSpeedRpm[i]!),
      value: at.map((i) => nullable(rounded(curve.mean[i]!))),
    },
    channels: [...new Set(both.map((p) => shownName(pulls[p]!.channel!.name)))],
    pulls: both.map((p) => pulls[p]!),
  };
}

/** The readings of a pull within a window; null where a value there is only drawn between readings further off. */
function samplesOf(
  pull: TrialPull & { readonly channel: ReturnType<SignSource['channel']> },
  window: RpmWindow,
  name: 'low' | 'top',
): TopEndSamples | null {
  const { timeS, engineSpeedRpm, values } = pullReadings(pull, pull.channel!);
  let [first, last, count, sum] = [-1, -1, 0, 0];
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let i = 0; i < values.length; i++) {
    const rpm = engineSpeedRpm[i]!;
    if (!(rpm >= window.fromRpm && rpm <= window.toRpm)) continue;
    if (first < 0) first = i;
    last = i;
    count++;
    sum += values[i]!;
    least = Math.min(least, rpm);
    most = Math.max(most, rpm);
  }
  if (count === 0) return null;
  return {
    setup: pull.run.inputs.setup,
    log: pull.run.inputs.log,
    startS: milli(timeS[first]!),
    endS: milli(timeS[last]!),
    fromRpm: Math.round(least),
    toRpm: Math.round(most),
    window: name,
    count,
    mean: rounded(sum / count),
  };
}

function trendOf(source: SignSource, after: Course, before: Course | null): Omit<Observed, 'weighed'> {
  // Between pulls a trend spreads about as between equal engines: a few pulls alone would promise too much.
  const { spread: usual } = healthySigns('comparison', 'none')[source.sign];
  const courses = before === null ? [after] : [after, before];
  const squares = courses.reduce((sum, { trends }) => sum + trends.reduce((s, value) => s + (value - average(trends)) ** 2, 0), 0);
  const degrees = courses.reduce((sum, { trends }) => sum + trends.length - 1, 0);
  const variance = (squares + knownDegrees * usual ** 2) / (degrees + knownDegrees);
  const spread = Math.sqrt(courses.reduce((sum, { trends }) => sum + variance / trends.length, 0));
  return {
    id: source.sign,
    name: topEndSigns[source.sign],
    channels: [...new Set(courses.flatMap(({ channels }) => channels))],
    unit: source.unit,
    before: before === null ? null : { low: nullable(before.low), top: nullable(before.top) },
    after: { low: nullable(after.low), top: nullable(after.top) },
    trend: average(after.trends) - (before === null ? 0 : average(before.trends)),
    trendSpread: spread,
    trendUnit: source.relative ? '1' : source.unit,
    samples: courses.flatMap(({ samples }) => samples),
    traces: courses.map(({ trace }) => trace),
  };
}

/** Whether readings of manifold pressure rest on a ceiling in the top window. */
function onCeiling(setup: FittedSetup, windows: TopEndWindows, ceilings: readonly FoundCeiling[]): boolean {
  return certaintyOf(setup, windows, ceilings) > 0;
}

/** 1 for a ceiling found at the top, 0.5 for a possible one, 0 for none. */
function certaintyOf(setup: FittedSetup, windows: TopEndWindows, ceilings: readonly FoundCeiling[]): number {
  const upper = ceilings.filter(({ quantity, ceiling }) => quantity === 'manifold-pressure' && ceiling.side === 'upper');
  const channel = signSources[0]!.channel;
  const sure = (found: readonly FoundCeiling[]): boolean => {
    if (found.length === 0) return false;
    const bounds = pullsCurve(setup.used, channel, windows.engineSpeedRpm, found, 'manifold-pressure')?.bounds ?? [];
    return bounds.slice(windows.top.from, windows.top.to).some((bound) => bound === 'at-least');
  };
  if (sure(upper.filter(({ ceiling }) => ceiling.certainty === 'found'))) return 1;
  return sure(upper) ? 0.5 : 0;
}

function ceilingSign(
  after: FittedSetup,
  before: FittedSetup | null,
  windows: TopEndWindows,
  ceilings: readonly FoundCeiling[],
  course: Course,
): Observed[] {
  const now = certaintyOf(after, windows, ceilings);
  const then = before === null ? null : certaintyOf(before, windows, ceilings);
  return [
    {
      id: 'sensor-ceiling',
      name: topEndSigns['sensor-ceiling'],
      channels: course.channels,
      unit: '1',
      before: then === null ? null : { low: null, top: then },
      after: { low: null, top: now },
      // A ceiling before hides as much as one after: either makes the difference at the top a bound.
      trend: Math.max(now, then ?? 0),
      trendSpread: 0.05,
      trendUnit: '1',
      samples: course.samples.filter(({ window }) => window === 'top'),
      traces: [],
      weighed: true,
    },
  ];
}

/** Pulls whose sweeps differ by this much are fast and slow ones. */
const leastSweepRatio = 1.25;

/** Trend of manifold pressure in fast sweeps less that in slow ones, of the later setup. */
function sweepSign({ pulls, trends, samples, channels }: Course): Observed[] {
  const rates = pulls.map(({ pull }) => {
    const durationS = pull.spans.reduce((sum, span) => sum + span.toS - span.fromS, 0);
    return ((pull.toRpm ?? Number.NaN) - (pull.fromRpm ?? Number.NaN)) / durationS;
  });
  const slowest = Math.min(...rates);
  const fastest = Math.max(...rates);
  if (!(fastest > leastSweepRatio * slowest)) return [];
  const middle = Math.sqrt(slowest * fastest);
  const fast = trends.filter((_, p) => rates[p]! > middle);
  const slow = trends.filter((_, p) => rates[p]! <= middle);
  const { spread } = healthySigns('comparison', 'none')['manifold-pressure'];
  return [
    {
      id: 'sweep-rate',
      name: topEndSigns['sweep-rate'],
      channels,
      unit: '1',
      before: null,
      after: { low: average(slow), top: average(fast) },
      trend: (average(fast) - average(slow)) / Math.log(fastest / slowest),
      trendSpread: (0.6 * spread * Math.sqrt(1 / fast.length + 1 / slow.length)) / Math.log(fastest / slowest),
      trendUnit: '1',
      samples: samples.filter(({ window }) => window === 'top'),
      traces: [],
      weighed: true,
    },
  ];
}

/** Share of the pulls in which the engine's control cut torque in the upper half of the engine speeds. */
function cutSign(after: FittedSetup, before: FittedSetup | null, windows: TopEndWindows): Observed[] {
  const share = (setup: FittedSetup): number =>
    setup.used.filter((pull) => pull.pull.cuts.some((cut) => cut.reason.startsWith('torque cut') && cutHigh(pull, cut, windows))).length /
    setup.used.length;
  const now = share(after);
  const then = before === null ? null : share(before);
  return [
    {
      id: 'torque-cuts',
      name: topEndSigns['torque-cuts'],
      channels: [
        ...new Set(after.used.flatMap(({ signals }) => (signals.engine === null ? [] : [shownName(signals.engine.channel.name)]))),
      ],
      unit: '1',
      before: then === null ? null : { low: null, top: then },
      after: { low: null, top: now },
      trend: now - (then ?? 0),
      trendSpread: 0.2 / Math.sqrt(after.used.length),
      trendUnit: '1',
      samples: [],
      traces: [],
      weighed: true,
    },
  ];
}

function cutHigh(
  { signals }: TrialPull,
  cut: { readonly fromS: number; readonly toS: number },
  { engineSpeedRpm }: TopEndWindows,
): boolean {
  const middleRpm = (engineSpeedRpm[0]! + engineSpeedRpm[engineSpeedRpm.length - 1]!) / 2;
  const { engine } = signals;
  return engine?.timeS.some((t, i) => t >= cut.fromS && t <= cut.toS && engine.values[i]! > middleRpm) === true;
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Mean of the known points of a window; NaN where fewer than half are known. */
function mean(values: Float64Array, { from, to }: RpmWindow): number {
  const known = Array.from(values.subarray(from, to)).filter((value) => !Number.isNaN(value));
  return known.length * 2 < to - from ? Number.NaN : average(known);
}

/** Five digits are more than any sensor has. */
function rounded(value: number): number {
  return Number.isFinite(value) ? Number(value.toPrecision(5)) : value;
}

/** Times to the millisecond. */
function milli(timeS: number): number {
  return Math.round(1000 * timeS) / 1000;
}
