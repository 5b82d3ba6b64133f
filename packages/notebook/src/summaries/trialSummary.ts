import type { TrialResult } from '@pullproof/core';
import { changeText, displayUnits, numberText, plainUnit } from '@pullproof/figures';
import type { SummaryNumber, SummaryParts } from './summaryParts.js';
import { cautionsOf, statedRow } from './words.js';

/** Did it help? */
export function trialSummary(result: TrialResult): SummaryParts {
  const assumed = [...new Set(result.assumptions.map(({ quantity }) => quantity.replace(/ \(.*\)$/, '')))];
  return {
    title: result.title,
    answers: result.overall.map(({ before, after, sentence }) => ({ about: `${before} to ${after}`, sentence })),
    warning: {
      stop: result.warning.level === 'stop',
      sentence: result.warning.sentence,
      details: result.warning.details.filter(({ level }) => level === 'stop').map(({ text }) => text),
    },
    numbers: [
      ...result.comparisons.flatMap((comparison) => regionRows(comparison, result)),
      ...result.setups.flatMap((setup) => setupRows(setup, result)),
    ],
    cautions: [...cautionsOf(result.findings), ...(assumed.length === 0 ? [] : [`Assumed, as it was not given: ${assumed.join('; ')}.`])],
    next: [...new Set(result.overall.flatMap(({ next }) => next))],
  };
}

function regionRows({ before, after, regions, wheelPowerW }: TrialResult['comparisons'][number], { units }: TrialResult): SummaryNumber[] {
  const { power } = displayUnits[units];
  return regions.map(({ fromRpm, toRpm, verdict, meanW, lowW, highW }) => ({
    what: `${before} to ${after}, ${numberText(fromRpm, 0)} to ${numberText(toRpm, 0)} rpm: ${verdict}`,
    value: `${changeText(power.fromSi(meanW))} ${power.symbol}`,
    band: `${changeText(power.fromSi(lowW))} to ${changeText(power.fromSi(highW))} (${Math.round(100 * wheelPowerW.level)} %)`,
    standing: 'measured',
  }));
}

function setupRows({ name, runs, pulls, repeatability }: TrialResult['setups'][number], { units }: TrialResult): SummaryNumber[] {
  const share = plainUnit('%', 2);
  const masses = runs.map(({ massKg }) => massKg);
  const [mass] = masses;
  return [
    {
      what: `${name}: pulls used`,
      value: `${pulls.filter(({ used }) => used).length} of ${pulls.length}`,
      band: 'counted',
      standing: 'measured',
    },
    statedRow(`${name}: pulls differ among themselves by (one standard deviation)`, repeatability, {
      ...share,
      fromSi: (value) => 100 * value,
    }),
    ...(mass === undefined ? [] : [statedRow(`${name}: mass as driven, first run`, mass, displayUnits[units].mass)]),
  ];
}
