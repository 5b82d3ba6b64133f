import type { SteadyHealth } from '../../fuel/index.js';
import { findChannel, type Log, type Quantity } from '../../log/index.js';
import type { CeilingResult, FitnessResult, LogWork } from '../../result/index.js';
import type { FoundStretches } from '../../stretches/index.js';

interface Need {
  /** Any of these will do. */
  readonly any: readonly Quantity[];
  readonly name: string;
  /** Without it the work cannot be done at all. */
  readonly must?: boolean;
}

const mixture: readonly Need[] = [
  { any: ['lambda'], name: 'lambda of a wideband sensor' },
  { any: ['manifold-pressure', 'air-mass-flow', 'load'], name: 'manifold pressure or air flow' },
];

const needs: Readonly<Record<LogWork, readonly Need[]>> = {
  idle: [
    { any: ['engine-speed'], name: 'engine speed', must: true },
    ...mixture,
    { any: ['short-term-fuel-trim'], name: 'short-term fuel trim' },
    { any: ['long-term-fuel-trim'], name: 'long-term fuel trim' },
    { any: ['coolant-temperature'], name: 'coolant temperature' },
  ],
  cruise: [
    { any: ['engine-speed'], name: 'engine speed', must: true },
    ...mixture,
    { any: ['short-term-fuel-trim'], name: 'short-term fuel trim' },
    { any: ['long-term-fuel-trim'], name: 'long-term fuel trim' },
    { any: ['road-speed', 'gps-speed', 'wheel-speed'], name: 'road speed' },
  ],
  pull: [
    { any: ['engine-speed'], name: 'engine speed', must: true },
    { any: ['pedal', 'throttle'], name: 'pedal or throttle' },
    { any: ['road-speed', 'gps-speed', 'wheel-speed'], name: 'road speed' },
    ...mixture,
    { any: ['commanded-lambda'], name: 'commanded lambda' },
    { any: ['knock-retard'], name: 'knock retard' },
    { any: ['charge-temperature', 'intake-temperature'], name: 'charge or intake temperature' },
    { any: ['fuel-pressure'], name: 'fuel pressure' },
    { any: ['injector-duty', 'injector-pulse-width'], name: 'injector duty or pulse width' },
  ],
};

/** Common practice, no source. */
const enoughSteadyS = 30;
const enoughPulls = 3;
/** Slower than this a pull of five seconds has too few readings of engine speed to tell a step of power. */
const slowestRefreshS = 0.1;

/**
 * Says for idle, cruise and pull work whether a log is fit to send, what is missing, and what to log next.
 *
 * @param log as read
 * @param found its stretches
 * @param steady its idle and cruise
 * @param ceilings of its channels
 * @returns one entry for each kind of work
 *
 * Validity: a four-stroke road engine; the amounts are common practice, no source.
 */
export function logFitness(
  log: Log,
  found: FoundStretches,
  steady: { readonly idle: SteadyHealth | null; readonly cruise: SteadyHealth | null },
  ceilings: readonly CeilingResult[],
): FitnessResult[] {
  return [
    steadyFitness(log, found, 'idle', steady.idle),
    steadyFitness(log, found, 'cruise', steady.cruise),
    pullFitness(log, found, ceilings),
  ];
}

function channelsMissing(log: Log, work: LogWork): { readonly missing: string[]; readonly must: boolean } {
  const absent = needs[work].filter(({ any }) => any.every((quantity) => findChannel(log, quantity) === null));
  return { missing: absent.map(({ name }) => name), must: absent.some(({ must }) => must === true) };
}

function steadyFitness(log: Log, found: FoundStretches, work: 'idle' | 'cruise', health: SteadyHealth | null): FitnessResult {
  const { missing, must } = channelsMissing(log, work);
  const next: string[] = [];
  const seconds = found.others.filter(({ kind }) => kind === work).reduce((sum, { startS, endS }) => sum + endS - startS, 0);
  const words = work === 'idle' ? 'warm idle' : 'steady cruise';
  if (seconds < enoughSteadyS) {
    next.push(
      work === 'idle'
        ? 'Half a minute of idle with the engine warm, everything electrical off, car still.'
        : 'Half a minute of steady driving in top gear at each of two or three speeds.',
    );
  }
  if (missing.length > 0) next.push(`The same with ${missing.join(', ')} in the log.`);
  const none = health === null || must;
  return {
    work,
    verdict: none ? 'not fit' : next.length > 0 ? 'fit with gaps' : 'fit',
    found: seconds === 0 ? `No ${words} was found.` : `${seconds.toFixed(0)} s of ${words}.`,
    missing: [...(seconds < enoughSteadyS ? [`${words} of ${enoughSteadyS} s`] : []), ...missing],
    next,
  };
}

function pullFitness(log: Log, found: FoundStretches, ceilings: readonly CeilingResult[]): FitnessResult {
  const { missing, must } = channelsMissing(log, 'pull');
  const gaps: string[] = [];
  const next: string[] = [];
  const count = found.pulls.length;
  if (count < enoughPulls) {
    gaps.push(`${enoughPulls} pulls`);
    next.push('At least three full-load pulls in one gear, from low engine speed to the redline, each way along one road.');
  }
  const refreshS = found.signals.engine?.channel.refreshS?.median ?? null;
  if (refreshS !== null && refreshS > slowestRefreshS) {
    gaps.push(`engine speed ten times a second (it is read every ${refreshS.toFixed(2)} s)`);
    next.push('Fewer channels at once, so that engine speed is read at least ten times a second.');
  }
  for (const { quantity, verdict, side } of ceilings) {
    if (verdict !== 'certain') continue;
    gaps.push(`${quantity.replace('-', ' ')} that is not cut off`);
    next.push(
      `${quantity === 'lambda' ? 'Lambda' : 'Pressure or air flow'} through a channel whose range reaches ${side === 'upper' ? 'higher' : 'lower'}.`,
    );
  }
  if (missing.length > 0) next.push(`The same with ${missing.join(', ')} in the log.`);
  return {
    work: 'pull',
    verdict: count === 0 || must ? 'not fit' : next.length > 0 ? 'fit with gaps' : 'fit',
    found: count === 0 ? 'No full-load pull was found.' : `${count} full-load ${count === 1 ? 'pull' : 'pulls'}.`,
    missing: [...gaps, ...missing],
    next,
  };
}
