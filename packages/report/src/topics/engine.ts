import type { TopEndAnalysis, TrialResult } from '@pullproof/core';
import { shortName } from '../html.js';
import { fuelSupplySection } from '../sections/fuelSupply.js';
import { mixtureSection } from '../sections/mixture.js';
import { pressureSection } from '../sections/pressure.js';
import { topEndSection } from '../sections/topEnd.js';
import { watchedSection } from '../sections/warning.js';
import { blocksOf, opening, plural, type TopicMaker } from './parts.js';

export const engineTopic: TopicMaker = (result) => {
  const { warning } = result;
  const stop = warning.level === 'stop';
  return {
    id: 'engine',
    title: 'Engine limits',
    state: stop ? 'stop' : warning.level === 'not measured' ? 'look' : 'plain',
    status: stop ? 'STOP' : warning.level === 'not measured' ? 'not measured' : 'nothing alarming',
    sentence: opening(warning.sentence),
    open: stop,
    blocks: blocksOf(result, [watchedSection]),
  };
};

export const pressureTopic: TopicMaker = (result) => {
  const logged = result.setups.some(({ curves }) => curves.manifoldPressurePa !== undefined);
  const pegged = new Set((result.ceilings ?? []).filter(({ side }) => side === 'upper').map(({ channel }) => channel)).size;
  const expected = result.comparisons.find(({ pressure }) => pressure?.expectedRatio)?.pressure?.expectedRatio?.sentence;
  return {
    id: 'pressure',
    title: 'Pressure',
    state: pegged > 0 ? 'look' : logged ? 'plain' : 'none',
    status: pegged > 0 ? 'sensor pegged' : logged ? 'measured' : 'not logged',
    sentence:
      pegged > 0
        ? `${plural(pegged, 'sensor')} pegged: readings there are “at least”.`
        : !logged
          ? 'Manifold pressure was not logged.'
          : expected === undefined
            ? 'No sensor pegged.'
            : opening(expected),
    open: pegged > 0,
    blocks: blocksOf(result, [pressureSection]),
  };
};

export const mixtureTopic: TopicMaker = (result) => {
  const logged = result.setups.some(({ mixture }) => mixture !== null && mixture !== undefined);
  const sentence = result.comparisons.find(({ mixture }) => mixture !== null && mixture !== undefined)?.mixture?.sentence;
  const leak = result.comparisons.some(({ idle }) => idle !== null && idle !== undefined && /leak|lean/i.test(idle.verdict));
  return {
    id: 'mixture',
    title: 'Mixture',
    state: !logged ? 'none' : leak ? 'look' : 'plain',
    status: !logged ? 'not logged' : leak ? 'idle changed' : 'measured',
    sentence: logged ? opening(sentence ?? 'Lambda was logged in the pulls.') : 'Lambda was not logged in the pulls.',
    open: false,
    blocks: blocksOf(result, [mixtureSection]),
  };
};

export const topEndTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [topEndSection]);
  if (blocks.length === 0) return null;
  const told = foremostTopEnd(result);
  const fades = told?.answer === 'one cause leads' || told?.answer === 'cannot tell';
  return {
    id: 'top-end',
    title: 'Top end',
    state: fades ? 'look' : told?.answer === 'too few data' ? 'none' : 'plain',
    status:
      told?.answer === 'one cause leads'
        ? 'fades'
        : told?.answer === 'cannot tell'
          ? 'cannot tell'
          : told?.answer === 'too few data'
            ? 'not enough data'
            : 'holds to the top',
    sentence: told === null ? '' : `${told.before === null ? '' : `${shortName(told.after, 40)}: `}${opening(told.sentence)}`,
    open: false,
    blocks,
  };
};

/** The analysis that says most: a cause, a doubt, a top end that holds. */
function foremostTopEnd({ topEnd }: TrialResult): TopEndAnalysis | null {
  const all = [...(topEnd?.comparisons ?? []), ...(topEnd?.setups ?? [])];
  for (const answer of ['one cause leads', 'cannot tell', 'nothing fades', 'too few data'] as const) {
    const found = all.find((analysis) => analysis.answer === answer);
    if (found !== undefined) return found;
  }
  return null;
}

export const fuelTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [fuelSupplySection]);
  if (blocks.length === 0) return null;
  const supplies = result.setups.flatMap(({ fuelSupply }) => (fuelSupply === null || fuelSupply === undefined ? [] : [fuelSupply]));
  const known = supplies.filter(({ status }) => status === null);
  const falls = supplies.some(({ sag }) => sag?.verdict === 'falls');
  const passed = known.some(({ headroom }) =>
    headroom.some(({ at, limits }) => at === 'measured' && limits.some(({ moreAir }) => moreAir.value !== null && moreAir.value < 0)),
  );
  return {
    id: 'fuel',
    title: 'Fuel supply',
    state: falls || passed ? 'look' : known.length > 0 ? 'plain' : 'none',
    status: falls ? 'pressure falls' : passed ? 'past 85% duty' : known.length > 0 ? 'headroom known' : 'not logged',
    sentence: opening((known.at(-1) ?? supplies.at(-1))?.sentence ?? ''),
    open: false,
    blocks,
  };
};
