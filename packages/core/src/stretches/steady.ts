import { localPolynomial, lowerBound } from '../maths/index.js';
import type { Demand } from './demand.js';
import { joinableGapS, type MotionSignals, quantileOf, type Readings, valueAt } from './signals.js';
import type { Pull, Stretch, StretchKind } from './stretch.js';

interface Moment {
  readonly timeS: number;
  /** Road speed, m/s; NaN where unknown. */
  readonly speedMps: number;
  /** NaN where it cannot be told. */
  readonly accelerationMps2: number;
  readonly engineSpeedRpm: number;
  /** Share of full demand; NaN where unknown. */
  readonly demand: number;
}

const gridS = 0.5;
/** Between readings further apart than this nothing is told, however slow the log is. */
const longestGapS = 10;

/** The drive of one part of a log on a half-second grid, only where readings support it; one moment of which nothing is known stands for each gap. */
function moments(signals: MotionSignals, demand: Demand | null, part: { readonly from: number; readonly to: number }): Moment[] {
  const { engine, road, log } = signals;
  const gapOf = (readings: Readings | null): number => (readings === null ? 0 : Math.min(longestGapS, joinableGapS(readings)));
  const roadGapS = gapOf(road);
  const engineGapS = gapOf(engine);
  const demandGapS = gapOf(demand?.readings ?? null);
  const halfWidth = Math.min(longestGapS, road === null ? 1 : Math.max(1, 2.5 * (road.channel.refreshS?.median ?? 1)));
  const reachS = Math.max(roadGapS, engineGapS, demandGapS, halfWidth);
  const momentAt = (timeS: number): Moment => {
    const fit = road === null ? null : localPolynomial(road.timeS, road.values, timeS, { halfWidth, order: 1 });
    const asked = demand === null ? Number.NaN : valueAt(demand.readings, timeS, demandGapS);
    return {
      timeS,
      speedMps: road === null ? Number.NaN : valueAt(road, timeS, roadGapS),
      accelerationMps2: fit?.slope ?? Number.NaN,
      engineSpeedRpm: engine === null ? Number.NaN : valueAt(engine, timeS, engineGapS),
      demand: demand === null ? Number.NaN : (asked - demand.rest) / (demand.full - demand.rest),
    };
  };
  const out: Moment[] = [];
  const originS = log.timeS[part.from]!;
  for (let first = part.from; first < part.to; ) {
    let last = first;
    while (last + 1 < part.to && log.timeS[last + 1]! - log.timeS[last]! <= 2 * reachS) last++;
    const start = Math.ceil((log.timeS[first]! - originS) / gridS);
    // Counted, as half a second added to a broken time stamp may change nothing.
    const count = Math.floor((log.timeS[last]! - originS) / gridS) - start + 1;
    for (let i = 0; i < count; i++) out.push(momentAt(originS + (start + i) * gridS));
    if (last + 1 < part.to) out.push({ ...nothingKnown, timeS: log.timeS[last]! });
    first = last + 1;
  }
  return out;
}

const nothingKnown: Omit<Moment, 'timeS'> = {
  speedMps: Number.NaN,
  accelerationMps2: Number.NaN,
  engineSpeedRpm: Number.NaN,
  demand: Number.NaN,
};

interface Rule {
  readonly kind: StretchKind;
  readonly leastS: number;
  readonly evidence: string;
  readonly holds: (moment: Moment, idleRpm: number) => boolean;
}

const rules: readonly Rule[] = [
  {
    kind: 'idle',
    leastS: 3,
    evidence: 'engine turns at idle speed, demand at rest, car still or speed unknown',
    holds: (m, idleRpm) => Math.abs(m.engineSpeedRpm - idleRpm) < Math.max(120, 0.15 * idleRpm) && !(m.speedMps > 0.7) && !(m.demand > 0.1),
  },
  {
    kind: 'coast',
    leastS: 4,
    evidence: 'car rolls and slows, demand at rest, engine at idle speed: neutral or clutch down',
    holds: (m, idleRpm) =>
      m.speedMps > 5 &&
      m.accelerationMps2 < -0.02 &&
      m.accelerationMps2 > -1.2 &&
      Math.abs(m.engineSpeedRpm - idleRpm) < Math.max(150, 0.2 * idleRpm) &&
      !(m.demand > 0.1),
  },
  {
    kind: 'cruise',
    leastS: 5,
    evidence: 'road speed steady within 0.25 m/s², demand between rest and full',
    holds: (m) =>
      m.speedMps > 8 && Math.abs(m.accelerationMps2) < 0.25 && !(m.demand > 0.7) && !(m.demand < 0.02) && m.engineSpeedRpm > 900,
  },
];

/** Speed at which the engine idles: the usual value while the car stands and nothing is asked; 850 rpm is used to look for it. */
function idleSpeedRpm(list: readonly Moment[]): number {
  const standing = list
    .filter((m) => m.engineSpeedRpm > 350 && m.engineSpeedRpm < 1500 && !(m.speedMps > 0.7) && !(m.demand > 0.1))
    .map((m) => m.engineSpeedRpm);
  return standing.length >= 4 ? quantileOf(standing, 0.5) : 850;
}

/** Finds idle, cruise and neutral coast-downs. */
export function findSteadyStretches(signals: MotionSignals, demand: Demand | null): Stretch[] {
  const { log } = signals;
  const stretches: Stretch[] = [];
  for (const part of log.parts) {
    const list = moments(signals, demand, part);
    const idleRpm = idleSpeedRpm(list);
    for (const rule of rules) {
      let from = -1;
      for (let i = 0; i <= list.length; i++) {
        const holds = i < list.length && rule.holds(list[i]!, idleRpm);
        if (holds && from < 0) from = i;
        if (!holds && from >= 0) {
          const span = list.slice(from, i);
          if (span[span.length - 1]!.timeS - span[0]!.timeS >= rule.leastS) stretches.push(stretchOf(rule, span));
          from = -1;
        }
      }
    }
  }
  return stretches.sort((a, b) => a.startS - b.startS);
}

function stretchOf(rule: Rule, span: readonly Moment[]): Stretch {
  const rpm = span.map((m) => m.engineSpeedRpm).filter((value) => !Number.isNaN(value));
  const ratios = span.filter((m) => m.speedMps > 3).map((m) => m.engineSpeedRpm / m.speedMps);
  return {
    kind: rule.kind,
    startS: span[0]!.timeS,
    endS: span[span.length - 1]!.timeS,
    fromRpm: rpm.length === 0 ? null : Math.min(...rpm),
    toRpm: rpm.length === 0 ? null : Math.max(...rpm),
    rpmPerMps: rule.kind === 'cruise' && ratios.length > 2 ? quantileOf(ratios, 0.5) : null,
    evidence: rule.evidence,
  };
}

/** A standing start followed by full load through at least two gears, over at least 180 m. */
export function findPasses(signals: MotionSignals, pulls: readonly Pull[]): Stretch[] {
  const { road } = signals;
  if (road === null) return [];
  const passes: Stretch[] = [];
  for (let first = 0; first < pulls.length; first++) {
    const launchS = lastStandstillBefore(road, pulls[first]!.startS, 8);
    if (launchS === null) continue;
    let last = first;
    while (last + 1 < pulls.length && pulls[last + 1]!.startS - pulls[last]!.endS < 2) last++;
    if (last === first) continue;
    const endS = pulls[last]!.endS;
    if (distanceM(road, launchS, endS) < 180) continue;
    passes.push({
      kind: 'pass',
      startS: launchS,
      endS,
      fromRpm: pulls[first]!.fromRpm,
      toRpm: pulls[last]!.toRpm,
      rpmPerMps: null,
      evidence: `standing start, then full load through ${last - first + 1} gears`,
    });
    first = last;
  }
  return passes;
}

function lastStandstillBefore(road: Readings, beforeS: number, withinS: number): number | null {
  for (let i = lowerBound(road.timeS, beforeS) - 1; i >= 0 && road.timeS[i]! > beforeS - withinS; i--) {
    if (road.values[i]! < 1) return road.timeS[i]!;
  }
  return null;
}

function distanceM(road: Readings, fromS: number, toS: number): number {
  let sum = 0;
  for (let i = Math.max(1, lowerBound(road.timeS, fromS)); i < road.timeS.length && road.timeS[i]! <= toS; i++) {
    sum += ((road.values[i]! + road.values[i - 1]!) / 2) * (road.timeS[i]! - road.timeS[i - 1]!);
  }
  return sum;
}
