import type { Finding } from '../findings/index.js';
import { type Channel, channelsOf } from '../log/index.js';
import { cholesky, choleskySolve, lowerBound, pooledEstimates } from '../maths/index.js';
import type { RoadProfile, Uncertain } from '../power/index.js';
import type { TrialResult } from '../result/index.js';
import { type Pull, quantileOf, readingsBetween, valueAt } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';
import { AssumptionLedger, defaults } from '../trial/index.js';
import { type AltitudePass, fitRoadGrade, type PassGrade } from '../vehicle/index.js';
import { headingsOf } from './headings.js';
import type { LoadedRun } from './loadedRun.js';

/** Grade of the road under one pull as altitude tells it; uphill positive as driven. */
export interface MeasuredGrade {
  /** In the middle of the pull's distance; its spread is shared by pulls with the same key. */
  readonly grade: Uncertain;
  readonly gradeKey: string;
  readonly road: RoadProfile;
}

/** A trial's runs with the grades that their altitude gave. */
export interface GradedRuns {
  readonly runs: readonly LoadedRun[];
  /** By the pull as found in its log; pulls without an entry keep the grade of their run. */
  readonly grades: ReadonlyMap<Pull, MeasuredGrade>;
  readonly findings: readonly Finding[];
}

/** A receiver shows altitude late by up to about this, s; common practice, no source. */
const lagS = 0.3;
/** Change of grade along a pull that is believed beforehand: as large as the assumed grade itself. */
const usualChange = defaults.grade.spread;

interface Candidate {
  readonly run: LoadedRun;
  readonly pull: Pull;
  readonly channel: Channel;
  readonly pass: AltitudePass;
  readonly placeAt: (speedMps: number) => number;
  /** Gain of speed over the length, 1/s: what a late altitude does to the grade. */
  readonly speedPerLength: number;
  readonly key: string;
}

/**
 * Grade along every pull from the altitude that its log holds, where no grade was entered and altitude tells it better than the default does.
 *
 * Pulls of one road and direction are pooled: as far as they agree they share one grade, and its error, so that it cancels in a difference;
 * where they differ by more than their errors each keeps its own.
 *
 * @param runs Every run, read and searched.
 * @returns Runs whose grade is now measured, the grade of each pull, and findings that say what was used or why not.
 *
 * Validity: as `fitRoadGrade`; altitude from air pressure is refused, because the car's own wind moves it.
 */
export function withRoadGrades(runs: readonly LoadedRun[]): GradedRuns {
  const findings: Finding[] = [];
  const along = headingsOf(runs.map(({ inputs }) => inputs.direction));
  const candidates = runs.flatMap((run): Candidate[] => {
    if (run.inputs.grade.standing !== 'assumed' || channelsOf(run.log, 'altitude').length === 0 || run.found.pulls.length === 0) return [];
    const { heading, road } = along(run.inputs.direction);
    const key = `${road ?? run.inputs.outing ?? `log ${run.inputs.log}`}, ${heading > 0 ? 'there' : 'back'}, measured`;
    const { found, reason } = candidatesOf(run, key);
    if (reason !== null) findings.push(notUsed(run, reason));
    return found;
  });
  const grades = new Map<Pull, MeasuredGrade>();
  // One receiver in one log has one noise; pulls of several runs that share a log are found in the same list.
  const once = [...new Map(candidates.map((one) => [one.pull, one])).values()];
  const fitted = [...grouped(once, ({ run, channel }) => `${run.inputs.log} ${channel.column}`)].flatMap((group) =>
    fitRoadGrade(group.map(({ pass }) => pass)).passes.map((grade, i) => ({ ...group[i]!, fit: grade })),
  );
  const known = fitted.filter(({ fit }) => Number.isFinite(fit.grade.value + fit.grade.spread));
  for (const group of grouped(known, ({ key }) => key)) for (const [pull, grade] of gradesOf(group)) grades.set(pull, grade);
  const out = runs.map((run): LoadedRun => {
    const own = candidates.filter((candidate) => candidate.run === run);
    if (own.length === 0) return run;
    const pulls = new Set(own.map(({ pull }) => pull));
    const measured = own.flatMap(({ pull }) => grades.get(pull) ?? []);
    if (measured.length < own.length) {
      for (const { pull } of own) grades.delete(pull);
      findings.push(notUsed(run, whyNot(fitted.filter((one) => pulls.has(one.pull)))));
      return run;
    }
    findings.push(used(run, own[0]!.channel, measured));
    return { ...run, inputs: { ...run.inputs, grade: gradeOfRun(measured, own[0]!.channel) } };
  });
  return { runs: out, grades, findings };
}

function grouped<T>(list: readonly T[], keyOf: (one: T) => string): Iterable<T[]> {
  const groups = new Map<string, T[]>();
  for (const one of list) groups.set(keyOf(one), [...(groups.get(keyOf(one)) ?? []), one]);
  return groups.values();
}

/** Pulls of a run along which altitude was read often enough, or why there are none. */
function candidatesOf(run: LoadedRun, key: string): { readonly found: Candidate[]; readonly reason: string | null } {
  const { log, found, inputs } = run;
  const channel = channelsOf(log, 'altitude').find(({ name }) => !/baro|press|druck|qnh/i.test(name));
  if (channel === undefined) {
    return { found: [], reason: 'it comes from air pressure, which the car’s own wind moves by metres' };
  }
  const { road } = found.signals;
  if (road === null) return { found: [], reason: 'the log has no road speed that would tell distance' };
  const from = inputs.fromTimeS ?? Number.NEGATIVE_INFINITY;
  const to = inputs.toTimeS ?? Number.POSITIVE_INFINITY;
  const list = found.pulls
    .filter((pull) => pull.startS >= from && pull.endS <= to)
    .map((pull): Candidate | null => {
      const fromS = pull.spans[0]!.fromS;
      const toS = pull.spans[pull.spans.length - 1]!.toS;
      const first = Math.max(0, lowerBound(road.timeS, fromS) - 1);
      const last = Math.min(road.timeS.length, lowerBound(road.timeS, toS) + 2);
      const timeS = road.timeS.subarray(first, last);
      const speedMps = road.values.subarray(first, last);
      const distanceM = new Float64Array(timeS.length);
      for (let i = 1; i < timeS.length; i++) {
        distanceM[i] = distanceM[i - 1]! + ((timeS[i]! - timeS[i - 1]!) * (speedMps[i]! + speedMps[i - 1]!)) / 2;
      }
      const altitude = readingsBetween(log, channel, fromS, toS);
      const placed = Array.from(altitude.timeS, (t) => valueAt({ timeS, values: distanceM }, t, Number.POSITIVE_INFINITY));
      const pass = { timeS: altitude.timeS, distanceM: placed, altitudeM: altitude.values, quantumM: channel.quantum };
      if (placed.filter(Number.isFinite).length < 5) return null;
      const [startM, endM] = [placed.find(Number.isFinite)!, placed.findLast(Number.isFinite)!];
      const places = distanceM.map((s) => (s - (startM + endM) / 2) / (endM - startM));
      const gain = quantileOf(speedMps, 0.95) - quantileOf(speedMps, 0.05);
      return { run, pull, channel, pass, placeAt: placeBySpeed(speedMps, places), speedPerLength: gain / (endM - startM), key };
    });
  const kept = list.filter((one) => one !== null);
  const different = new Set(kept.flatMap(({ pass }) => Array.from(pass.altitudeM)));
  if (different.size < 4) return { found: [], reason: 'it hardly changes: its steps hide the grade' };
  if (kept.length < list.length) return { found: [], reason: 'it is new fewer than five times in a pull' };
  return { found: kept, reason: null };
}

/** Place along a pull as a cubic of speed, which rises with it; never beyond its ends. */
function placeBySpeed(speedMps: Float64Array, places: Float64Array): (speedMps: number) => number {
  const middle = quantileOf(speedMps, 0.5);
  const scale = Math.max(1, quantileOf(speedMps, 0.95) - quantileOf(speedMps, 0.05));
  const powers = (v: number): number[] => [0, 1, 2, 3].map((power) => ((v - middle) / scale) ** power);
  const normal = new Float64Array(16);
  const right = new Float64Array(4);
  speedMps.forEach((v, i) => {
    const row = powers(v);
    row.forEach((a, j) => {
      right[j] = right[j]! + a * places[i]!;
      row.forEach((b, k) => {
        normal[j * 4 + k] = normal[j * 4 + k]! + a * b;
      });
    });
  });
  for (let j = 0; j < 4; j++) normal[j * 5] = normal[j * 5]! + 1e-6;
  const coefficients = choleskySolve(cholesky(normal, 4)!, 4, right);
  return (v) =>
    Math.min(
      0.5,
      Math.max(
        -0.5,
        powers(v).reduce((sum, power, j) => sum + power * coefficients[j]!, 0),
      ),
    );
}

/** Pools the passes of one road and direction; a pull whose grade is known no better than the default gets none. */
function gradesOf(group: readonly (Candidate & { readonly fit: PassGrade })[]): [Pull, MeasuredGrade][] {
  const middle = pooledEstimates(group.map(({ fit }) => fit.grade));
  const change = pooledEstimates(group.map(({ fit }) => fit.change));
  // Change along a pull is drawn to none, as far as the passes do not show more of it than is usual.
  const mean = meanOf(change.values);
  const commonVariance = meanOf(change.commonSpreads) ** 2;
  const usual = Math.max(usualChange ** 2, mean ** 2 - commonVariance);
  const keep = usual / (usual + commonVariance);
  return group.flatMap(({ pull, run, speedPerLength, placeAt, key }, i): [Pull, MeasuredGrade][] => {
    const value = middle.values[i]!;
    const commonSpread = Math.hypot(middle.commonSpreads[i]!, value * lagS * speedPerLength);
    if (!(Math.hypot(commonSpread, middle.ownSpreads[i]!) < defaults.grade.spread)) return [];
    return [
      [
        pull,
        {
          grade: { value, spread: commonSpread },
          gradeKey: key,
          road: {
            placeAt,
            change: { value: change.values[i]! - (1 - keep) * mean, spread: Math.sqrt(keep) * change.commonSpreads[i]! },
            ownGradeSpread: middle.ownSpreads[i]!,
            ownChangeSpread: change.ownSpreads[i]!,
            key: `${run.inputs.log} ${pull.startS}`,
          },
        },
      ],
    ];
  });
}

function gradeOfRun(measured: readonly MeasuredGrade[], channel: Channel): RunInputs['grade'] {
  const own = meanOf(measured.map(({ road }) => road.ownGradeSpread)) / Math.sqrt(measured.length);
  return {
    value: meanOf(measured.map(({ grade }) => grade.value)),
    spread: Math.hypot(meanOf(measured.map(({ grade }) => grade.spread)), own),
    standing: 'measured',
    source: `altitude of the log (${channel.name})`,
  };
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

const percent = (share: number): string => `${(100 * share).toFixed(2)} %`;

function used({ inputs }: LoadedRun, channel: Channel, measured: readonly MeasuredGrade[]): Finding {
  const { value, spread } = gradeOfRun(measured, channel);
  const most = Math.max(...measured.map(({ road }) => Math.abs(road.change.value)));
  const bend = most < 0.001 ? '' : `, and changes by up to ${percent(most)} along a pull`;
  return {
    code: 'GRADE_MEASURED',
    severity: 'note',
    message: `${inputs.log}: the road under the pulls rises by ${percent(value)} ± ${percent(spread)} as ${channel.name} says${bend}. That is used in place of the assumed grade.`,
    where: { path: inputs.log, setup: inputs.setup },
    fix: 'Give grade for the run if you know it better, such as from a map.',
  };
}

function whyNot(fitted: readonly (Candidate & { readonly fit: PassGrade })[]): string {
  const spreads = fitted.map(({ fit }) => fit.grade.spread);
  if (spreads.length === 0 || spreads.some(Number.isNaN)) return 'a pull is too short for it, under 3 s or 30 m';
  return `it wanders too much: a pull’s grade is known to ± ${percent(Math.max(...spreads))}, no better than the assumed ± ${percent(defaults.grade.spread)}`;
}

function notUsed({ inputs }: LoadedRun, reason: string): Finding {
  return {
    code: 'GRADE_NOT_MEASURED',
    severity: 'note',
    message: `${inputs.log}: altitude was logged, but the grade of the road is assumed all the same, because ${reason}.`,
    where: { path: inputs.log, setup: inputs.setup },
    fix: 'Give grade for the run, from a map or a level; or log satellite altitude at 5 Hz or more, and several pulls on one road.',
  };
}

/** The list of assumptions once some runs have a measured grade. */
export function gradeStillAssumed(assumptions: TrialResult['assumptions'], runs: readonly LoadedRun[]): TrialResult['assumptions'] {
  const { ledger, logs } = remaining(runs);
  const [left] = ledger.list(logs);
  return assumptions.flatMap((one) => (one.quantity !== defaults.grade.quantity ? [one] : left === undefined ? [] : [left]));
}

/** The same for findings. */
export function gradeStillTold(findings: readonly Finding[], runs: readonly LoadedRun[], path: string): Finding[] {
  const { ledger, logs } = remaining(runs);
  const [left] = ledger.findings(path, logs);
  return findings.flatMap((one) => (one.code !== 'ASSUMED_GRADE' ? [one] : left === undefined ? [] : [left]));
}

function remaining(runs: readonly LoadedRun[]): { readonly ledger: AssumptionLedger; readonly logs: readonly string[] } {
  const ledger = new AssumptionLedger();
  for (const { inputs } of runs) if (inputs.grade.standing === 'assumed') ledger.assume('grade', inputs.log);
  return { ledger, logs: runs.map(({ inputs }) => inputs.log) };
}
