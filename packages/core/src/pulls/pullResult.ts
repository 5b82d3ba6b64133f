import { channelsOf, findChannel } from '../log/index.js';
import { lowerBound } from '../maths/index.js';
import type { PullResult } from '../result/index.js';
import { nullable } from '../result/index.js';
import { type LocatedPull, pullReadings, quantileOf, readingsBetween, valueAt } from '../stretches/index.js';
import type { TrialPull } from './trialPull.js';

/** Most points of a pull's picture. */
const tracePoints = 120;
const leadS = 1.5;

/** A pull as the result shows it. */
export function pullResult(
  pull: TrialPull,
  curve: { readonly engineSpeedRpm: Float64Array; readonly powerW: Float64Array | null },
  scale: number | null,
): PullResult {
  const { inputs } = pull.run;
  const charge = chargeTemperatures(pull);
  return {
    log: inputs.log,
    outing: inputs.outing ?? 'unknown',
    gear: pull.gear,
    startS: pull.pull.startS,
    endS: pull.pull.endS,
    fromRpm: pull.pull.fromRpm ?? 0,
    toRpm: pull.pull.toRpm ?? 0,
    massKg: inputs.massKg.value,
    airDensityKgPerM3: inputs.airDensityKgPerM3.value,
    speedSource: pull.speedSource,
    scale: nullable(scale),
    used: pull.prepared !== null,
    cutReason: pull.cutReason ?? (pull.pull.cuts.length === 0 ? null : [...new Set(pull.pull.cuts.map((cut) => cut.reason))].join('; ')),
    startChargeTemperatureK: charge.start,
    endChargeTemperatureK: charge.end,
    leanestLambda: extreme(pull, 'lambda', 0.98),
    largestKnockRetardDeg: extreme(pull, 'knock-retard', 1),
    wheelPowerW: {
      engineSpeedRpm: Array.from(curve.engineSpeedRpm),
      value: Array.from(curve.powerW ?? new Float64Array(curve.engineSpeedRpm.length).fill(Number.NaN), nullable),
    },
    trace: trace(pull),
  };
}

/** Charge temperature, else intake temperature, at the start and end of the used part. */
export function chargeTemperatures(pull: LocatedPull): { readonly start: number | null; readonly end: number | null } {
  const channel = findChannel(pull.log, 'charge-temperature') ?? findChannel(pull.log, 'intake-temperature');
  if (channel === null) return { start: null, end: null };
  const { values } = readingsBetween(pull.log, channel, pull.pull.startS, pull.pull.endS);
  const known = values.filter((value) => !Number.isNaN(value));
  if (known.length === 0) return { start: null, end: null };
  return { start: known[0]!, end: known[known.length - 1]! };
}

/** A high quantile of the worst channel of this quantity over the used parts; null where none was logged. */
function extreme(pull: TrialPull, quantity: 'lambda' | 'knock-retard', share: number): number | null {
  const worst = channelsOf(pull.log, quantity).flatMap((channel) => {
    const { values } = pullReadings(pull, channel);
    return values.length === 0 ? [] : [quantileOf(quantity === 'knock-retard' ? values.map(Math.abs) : values, share)];
  });
  return worst.length === 0 ? null : Math.max(...worst);
}

/** The recording around the pull, thinned. */
function trace(pull: TrialPull): PullResult['trace'] {
  const { engine, road } = pull.signals;
  if (engine === null) return { timeS: [], engineSpeedRpm: [], roadSpeedMps: [], kept: [] };
  const from = lowerBound(engine.timeS, pull.pull.startS - leadS);
  const to = lowerBound(engine.timeS, pull.pull.endS + leadS);
  const step = Math.max(1, Math.ceil((to - from) / tracePoints));
  const timeS: number[] = [];
  const engineSpeedRpm: (number | null)[] = [];
  const roadSpeedMps: (number | null)[] = [];
  const kept: (0 | 1)[] = [];
  for (let i = from; i < to; i += step) {
    const t = engine.timeS[i]!;
    timeS.push(round(t - pull.pull.startS, 3));
    engineSpeedRpm.push(nullable(engine.values[i]!));
    const speed = road === null ? Number.NaN : valueAt(road, t, 3 * (road.channel.refreshS?.median ?? 1));
    roadSpeedMps.push(nullable(round(speed, 3)));
    kept.push(pull.prepared !== null && pull.pull.spans.some((span) => t >= span.fromS && t <= span.toS) ? 1 : 0);
  }
  return { timeS, engineSpeedRpm, roadSpeedMps, kept };
}

function round(value: number, digits: number): number {
  const factor = 10 ** digits;
  return Math.round(value * factor) / factor;
}
