import type { TrialResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import { shortName } from '../html.js';
import { calculatedSection } from '../sections/calculated.js';
import { allChangesSection } from '../sections/changed.js';
import { correctedSection } from '../sections/corrected.js';
import { powerSection } from '../sections/curves.js';
import { chargeTemperatureSection, pullsSection } from '../sections/pulls.js';
import { regionsSection } from '../sections/regions.js';
import { routesSection } from '../sections/routes.js';
import { plainName } from '../text.js';
import { viewerBlock } from '../viewerBlock.js';
import { blocksOf, plural, type TopicMaker } from './parts.js';

export const changesTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [allChangesSection]);
  if (blocks.length === 0) return null;
  const all = result.comparisons.flatMap(({ changedBesides }) => changedBesides);
  const named = (isWanted: (answer: string) => boolean): string[] => [
    ...new Set(all.filter(({ couldExplain }) => isWanted(couldExplain)).map(({ quantity }) => plainName(quantity))),
  ];
  const open = named((answer) => answer === 'yes' || answer === 'partly' || answer === 'cannot tell');
  return {
    id: 'changes',
    title: 'What else changed',
    state: open.length > 0 ? 'look' : 'plain',
    status: open.length > 0 ? 'could be why' : 'not why',
    sentence:
      open.length === 0 ? 'Nothing that changed besides could be why.' : `${capital(open.map((name) => shortName(name, 40)).join(', '))}.`,
    open: false,
    blocks,
  };
};

export const powerTopic: TopicMaker = (result) => {
  const { power } = displayUnits[result.units];
  const peaks = result.setups.flatMap(({ name, curves }) => {
    const known = (curves.wheelPowerW?.value ?? []).filter((value) => value !== null);
    return known.length === 0 ? [] : [`${shortName(name, 40)} ${numberText(power.fromSi(Math.max(...known)), 0)}`];
  });
  return {
    id: 'power',
    title: 'Power and torque',
    state: peaks.length === 0 ? 'none' : 'plain',
    status: peaks.length === 0 ? 'no curve' : 'measured',
    sentence:
      peaks.length === 0
        ? 'No pull could be used.'
        : `Most at the wheels, ${power.symbol}: ${peaks.slice(0, 4).join(', ')}${peaks.length > 4 ? '…' : ''}.`,
    open: false,
    blocks: blocksOf(result, [powerSection, regionsSection, correctedSection, calculatedSection]),
  };
};

export const crossCheckTopic: TopicMaker = (result) => {
  const blocks = blocksOf(result, [routesSection]);
  if (blocks.length === 0) return null;
  const answers = result.setups.flatMap(({ routes }) => (routes === null || routes === undefined ? [] : [routes.answer]));
  const disagree = answers.filter((answer) => answer === 'disagree').length;
  const agree = answers.filter((answer) => answer === 'agree').length;
  return {
    id: 'cross-check',
    title: 'Cross-check of power',
    state: disagree > 0 ? 'look' : agree > 0 ? 'plain' : 'none',
    status: disagree > 0 ? 'disagrees' : agree > 0 ? 'agrees' : 'not logged',
    sentence:
      disagree + agree === 0
        ? 'Only one way of working out power is open.'
        : `By motion, air and fuel: ${disagree > 0 ? `they disagree for ${plural(disagree, 'setup')}` : 'they agree'}.`,
    open: false,
    blocks,
  };
};

export const pullsTopic: TopicMaker = (result) => {
  const pulls = result.setups.flatMap((setup) => setup.pulls);
  const used = pulls.filter((pull) => pull.used).length;
  const [setup] = result.setups;
  const repeat = setup?.repeatability;
  const repeats =
    repeat?.value === null || repeat?.value === undefined
      ? ''
      : ` They repeat to ${numberText(100 * repeat.value, 1)}% (${repeat.standing}).`;
  return {
    id: 'pulls',
    title: 'Pulls',
    state: used === pulls.length ? 'plain' : 'look',
    status: used === pulls.length ? 'all used' : `${pulls.length - used} left out`,
    sentence: `${plural(pulls.length, 'pull')}${pulls.length === 0 ? '' : `, ${used} used`}.${repeats}`,
    open: pulls.length > 0 && used === 0,
    blocks: [viewerBlock(result), ...blocksOf(result, [pullsSection]), ...chargeBlocks(result)],
  };
};

function chargeBlocks(result: TrialResult): ReturnType<typeof blocksOf> {
  const measured = result.setups.some(({ pulls }) => pulls.some(({ startChargeTemperatureK }) => startChargeTemperatureK !== null));
  return measured ? blocksOf(result, [chargeTemperatureSection]) : [];
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
