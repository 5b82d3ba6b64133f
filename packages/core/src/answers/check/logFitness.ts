import type { SteadyHealth } from '../../fuel/index.js';
import { findChannel, type Log, type Quantity } from '../../log/index.js';
import type { CeilingResult, FitnessResult, LogWork } from '../../result/index.js';
import type { FoundStretches } from '../../stretches/index.js';
import { numberText, rpmText } from '../../units/index.js';
import { isCold } from '../mixture/steadyOf.js';
import { slowestRefreshS, slowLoggerAdvice } from './slowLogger.js';

interface Need {
  /** Any of these will do. */
  readonly any: readonly Quantity[];
  readonly name: string;
  /** Without it the work cannot be done at all. */
  readonly must?: boolean;
}

const mixture: readonly Need[] = [
  { any: ['lambda'], name: 'wideband lambda' },
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
export const enoughSteadyS = 30;
export const enoughPulls = 3;

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
  const spans = found.others.filter(({ kind }) => kind === work);
  const seconds = (some: typeof spans): number => some.reduce((sum, { startS, endS }) => sum + endS - startS, 0);
  const warmS = seconds(spans.filter((span) => !isCold(log, span)));
  const coldS = seconds(spans) - warmS;
  const short = warmS < enoughSteadyS;
  const next = steadyNext(work, short, missing);
  const cold = coldS >= 1 ? ` (${coldS.toFixed(0)} s more with a cold engine)` : '';
  const none = work === 'idle' ? 'no warm idle' : 'no steady speed with a warm engine';
  return {
    work,
    verdict: health === null || must ? 'not fit' : next.length > 0 ? 'fit with gaps' : 'fit',
    amount: warmS,
    found: `${warmS < 1 ? none : `${warmS.toFixed(0)} s ${work === 'idle' ? 'of warm idle' : 'at steady speed'}`}${cold}`,
    missing: [...(short ? [work === 'idle' ? `${enoughSteadyS} s of warm idle` : `${enoughSteadyS} s at steady speed`] : []), ...missing],
    next,
  };
}

function pullFitness(log: Log, found: FoundStretches, ceilings: readonly CeilingResult[]): FitnessResult {
  const { missing, must } = channelsMissing(log, 'pull');
  const gaps: string[] = [];
  const { pulls } = found;
  const count = pulls.length;
  // More channels would make a slow logger slower: what else is missing is named, and not asked for beside it.
  const slow = slowLoggerAdvice(log, found);
  const next: string[] = [...slow];
  if (count < enoughPulls) gaps.push(`${enoughPulls} pulls`);
  const refreshS = found.signals.engine?.channel.refreshS?.median ?? null;
  if (refreshS !== null && refreshS > slowestRefreshS) {
    gaps.push(`engine speed 10 times a second (it updates every ${refreshS.toFixed(2)} s)`);
  }
  for (const { quantity, verdict, side } of ceilings) {
    if (verdict !== 'certain') continue;
    gaps.push(`${quantity.replace('-', ' ')} that is not pegged`);
    next.push(`Log ${quantity.replace('-', ' ')} through a channel whose range goes ${side === 'upper' ? 'higher' : 'lower'}.`);
  }
  if (count < enoughPulls) next.push(pullNext);
  if (missing.length > 0 && slow.length === 0) next.push(logToo(missing));
  return {
    work: 'pull',
    verdict: count === 0 || must ? 'not fit' : next.length > 0 ? 'fit with gaps' : 'fit',
    amount: count,
    found: count === 0 ? 'no full-throttle pull' : `${count} at full throttle, ${pullsText(pulls)}`,
    missing: [...gaps, ...missing],
    next,
  };
}

/** What to do for more pulls. */
export const pullNext: string = 'Make at least three full-throttle pulls in one gear, from low rpm to redline, each way along one road.';

/** What to do for idle or cruise. */
export function steadyNext(work: 'idle' | 'cruise', short: boolean, missing: readonly string[]): string[] {
  const more =
    work === 'idle'
      ? 'Idle for 30 s: engine warm, accessories off, car stopped.'
      : 'Hold a steady speed in top gear for 30 s, at each of two or three speeds.';
  return [...(missing.length > 0 ? [logToo(missing)] : []), ...(short ? [more] : [])];
}

export function logToo(missing: readonly string[]): string {
  return `Log ${missing.join(', ')} as well.`;
}

function pullsText(pulls: FoundStretches['pulls']): string {
  const speeds = pulls.flatMap(({ fromRpm, toRpm }) => (fromRpm === null || toRpm === null ? [] : [fromRpm, toRpm]));
  const lasting = pulls.map(({ startS, endS }) => endS - startS);
  const [least, most] = [Math.min(...lasting), Math.max(...lasting)].map((seconds) => seconds.toFixed(0));
  const spanned = speeds.length === 0 ? '' : `${numberText(Math.min(...speeds), 0)} to ${rpmText(Math.max(...speeds))}, `;
  return `${spanned}${least === most ? `${least} s${pulls.length > 1 ? ' each' : ''}` : `${least} to ${most} s each`}`;
}
