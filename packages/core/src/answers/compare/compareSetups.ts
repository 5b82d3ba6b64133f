import {
  type AirShare,
  bandPartNames,
  changeSpans,
  combined,
  judgeChannel,
  overallVerdict,
  type PowerDifference,
  powerDifference,
  powerRules,
  smallestClaimW,
  type VerdictReasonCode,
  type VerdictRegion,
  verdictReasons,
  verdictRegions,
} from '../../compare/index.js';
import type { Finding } from '../../findings/index.js';
import type { Log, Quantity } from '../../log/index.js';
import type { Repeatability } from '../../power/index.js';
import type { FittedSetup, FoundCeiling } from '../../pulls/index.js';
import { channelOf, type PullsCurve, pullsCurve, tooFewReadings } from '../../pulls/index.js';
import type { ChangedBesides, ComparisonResult, Contradiction, OverallResult, Standing } from '../../result/index.js';
import { nullable } from '../../result/index.js';
import type { QuantityCurve } from '../../stretches/index.js';
import type { RunInputs } from '../../trial/index.js';
import { differenceBudget, inputStanding } from '../power/budget.js';
import { becauseOf } from './because.js';
import { comparisonSentence, peopleUnits } from './comparisonText.js';
import { conditionChanges, type SeenChange } from './conditionChanges.js';
import { contradictionBlocks } from './contradictionBlocks.js';
import { airExplanation, explanationResults, otherExplanations } from './explanations/index.js';
import { nextSteps } from './nextSteps.js';

/** One pair compared. */
export interface ComparedPair {
  readonly overall: OverallResult;
  readonly comparison: ComparisonResult;
  readonly findings: readonly Finding[];
}

/** Compares two fitted setups: difference with band, regions, what else changed, verdict and sentence. */
export function compareSetups(
  before: FittedSetup,
  after: FittedSetup,
  spread: Repeatability,
  options: {
    readonly units: 'metric' | 'imperial';
    /** Why a difference beyond usual parts is expected; null where the trial says nothing of it. */
    readonly expectedLarge: string | null;
    readonly hashOf: (inputs: RunInputs) => string;
    readonly ceilings: readonly FoundCeiling[];
    /** Whether the speeds of a log contradict their name or unit. */
    readonly speedsInDoubt: (log: Log) => boolean;
    /** What is known twice and does not agree. */
    readonly contradictions: readonly Contradiction[];
  },
): ComparedPair {
  const findings: Finding[] = [];
  const sameFile = sameRecording(before, after, options.hashOf);
  const identical = sameFile && sameInputs(before, after);
  if (sameFile) {
    findings.push({
      code: 'W_SAME_FILE',
      severity: 'warning',
      message: `${before.name} and ${after.name} rest on the same recording.`,
      where: { setup: after.name },
      fix: 'Give each setup its own logs, or its own span with from and to.',
    });
  }
  const difference =
    before.curve === null || after.curve === null
      ? null
      : powerDifference(
          { curve: before.curve, pulls: before.used.map((pull) => pull.prepared!) },
          { curve: after.curve, pulls: after.used.map((pull) => pull.prepared!) },
          spread,
          { identical },
        );
  const airBetween = difference === null || difference.identical ? null : airExplanation(before, after, difference);
  const air = difference === null ? null : (airBetween?.share ?? noAir(difference));
  const explanations =
    difference === null || airBetween === null ? [] : [airBetween, ...otherExplanations(before, after, difference, options)];
  const open = difference === null ? null : combined(explanations, difference.differenceW.length);
  const besides = difference === null ? undefined : combined(explanations.slice(1), difference.differenceW.length);
  const regions = difference === null || open === null ? [] : verdictRegions(difference, open, besides);
  const weatherUnknown = airBetween?.weatherUnknown ?? false;
  const outingAssumed = difference !== null && !identical && difference.contrast.outingFactor > 1e-9 && !spread.outingMeasured;
  const blocking = contradictionBlocks(options.contradictions, { before: before.name, after: after.name }, difference, regions);
  const judged = overallVerdict(difference, regions, explanations, {
    weatherUnknown,
    contradicted: blocking.length > 0,
    missingPulls: [before, after].some((setup) => setup.used.length === 0 && tooFewReadings(setup) === null),
    undetermined: before.curve === null || after.curve === null,
    repeatabilityKnown: spread.pullMeasured,
    outingAssumed,
    speedInDoubt: [...before.used, ...after.used].some(({ log }) => options.speedsInDoubt(log)),
  });
  for (const reason of judged.reasons) findings.push(reasonFinding(reason, before.name, after.name));
  const explained = difference === null ? [] : explanationResults(difference, explanations);
  const because = becauseOf(judged.reasons, explained, { weatherUnknown, contradiction: blocking[0] ?? null });
  const couldShowW = difference === null || open === null || difference.identical ? null : smallestClaimW(difference, open);
  const told = judged.verdict === 'cannot tell' ? regions.map(unclaimed) : regions;
  const changedBesides =
    difference === null || air === null
      ? []
      : otherChanges(
          before,
          after,
          {
            difference,
            // A verdict that cannot tell claims no place where power changed.
            spans: changeSpans(difference, told),
            air,
            airTold: judged.reasons.includes('AIR_COULD_EXPLAIN'),
          },
          options.ceilings,
        );
  const outings = outingCount(before, after);
  const sentence = comparisonSentence(judged.verdict, told, difference, {
    units: peopleUnits(options.units),
    pullsBefore: before.used.length,
    pullsAfter: after.used.length,
    outings,
    reasons: judged.reasons,
    because,
    couldShowW,
  });
  return {
    overall: {
      before: before.name,
      after: after.name,
      sentence,
      verdict: judged.verdict,
      reasons: judged.reasons,
      because,
      couldShowW,
      next: nextSteps({ ...judged, changedBesides, difference, before, after, outingAssumed }),
    },
    comparison: {
      before: before.name,
      after: after.name,
      wheelPowerW: powerResult(difference, air, judged.reasons),
      regions: told,
      explanations: explained,
      changedBesides,
      bandParts: (difference?.parts ?? []).map(({ name, share }) => ({
        name,
        share,
        standing: standingOf(name, spread, [...before.used, ...after.used]),
      })),
      budget: difference === null || difference.identical ? null : differenceBudget(before, after, difference, spread),
    },
    findings,
  };
}

/** Where nothing may be claimed, a region keeps its numbers but not its verdict. */
function unclaimed(region: VerdictRegion): VerdictRegion {
  return { ...region, verdict: 'no clear change' };
}

function sameRecording(before: FittedSetup, after: FittedSetup, hashOf: (inputs: RunInputs) => string): boolean {
  const list = (setup: FittedSetup): string =>
    JSON.stringify(setup.runs.map(({ inputs }) => [hashOf(inputs), inputs.fromTimeS, inputs.toTimeS]).sort());
  return list(before) === list(after);
}

/** True where nothing but names differs, so that the difference is nothing at all. */
function sameInputs(before: FittedSetup, after: FittedSetup): boolean {
  const list = (setup: FittedSetup): string =>
    JSON.stringify(
      setup.used.map(({ prepared, pull }) => {
        const { carKey, runKey, windKey, gradeKey, ...numbers } = prepared!.conditions;
        return [numbers, prepared!.motion.rpmPerMps, pull.startS, pull.endS];
      }),
    );
  return list(before) === list(after);
}

/** Of one recording and the same inputs the air made nothing. */
function noAir({ differenceW }: PowerDifference): AirShare {
  const none = differenceW.map(() => 0);
  return { lowW: none, highW: none, mostW: none };
}

function reasonFinding(code: VerdictReasonCode, before: string, after: string): Finding {
  const { severity, sentence, remedy } = verdictReasons[code];
  return { code, severity, message: `${before} to ${after}: ${sentence}`, where: { setup: after }, fix: remedy };
}

/** Outings that the used pulls come from; null where any is unknown. */
function outingCount(before: FittedSetup, after: FittedSetup): number | null {
  const names = [...before.used, ...after.used].map((pull) => pull.run.inputs.outing);
  return names.includes(null) ? null : new Set(names).size;
}

function standingOf(name: string, spread: Repeatability, pulls: FittedSetup['used']): Standing {
  if (name === bandPartNames.noise || name === bandPartNames.shape) return 'measured';
  if (name === bandPartNames.pulls) return spread.pullMeasured ? 'measured' : 'assumed';
  if (name === bandPartNames.outings) return spread.outingMeasured ? 'measured' : 'assumed';
  return inputStanding(name, pulls);
}

function powerResult(
  difference: PowerDifference | null,
  air: AirShare | null,
  reasons: readonly VerdictReasonCode[],
): ComparisonResult['wheelPowerW'] {
  const base = { level: 0.95, simultaneous: true };
  if (difference === null || air === null) {
    return {
      ...base,
      engineSpeedRpm: [],
      difference: [],
      low: [],
      high: [],
      airCouldExplainW: [],
      airLowW: [],
      airHighW: [],
      status: reasons.map((reason) => verdictReasons[reason].sentence).join(' '),
    };
  }
  const { differenceW, band, engineSpeedRpm } = difference;
  return {
    ...base,
    engineSpeedRpm: Array.from(engineSpeedRpm),
    difference: Array.from(differenceW, nullable),
    low: Array.from(differenceW, (w, i) => nullable(w - band.simultaneous[i]!)),
    high: Array.from(differenceW, (w, i) => nullable(w + band.simultaneous[i]!)),
    eachSpeed: {
      low: Array.from(differenceW, (w, i) => nullable(w - band.pointwise[i]!)),
      high: Array.from(differenceW, (w, i) => nullable(w + band.pointwise[i]!)),
    },
    airCouldExplainW: Array.from(air.mostW, nullable),
    airLowW: Array.from(air.lowW, nullable),
    airHighW: Array.from(air.highW, nullable),
  };
}

/** What else was different: channels at equal engine speed first, then conditions. */
function otherChanges(before: FittedSetup, after: FittedSetup, seen: SeenChange, ceilings: readonly FoundCeiling[]): ChangedBesides[] {
  const { difference, spans } = seen;
  const power = { beforeW: difference.beforeW, differenceW: difference.differenceW, halfW: difference.band.simultaneous };
  const changes: ChangedBesides[] = [];
  for (const rule of powerRules) {
    const quantity = rule.quantity as Quantity;
    const curves = [before, after].map((setup) =>
      pullsCurve(setup.used, channelOf([quantity]), difference.engineSpeedRpm, ceilings, quantity),
    );
    const [first, second] = [curves[0] ?? null, curves[1] ?? null];
    if (first === null || second === null) continue;
    const judged = judgeChannel(rule, freeOfCeilings(first), freeOfCeilings(second), power, spans);
    if (judged !== null) changes.push(judged);
    else if ([...first.bounds, ...second.bounds].some((bound) => bound !== null)) changes.push(atItsCeiling(rule.quantity, rule.unit));
  }
  return [...changes, ...conditionChanges(before, after, seen)];
}

/** The curve without the engine speeds at which a sensor stood at its ceiling: such readings are bounds, and enter no average. */
function freeOfCeilings({ curve, bounds }: PullsCurve): QuantityCurve {
  if (bounds.every((bound) => bound === null)) return curve;
  return {
    ...curve,
    mean: curve.mean.map((value, i) => (bounds[i] === null ? value : Number.NaN)),
    count: curve.count.map((value, i) => (bounds[i] === null ? value : 0)),
  };
}

function atItsCeiling(quantity: string, unit: string): ChangedBesides {
  return {
    quantity,
    before: null,
    after: null,
    unit,
    couldExplain: 'cannot tell',
    reason: 'the sensor stood at the end of its range, so how far it moved cannot be told',
    couldExplainW: null,
  };
}
