import type { Finding } from '../findings/index.js';
import { quantileOf, type Readings, readingsBetween } from '../stretches/index.js';
import type { RunInputs } from '../trial/index.js';
import type { TrialPull } from './trialPull.js';

/** Two drives do not repeat so many readings of engine speed in a row; fewer show nothing. */
const leastReadings = 15;
/** Share of the readings that must be the same. */
const sameShare = 0.97;
/** Of the shorter pull, a cut copy must still hold so much. */
const leastOverlap = 0.5;

/**
 * Takes out pulls that are the same recording as another pull, however they came to be listed again: one log twice, a copy with its clock
 * shifted, exported in other units, cut, or appended to itself. Within a setup the first one counts; of one that stands in two setups
 * nobody knows whose it is, and it counts in neither.
 *
 * @param pulls of every setup, as prepared
 * @param options `recordingOf`: the same for two runs whose logs are one recording
 * @returns the same pulls, repeats without `prepared` and with a reason; and a finding for each pair of logs
 */
export function countedOnce(
  pulls: readonly TrialPull[],
  options: { readonly recordingOf: (inputs: RunInputs) => string },
): { readonly pulls: readonly TrialPull[]; readonly findings: readonly Finding[] } {
  const traces = pulls.map(traceOf);
  const wholly = sameSetups(pulls, options.recordingOf);
  const out = [...pulls];
  const told = new Map<string, { readonly finding: Finding; count: number }>();
  for (let b = 1; b < pulls.length; b++) {
    for (let a = 0; a < b; a++) {
      const [first, second] = [pulls[a]!, pulls[b]!];
      const across = first.run.setup !== second.run.setup;
      if (across && wholly.has(pairKey(first.run.setup, second.run.setup))) continue;
      if (!isRepeat(first, second, traces[a]!, traces[b]!)) continue;
      const what = place(first, second);
      out[b] = leftOut(
        out[b]!,
        across ? `the same recording stands in ${first.run.inputs.setup}` : `the same recording as ${what.earlier}`,
      );
      if (across) out[a] = leftOut(out[a]!, `the same recording stands in ${second.run.inputs.setup}`);
      const key = JSON.stringify([first.run.inputs.setup, first.run.inputs.log, second.run.inputs.setup, second.run.inputs.log]);
      const known = told.get(key);
      if (known === undefined) told.set(key, { finding: findingOf(first, second, across), count: 1 });
      else known.count++;
    }
  }
  return { pulls: out, findings: [...told.values()].map(({ finding, count }) => ({ ...finding, count })) };
}

function leftOut(pull: TrialPull, reason: string): TrialPull {
  return { ...pull, prepared: null, cutReason: pull.cutReason ?? reason };
}

function place({ run, pull }: TrialPull, second: TrialPull): { readonly earlier: string } {
  const log = run.inputs.log === second.run.inputs.log ? '' : `${run.inputs.log} at `;
  return { earlier: `${log === '' ? 'the one at ' : log}${pull.startS.toFixed(1)} s` };
}

function findingOf({ run }: TrialPull, second: TrialPull, across: boolean): Finding {
  const [one, other] = [run.inputs, second.run.inputs];
  const same = one.log === other.log;
  const message = across
    ? `${same ? `${one.log} stands in ${one.setup} and in ${other.setup}` : `${one.log} in ${one.setup} and ${other.log} in ${other.setup} are one recording`}: its pulls count in neither, because nobody can tell whose they are.`
    : `${same ? `Pulls of ${one.log} are in there more than once` : `${other.log} repeats pulls of ${one.log}`}: reading by reading they are one recording. It counts once.`;
  return {
    code: across ? 'W_SAME_FILE' : 'W_REPEATED_RECORDING',
    severity: 'warning',
    message,
    where: { path: other.log, setup: other.setup },
    fix: across
      ? 'Leave it in the setup that was driven.'
      : 'Take the copy out of the trial; only pulls that were driven again count again.',
  };
}

const pairKey = (a: number, b: number): string => `${Math.min(a, b)} ${Math.max(a, b)}`;

/** Pairs of setups that rest on the same recordings altogether: those are told, and compared, as one. */
function sameSetups(pulls: readonly TrialPull[], recordingOf: (inputs: RunInputs) => string): ReadonlySet<string> {
  const lists = new Map<number, string>();
  for (const setup of new Set(pulls.map(({ run }) => run.setup))) {
    const runs = new Set(pulls.filter((pull) => pull.run.setup === setup).map(({ run }) => run));
    lists.set(setup, JSON.stringify([...runs].map(({ inputs }) => [recordingOf(inputs), inputs.fromTimeS, inputs.toTimeS]).sort()));
  }
  const same = new Set<string>();
  for (const [a, list] of lists) for (const [b, other] of lists) if (a < b && list === other) same.add(pairKey(a, b));
  return same;
}

interface Trace {
  readonly timeS: Float64Array;
  readonly rpm: Float64Array;
  readonly stepRpm: number;
}

function traceOf({ log, signals, pull }: TrialPull): Trace {
  const engine: Readings | null = signals.engine;
  if (engine === null) return { timeS: new Float64Array(0), rpm: new Float64Array(0), stepRpm: 0 };
  const { timeS, values } = readingsBetween(log, engine.channel, pull.startS, pull.endS);
  return { timeS, rpm: values, stepRpm: Math.max(engine.channel.quantum, 1e-3) };
}

/** Whether two pulls are one recording: engine speed reading by reading, the time between readings, and road speed but for its unit. */
function isRepeat(first: TrialPull, second: TrialPull, a: Trace, b: Trace): boolean {
  if (first.pull === second.pull) return true;
  const shorter = Math.min(a.rpm.length, b.rpm.length);
  if (shorter < leastReadings) return false;
  const tolerance = 0.51 * Math.max(a.stepRpm, b.stepRpm);
  // A coarse count says little: most of its readings could agree by chance, so what lies between them must agree too.
  const anchor = b.rpm.length >> 1;
  for (let i = 0; i < a.rpm.length; i++) {
    if (Math.abs(a.rpm[i]! - b.rpm[anchor]!) > tolerance) continue;
    const shift = i - anchor;
    const from = Math.max(0, -shift);
    const to = Math.min(b.rpm.length, a.rpm.length - shift);
    if (to - from < Math.max(leastReadings, leastOverlap * shorter)) continue;
    if (agree(a, b, { shift, from, to, tolerance }) && speedsAgree(first, second, a.timeS[i]! - b.timeS[anchor]!)) return true;
  }
  return false;
}

/** Exported times are rounded, to a millisecond or so. */
const clockS = 0.0025;

function agree(
  a: Trace,
  b: Trace,
  { shift, from, to, tolerance }: { readonly shift: number; readonly from: number; readonly to: number; readonly tolerance: number },
): boolean {
  const allowed = Math.ceil((1 - sameShare) * (to - from));
  const clock = a.timeS[from + shift]! - b.timeS[from]!;
  let missed = 0;
  for (let i = from; i < to; i++) {
    const value = Math.abs(a.rpm[i + shift]! - b.rpm[i]!) <= tolerance;
    const time = Math.abs(a.timeS[i + shift]! - b.timeS[i]! - clock) <= clockS;
    if (!(value && time) && ++missed > allowed) return false;
  }
  return true;
}

/** Road speed of both at the same readings: one scale fits nearly all, within what their steps round. */
function speedsAgree(first: TrialPull, second: TrialPull, clockDifferenceS: number): boolean {
  const [a, b] = [first, second].map(({ log, signals, pull }) => {
    const { road } = signals;
    return road === null ? null : { ...readingsBetween(log, road.channel, pull.startS, pull.endS), step: road.channel.quantum };
  }) as [Speeds | null, Speeds | null];
  if (a === null || b === null) return a === b;
  const pairs: [number, number][] = [];
  let j = 0;
  for (let i = 0; i < b.timeS.length; i++) {
    const at = b.timeS[i]! + clockDifferenceS;
    while (j < a.timeS.length && a.timeS[j]! < at - clockS) j++;
    if (j < a.timeS.length && Math.abs(a.timeS[j]! - at) <= clockS && a.values[j]! > 3) pairs.push([a.values[j]!, b.values[i]!]);
  }
  if (pairs.length < leastReadings / 2) return false;
  const scale = quantileOf(
    pairs.map(([x, y]) => y / x),
    0.5,
  );
  const rounding = 0.51 * (scale * a.step + b.step) + 1e-6;
  const off = pairs.filter(([x, y]) => Math.abs(y - scale * x) > rounding + 0.002 * Math.abs(y)).length;
  return off <= 0.05 * pairs.length;
}

interface Speeds {
  readonly timeS: Float64Array;
  readonly values: Float64Array;
  readonly step: number;
}
