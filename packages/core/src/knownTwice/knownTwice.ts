import type { Question } from '../pulls/index.js';
import { type Evidence, question } from '../pulls/index.js';
import type { Contradiction } from '../result/index.js';
import { airTemperature } from './airTemperature.js';
import { coastingForce } from './coastingForce.js';
import { contradictionFinding } from './contradictionFinding.js';
import { fuelInOuting } from './fuelInOuting.js';
import { lambdaScale } from './lambdaScale.js';
import { pulleys } from './pulleys.js';
import { redline } from './redline.js';
import { satelliteSpeed } from './satelliteSpeed.js';
import { speedBetweenSetups } from './speedBetweenSetups.js';
import { statedGearing } from './statedGearing.js';
import { stationPressure } from './stationPressure.js';
import { typedValues } from './typedValues.js';

/** What is known twice and does not agree, each pair of sources once. */
export const contradictions: Question<readonly Contradiction[]> = question((evidence) => {
  const answer = allOf(evidence);
  return { answer, findings: answer.map(contradictionFinding) };
});

function allOf(evidence: Evidence): Contradiction[] {
  const gearing = statedGearing(evidence);
  const satellite = satelliteSpeed(evidence);
  const speeds = setupsOf([...gearing, ...satellite]);
  const air = [...stationPressure(evidence), ...airTemperature(evidence)];
  const typed = typedValues(evidence);
  // A value that no car has is named once.
  const named = new Set(typed.flatMap(({ mistakes }) => mistakes.map(({ name }) => name)));
  const again = ({ mistakes }: Contradiction): boolean => mistakes.some(({ name }) => named.has(name));
  return [
    ...typed,
    ...gearing.filter((one) => !again(one)),
    ...satellite,
    ...speedBetweenSetups(evidence, speeds),
    ...air,
    ...fuelInOuting(evidence),
    // What a wrong speed, or air of a wrong density, makes of a coast-down is named already.
    ...coastingForce(evidence).filter((one) => !again(one) && !one.setups.some((name) => speeds.has(name)) && air.length === 0),
    ...redline(evidence, setupsOf(gearing.filter(({ mistakes }) => mistakes.some(({ name }) => name === 'engine-speed')))),
    ...pulleys(evidence),
    ...lambdaScale(evidence),
  ];
}

function setupsOf(list: readonly Contradiction[]): Set<string> {
  return new Set(list.flatMap(({ setups }) => setups));
}
