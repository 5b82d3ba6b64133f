import type { TrialResult } from '@pullproof/core';
import type { Topic } from '../section.js';
import { engineTopic, fuelTopic, mixtureTopic, pressureTopic, topEndTopic } from './engine.js';
import type { TopicMaker } from './parts.js';
import { changesTopic, crossCheckTopic, powerTopic, pullsTopic } from './power.js';
import { changeSheetTopic, computedTopic, conditionsTopic, logQualityTopic, sureTopic } from './trust.js';

/** In this order below the first screen. A new part of the product adds its topic here. */
const makers: readonly TopicMaker[] = [
  engineTopic,
  changesTopic,
  powerTopic,
  pullsTopic,
  topEndTopic,
  pressureTopic,
  mixtureTopic,
  fuelTopic,
  crossCheckTopic,
  conditionsTopic,
  sureTopic,
  changeSheetTopic,
  logQualityTopic,
  computedTopic,
];

/** Everything that can be read about a trial below its answer. */
export function topicsOf(result: TrialResult): readonly Topic[] {
  return makers.flatMap((make) => make(result) ?? []);
}
