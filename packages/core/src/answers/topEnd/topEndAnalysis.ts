import {
  type Aspiration,
  type MeasuredSign,
  needsBelt,
  needsBoost,
  type TopEndCause,
  type TopEndSign,
  topEndCauses,
  type WeighedCause,
  weighCauses,
} from '../../boost/index.js';
import type { FittedSetup, FoundCeiling } from '../../pulls/index.js';
import type { ExpectedRatioResult, TopEndAnalysis, TopEndCauseResult, TopEndFade, TopEndReason } from '../../result/index.js';
import { powerPastPeak, type TopEndWindows, type TorqueTrend, topEndWindows, torqueTrend } from './topEndFade.js';
import { type Observed, observedSigns, type SignGap } from './topEndSigns.js';
import {
  answerSentence,
  decidingStep,
  neededText,
  observationSentence,
  quietSentence,
  reasonSentence,
  type ShownUnits,
  spanText,
  topEndClearSpreads,
} from './topEndWords.js';

/** Points by which a cause must lead the next to be named alone: four times likelier under the stated model. */
const topEndMargin: number = Math.log(4);
/** Reasons smaller than this say nothing. */
const leastPoints = 0.25;
/** A fade is clear beyond this share of torque. */
const leastFade = 0.01;
/** Where even this much could hide in the uncertainty, nothing is said to hold. */
const worthSeeing = 0.03;
/**
 * An engine that breathes as it should is the usual case by far: four times as likely beforehand. A blower at its end and spark taken for heat show in
 * the widest variety of ways, which spreads their likelihood thin; a bypass and a torque limit a little: settled on simulated cases (seeds 5,001 to 5,672
 * of bench/topEndStudy.js) so that no class falls behind. Regression, not truth.
 */
const logPrior: Readonly<Partial<Record<TopEndCause, number>>> = {
  'own-breathing': Math.log(4),
  'blower-capacity': Math.log(1.6),
  'spark-heat': Math.log(1.8),
  'bypass-or-leak': Math.log(1.3),
  'torque-limit': Math.log(1.4),
};

/**
 * What limits the top end of a setup, by itself or against the one before.
 *
 * @param after the setup
 * @param before the one that it is held against; null for none
 * @param options ceilings of the trial's logs; `units` for people, default metric; and what the pulleys alone should have made of the pressure ratio before, where that is known
 */
export function topEndAnalysis(
  after: FittedSetup,
  before: FittedSetup | null,
  options: {
    readonly ceilings: readonly FoundCeiling[];
    readonly expectedRatio: ExpectedRatioResult | null;
    readonly units?: ShownUnits;
  },
): TopEndAnalysis {
  const curves = [after.curve, ...(before === null ? [] : [before.curve])].filter((curve) => curve !== null);
  const windows = curves.length < (before === null ? 1 : 2) ? null : topEndWindows(curves);
  if (windows === null) return nothingToSee(after, before);
  const { units = 'metric' } = options;
  const torque = torqueTrend(windows, after.curve!, before?.curve ?? null);
  const { observed, gaps, notLogged } = observedSigns(after, before, windows, options.ceilings);
  const all = [torqueSign(torque, before !== null), ...observed, ...levelSign(windows, options.expectedRatio)];
  const fade = fadeOf(after, before, windows, torque, all);
  const base = { before: before?.name ?? null, after: after.name, fade, margin: topEndMargin };
  const shown = {
    observations: all.map((one) => told(one, windows, units)),
    notLogged: notLogged.map((quantity) => quantity.replaceAll('-', ' ')),
  };
  if (fade.kind === 'nothing' || fade.kind === 'unclear') {
    const unclear = fade.kind === 'unclear';
    return {
      ...base,
      ...shown,
      answer: unclear ? 'too few data' : 'nothing fades',
      sentence: quietSentence(fade, before !== null),
      leading: unclear ? ['too-few-data'] : [],
      causes: [],
      leftOut: [],
      next: unclear ? [topEndCauses['too-few-data'].proof] : [],
    };
  }
  const { causes, leftOut } = causesFor(after, before !== null, all);
  const aspiration = aspirationOf(after, all);
  const weighed = weighCauses(
    all.filter((one) => one.weighed).map((one): MeasuredSign => ({ sign: one.id, trend: one.trend, spread: one.trendSpread })),
    { causes, kind: before === null ? 'single' : 'comparison', aspiration, logPrior },
  );
  const leading = weighed.filter(({ points }) => points > -topEndMargin).map(({ cause }) => cause);
  const results = weighed.map((one, i) => causeResult(one, i, { all, gaps, units }));
  return {
    ...base,
    ...shown,
    answer: leading.length === 1 ? (leading[0] === 'too-few-data' ? 'too few data' : 'one cause leads') : 'cannot tell',
    sentence: answerSentence(fade, results, leading),
    leading,
    causes: results,
    leftOut,
    next: [...new Set(leading.map((cause) => decidingStep(cause, gaps)))].slice(0, 4),
  };
}

function nothingToSee(after: FittedSetup, before: FittedSetup | null): TopEndAnalysis {
  return {
    before: before?.name ?? null,
    after: after.name,
    fade: {
      kind: 'unclear',
      lowRpm: null,
      topRpm: null,
      peakRpm: null,
      endRpm: null,
      lowShare: null,
      topShare: null,
      fade: null,
      fadeSpread: null,
    },
    answer: 'too few data',
    sentence: 'No pulls span 1,200 rpm or more in what is compared, so nothing is said about the top end.',
    leading: ['too-few-data'],
    margin: topEndMargin,
    causes: [],
    observations: [],
    leftOut: [],
    notLogged: [],
    next: ['Log pulls in one gear from low engine speed to the top.'],
  };
}

function torqueSign(torque: TorqueTrend, compared: boolean): Observed {
  return {
    id: 'torque',
    name: compared ? 'Torque, after against before' : 'Torque',
    channels: [],
    unit: '1',
    before: compared ? { low: 0, top: 0 } : null,
    after: compared ? { low: torque.lowLog, top: torque.topLog } : { low: null, top: null },
    trend: torque.trend,
    trendSpread: torque.spread,
    trendUnit: '1',
    samples: [],
    traces: [],
    weighed: true,
  };
}

/** Pressure ratio low down against what the pulleys alone should have made of the one before. */
function levelSign(windows: TopEndWindows, expected: ExpectedRatioResult | null): Observed[] {
  if (expected === null) return [];
  const at = expected.engineSpeedRpm.flatMap((rpm, i) => {
    const [seen, want, low, high] = [expected.seen[i], expected.expected[i], expected.low[i], expected.high[i]];
    const usable = rpm >= windows.low.fromRpm && rpm <= windows.low.toRpm && seen && want && low && high;
    return usable ? [{ off: Math.log(seen / want), spread: Math.log(high / low) / 4 }] : [];
  });
  if (at.length < 3) return [];
  const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
  return [
    {
      id: 'pressure-level',
      name: 'Pressure ratio low down against what the pulleys should make',
      channels: [],
      unit: '1',
      before: null,
      after: { low: mean(at.map(({ off }) => off)), top: null },
      trend: mean(at.map(({ off }) => off)),
      trendSpread: mean(at.map(({ spread }) => spread)),
      trendUnit: '1',
      samples: [],
      traces: [],
      weighed: true,
    },
  ];
}

/** Whether anything fades. A comparison: the gain in torque, or boost where the gain holds. One setup: power past its peak. */
function fadeOf(
  after: FittedSetup,
  before: FittedSetup | null,
  windows: TopEndWindows,
  torque: TorqueTrend,
  all: readonly Observed[],
): TopEndFade {
  const place = { lowRpm: rpmOf(windows.low), topRpm: rpmOf(windows.top) };
  const ceiling = (all.find(({ id }) => id === 'sensor-ceiling')?.trend ?? 0) > 0;
  const clear = (fade: number, spread: number): boolean => fade > topEndClearSpreads * spread && fade > leastFade;
  if (before === null) {
    const { peak, end, fade, spread } = powerPastPeak(windows, after.curve!);
    const rises = clear(-fade, spread);
    const hides = !rises && topEndClearSpreads * spread > worthSeeing;
    const peakLog = largestTorqueLog(after, windows);
    return {
      ...place,
      kind: clear(fade, spread) ? 'power' : ceiling ? 'boost' : hides ? 'unclear' : 'nothing',
      peakRpm: rpmOf(peak),
      endRpm: rpmOf(end),
      lowShare: Math.exp(torque.lowLog - peakLog),
      topShare: Math.exp(torque.topLog - peakLog),
      fade,
      fadeSpread: spread,
    };
  }
  const pressure = all.find(({ id }) => id === 'manifold-pressure');
  const boostFades = pressure !== undefined && clear(-pressure.trend, pressure.trendSpread) && pressure.trend < -leastBoostFade;
  const fade = -torque.trend;
  return {
    ...place,
    kind: clear(fade, torque.spread)
      ? 'gain'
      : boostFades || ceiling
        ? 'boost'
        : topEndClearSpreads * torque.spread > worthSeeing
          ? 'unclear'
          : 'nothing',
    peakRpm: null,
    endRpm: null,
    lowShare: Math.expm1(torque.lowLog),
    topShare: Math.expm1(torque.topLog),
    fade,
    fadeSpread: torque.spread,
  };
}

/** Boost alone must fade by this share of manifold pressure to be asked about. */
const leastBoostFade = 0.02;

function largestTorqueLog({ curve }: FittedSetup, windows: TopEndWindows): number {
  const place = new Map(Array.from(curve!.engineSpeedRpm, (rpm, i) => [rpm, i]));
  return Math.max(...Array.from(windows.engineSpeedRpm, (rpm) => Math.log(curve!.wheelPowerW[place.get(rpm)!]! / rpm)));
}

function rpmOf({ fromRpm, toRpm }: TopEndWindows['low']): readonly [number, number] {
  return [fromRpm, toRpm];
}

/** How the engine breathes: as entered, else by a blower entered or pressure above the weather's. */
function aspirationOf({ used }: FittedSetup, all: readonly Observed[]): Aspiration {
  const inputs = used[0]!.run.inputs;
  if (inputs.boostControl !== null) return inputs.boostControl;
  if (inputs.blower !== null) return 'fixed-ratio';
  const pressurePa = all.find(({ id }) => id === 'manifold-pressure')?.after.low ?? 0;
  return pressurePa > boosted * inputs.stationPressurePa.value ? 'controlled' : 'none';
}

/** Manifold pressure over the weather's beyond which an engine is boosted. */
const boosted = 1.08;

function causesFor(
  after: FittedSetup,
  compared: boolean,
  all: readonly Observed[],
): { readonly causes: TopEndCause[]; readonly leftOut: TopEndAnalysis['leftOut'] } {
  const aspiration = aspirationOf(after, all);
  const stated = after.used[0]!.run.inputs.boostControl !== null || after.used[0]!.run.inputs.blower !== null;
  const causes: TopEndCause[] = [];
  const leftOut: { cause: TopEndCause; name: string; reason: string }[] = [];
  const pressureLogged = all.some(({ id }) => id === 'manifold-pressure');
  for (const cause of Object.keys(topEndCauses) as TopEndCause[]) {
    const reason =
      aspiration === 'none' && needsBoost.has(cause)
        ? stated
          ? 'the trial says that the engine has no boost'
          : 'no blower was entered, and manifold pressure shows no boost or was not logged'
        : aspiration === 'controlled' && needsBelt.has(cause)
          ? stated
            ? 'boost is controlled, not driven by a belt, as the trial says'
            : 'no blower was entered'
          : cause === 'own-breathing' && compared
            ? 'the engine is the same before and after'
            : cause === 'too-few-data' && !compared
              ? 'the fall of power is clear of its band'
              : cause === 'sensor-ceiling' && !pressureLogged
                ? 'manifold pressure was not logged'
                : null;
    if (reason === null) causes.push(cause);
    else leftOut.push({ cause, name: topEndCauses[cause].name, reason });
  }
  return { causes, leftOut };
}

function told({ weighed, ...observed }: Observed, windows: TopEndWindows, units: ShownUnits): TopEndAnalysis['observations'][number] {
  return {
    ...observed,
    sentence: observationSentence({ ...observed, weighed }, spanText(rpmOf(windows.low)), spanText(rpmOf(windows.top)), units),
  };
}

function causeResult(
  weighed: WeighedCause,
  index: number,
  { all, gaps, units }: { readonly all: readonly Observed[]; readonly gaps: ReadonlyMap<TopEndSign, SignGap>; readonly units: ShownUnits },
): TopEndCauseResult {
  const { cause, points, weight } = weighed;
  const reasons = weighed.signs
    .filter((one) => Math.abs(one.points) >= leastPoints)
    .map(
      (one): TopEndReason => ({
        observation: one.sign,
        speaks: one.points > 0 ? 'for' : 'against',
        points: one.points,
        sentence: reasonSentence(cause, one, all.find(({ id }) => id === one.sign)!, units),
      }),
    )
    .sort((a, b) => Math.abs(b.points) - Math.abs(a.points));
  const seen = new Set<string>(all.map(({ id }) => id));
  const { name, decidedBy } = topEndCauses[cause];
  return {
    cause,
    name,
    rank: index + 1,
    points,
    weight,
    words: wordsFor(weight, points),
    speaksFor: reasons.filter(({ speaks }) => speaks === 'for'),
    speaksAgainst: reasons.filter(({ speaks }) => speaks === 'against'),
    notLogged: decidedBy.filter((sign) => !seen.has(sign)).map((sign) => neededText(sign, gaps)),
    wouldDecide: decidingStep(cause, gaps),
  };
}

function wordsFor(weight: number, points: number): TopEndCauseResult['words'] {
  if (weight >= 0.6) return 'well supported';
  if (weight >= 0.2) return 'supported';
  if (points > -3) return 'open';
  return points > -7 ? 'little supports it' : 'the log speaks against it';
}
