import { type AirShare, airShare, densityExponents, type Explanation, type PowerDifference } from '../../../compare/index.js';
import type { FittedSetup, TrialPull } from '../../../pulls/index.js';
import type { RunInputs } from '../../../trial/index.js';
import { numberText } from '../../../units/index.js';

/** What the air could have made of a difference, and why it is not better known. */
export interface AirExplanation extends Explanation {
  readonly share: AirShare;
  /** Whether weather that was not entered counts in it. */
  readonly weatherUnknown: boolean;
}

const ofTheRun = { temperature: 'temperatureK', pressure: 'stationPressurePa', humidity: 'relativeHumidity' } as const;

type Part = keyof typeof ofTheRun;

/** Parts of a run's weather that were not entered. */
function missingParts(inputs: RunInputs): Part[] {
  return (Object.keys(ofTheRun) as Part[]).filter((part) => inputs[ofTheRun[part]].standing === 'assumed');
}

/**
 * What the change of the air could have made of the difference. Weather that nobody entered is unknown, and as wide as what is assumed;
 * within one outing it was the same for both setups, whatever it was.
 */
export function airExplanation(before: FittedSetup, after: FittedSetup, difference: PowerDifference): AirExplanation {
  const pulls = [...before.used, ...after.used];
  const inputs = after.used[0]!.run.inputs;
  const exponents = densityExponents(inputs.boostControl);
  const assumed = pulls.filter(({ run }) => missingParts(run.inputs).length > 0);
  const sameOuting = difference.contrast.outingFactor < 1e-9;
  const weatherUnknown = assumed.length > 0 && !sameOuting;
  const relative = weatherUnknown ? Math.max(...assumed.map(({ run }) => relativeSpread(run.inputs))) : 0;
  // Of one outing whose weather was entered for some runs only, the others had the same.
  const ratio = assumed.length > 0 && sameOuting ? 1 : density(after) / density(before);
  const share = airShare(difference.beforeW, ratio, relative * Math.SQRT2, exponents);
  return {
    name: 'air',
    standing: assumed.length > 0 ? 'assumed' : 'entered',
    ...(weatherUnknown ? unknownText(assumed) : knownText(ratio)),
    lowW: share.lowW,
    highW: share.highW,
    share,
    weatherUnknown,
  };
}

function density(setup: FittedSetup): number {
  return setup.used.reduce((sum, pull) => sum + pull.run.inputs.airDensityKgPerM3.value, 0) / setup.used.length;
}

function relativeSpread({ airDensityKgPerM3: { spread, value } }: RunInputs): number {
  return spread / value;
}

function knownText(ratio: number): Pick<Explanation, 'sentence' | 'settle'> {
  const percent = numberText(100 * Math.abs(ratio - 1), 1);
  return {
    sentence: `the air was ${percent}% ${ratio >= 1 ? 'denser' : 'thinner'} after the change`,
    settle: 'Log both setups in the same hour, so that the air is the same for both.',
  };
}

const counts = ['', 'one number', 'two numbers', 'three numbers'];

function unknownText(assumed: readonly TrialPull[]): Pick<Explanation, 'sentence' | 'settle'> {
  const missing = (Object.keys(ofTheRun) as Part[]).filter((part) => assumed.some(({ run }) => missingParts(run.inputs).includes(part)));
  const places = [...new Set(assumed.map(({ run: { inputs } }) => inputs.outing ?? inputs.log))];
  const where = places.length <= 3 ? places.join(' and ') : `${places.length} runs`;
  const whole = missing.length === Object.keys(ofTheRun).length;
  return {
    sentence: `the ${whole ? 'weather' : missing.join(' and ')} of ${where} is missing`,
    settle: `Enter ${counts[missing.length]}: air: { ${missing.join(', ')} } for ${where}. The pulls are usable.`,
  };
}
