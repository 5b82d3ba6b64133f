import { bandPartNames } from '../../compare/index.js';
import type { Repeatability } from '../../power/index.js';
import type { FittedSetup, ReadLogs } from '../../pulls/index.js';
import type { PlannedComparison, PlanOption, PlanPart, Standing } from '../../result/index.js';
import type { RunInputs } from '../../trial/index.js';
import { slowLoggerAdvice } from '../check/slowLogger.js';
import { inputStanding } from '../power/budget.js';
import { remedyFor } from '../power/remedies.js';
import { planAdvice } from './planAdvice.js';
import { type PlannedPair, plannedPair, plannedParts, shownShare } from './plannedPair.js';

/** What a plan is to show, and how surely. */
export interface PlanOptions {
  /** Change to be shown, as a share of power; 0.03 when neither is given. */
  readonly showShare?: number;
  /** Change to be shown, W; goes before the share, and needs a logged setup to be measured against. */
  readonly showW?: number;
  /** Probability of showing it; 0.8 when left out. */
  readonly power?: number;
  /** Logs as read, see `runTrial`. */
  readonly readLogs?: ReadLogs;
}

const mostPulls = 60;

/** Coverage of the bands that a plan reckons with. */
export const planLevel = 0.95;

export function planComparison(
  before: FittedSetup,
  after: FittedSetup,
  spread: Repeatability,
  inputsOf: (name: string) => readonly RunInputs[],
  options: PlanOptions & { readonly power: number },
): PlannedComparison {
  const { power } = options;
  const pair = plannedPair(before, after, spread, { before: inputsOf(before.name), after: inputsOf(after.name) });
  const middleW = pair.powerW === null ? null : Float64Array.from(pair.powerW).sort()[pair.powerW.length >> 1]!;
  const askedShare =
    options.showW === undefined ? (options.showShare ?? 0.03) : middleW === null ? null : Math.abs(options.showW) / middleW;
  const now = { before: pair.before.outingKeys, after: pair.after.outingKeys };
  const nowShare = shownShare(pair, now, { power });
  const ways = askedShare === null ? [] : waysOn(pair, now, outingsToBe(before, after, inputsOf), askedShare, power);
  const reached = ways.filter(({ morePullsPerSetup }) => morePullsPerSetup !== null);
  const enough = nowShare !== null && askedShare !== null && nowShare <= askedShare;
  const best = reached.reduce<PlanOption | null>(
    (least, option) => (least === null || option.morePullsPerSetup! < least.morePullsPerSetup! ? option : least),
    null,
  );
  const more = enough ? 0 : (best?.morePullsPerSetup ?? null);
  const then = nowShare === null ? thenKeys(now, outingsToBe(before, after, inputsOf), best ?? ways[0] ?? null) : now;
  const parts = partList(pair, then, power, [...before.used, ...after.used]);
  const standing: Standing = pair.seen ? 'measured' : 'assumed';
  const share = nowShare;
  const base = {
    before: before.name,
    after: after.name,
    pullsBefore: now.before.length,
    pullsAfter: now.after.length,
    couldHaveShownW: {
      value: share === null || middleW === null ? null : share * middleW,
      low: share === null || pair.powerW === null ? null : share * Math.min(...pair.powerW),
      high: share === null || pair.powerW === null ? null : share * Math.max(...pair.powerW),
      share,
      standing,
      ...(share === null ? { status: nothingYet(before, after) } : {}),
    },
    asked: { share: askedShare, value: askedShare === null || middleW === null ? (options.showW ?? null) : askedShare * middleW },
    morePullsPerSetup: more,
    ...(more === null
      ? { status: askedShare === null ? noPowerYet : `Not even ${mostPulls} more pulls of each setup would show it.` }
      : {}),
    options: enough ? [] : ways,
    parts,
  };
  const [slow] = [...before.runs, ...after.runs].flatMap(({ log, found }) => slowLoggerAdvice(log, found).slice(0, 1));
  return { ...base, advice: [...planAdvice(base), ...(slow === undefined ? [] : [slow])] };
}

const noPowerYet = 'No log shows how much power the car has, so a change in watts cannot be set against it: ask for a share, such as 3 %.';

function nothingYet(before: FittedSetup, after: FittedSetup): string {
  const missing = [before, after].filter(({ curve }) => curve === null).map(({ name }) => name);
  return `No usable pull of ${missing.join(' and ')} yet.`;
}

interface Keys {
  readonly before: readonly string[];
  readonly after: readonly string[];
}

/** Outings that pulls to come would belong to: those driven, else those that the trial names, else one of its own. */
function outingsToBe(before: FittedSetup, after: FittedSetup, inputsOf: (name: string) => readonly RunInputs[]): Keys {
  const of = (setup: FittedSetup): string[] => {
    if (setup.curve !== null) return setup.used.map((pull) => pull.prepared!.outingKey);
    const named = inputsOf(setup.name).map(({ outing }) => (outing === null ? `unknown outing of ${setup.name}` : `outing ${outing}`));
    return named.length === 0 ? [`unknown outing of ${setup.name}`] : named;
  };
  return { before: of(before), after: of(after) };
}

/** Keys with `more` pulls added to each setup in the way of an option. */
function grown(now: Keys, outings: Keys, how: PlanOption['how'], more: number): Keys {
  const add = (side: 'before' | 'after'): string[] => {
    const known = [...new Set(outings[side])];
    return Array.from({ length: more }, (_, i) => {
      if (how === 'more pulls in the same outings') return known[i % known.length]!;
      if (how === 'both setups in one more outing, alternating') return 'an outing of both';
      return `outing ${Math.floor(i / 3) + 1} to come of ${side}`;
    });
  };
  return { before: [...now.before, ...add('before')], after: [...now.after, ...add('after')] };
}

function thenKeys(now: Keys, outings: Keys, option: PlanOption | null): Keys {
  return grown(now, outings, option?.how ?? 'more pulls in the same outings', option?.morePullsPerSetup ?? 3);
}

/** Every way to go on with the fewest pulls that reach the change asked for. */
function waysOn(pair: PlannedPair, now: Keys, outings: Keys, askedShare: number, power: number): PlanOption[] {
  const ways: readonly PlanOption['how'][] = [
    'more pulls in the same outings',
    'both setups in one more outing, alternating',
    'more outings of each setup, three pulls each',
  ];
  return ways.map((how): PlanOption => {
    const shown = (more: number): number => shownShare(pair, grown(now, outings, how, more), { power })!;
    const outingsOf = (more: number): number => {
      if (how === 'more pulls in the same outings') return 0;
      return how === 'both setups in one more outing, alternating' ? 1 : Math.ceil(more / 3);
    };
    const step = how === 'more outings of each setup, three pulls each' ? 3 : 1;
    let high = step;
    while (high <= mostPulls && shown(high) > askedShare) high *= 2;
    let low = high / 2;
    if (high > mostPulls) {
      high = mostPulls;
      if (shown(high) > askedShare) {
        return { how, morePullsPerSetup: null, moreOutingsPerSetup: outingsOf(mostPulls), thenShownShare: null };
      }
    }
    while (high - low > step) {
      const middle = Math.round((low + high) / 2 / step) * step;
      if (middle <= low || middle >= high) break;
      if (shown(middle) > askedShare) low = middle;
      else high = middle;
    }
    return { how, morePullsPerSetup: high, moreOutingsPerSetup: outingsOf(high), thenShownShare: shown(high) };
  });
}

function partList(pair: PlannedPair, keys: Keys, power: number, pulls: FittedSetup['used']): PlanPart[] {
  return plannedParts(pair, keys)
    .slice(0, 6)
    .map(
      ({ name, share }): PlanPart => ({
        name,
        share,
        standing: standingOf(name, pair, pulls),
        shownShareWithout: shownShare(pair, keys, { power, without: name }) ?? 0,
        remedy: remedyFor(name),
      }),
    )
    .sort((a, b) => a.shownShareWithout - b.shownShareWithout);
}

function standingOf(name: string, pair: PlannedPair, pulls: FittedSetup['used']): Standing {
  if (name === bandPartNames.outings) return pair.spread.outingMeasured ? 'measured' : 'assumed';
  if (name === bandPartNames.noise || name === bandPartNames.shape) return pair.powerW === null ? 'assumed' : 'measured';
  if (name === bandPartNames.pulls) return pair.spread.pullMeasured ? 'measured' : 'assumed';
  return inputStanding(name, pulls);
}
