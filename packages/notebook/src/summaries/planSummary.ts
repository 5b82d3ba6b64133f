import type { PlanResult } from '@pullproof/core';
import { displayUnits, numberText } from '@pullproof/figures';
import type { SummaryParts } from './summaryParts.js';
import { boundsText, cautionsOf, valueText } from './words.js';

/** How many more pulls would settle it? */
export function planSummary(result: PlanResult): SummaryParts {
  const { power } = displayUnits[result.units];
  return {
    title: result.title,
    answers: result.comparisons.map(({ before, after, pullsBefore, pullsAfter, couldHaveShownW, asked, morePullsPerSetup, status }) => {
      const shown =
        couldHaveShownW.share === null
          ? (couldHaveShownW.status ?? 'What these pulls could show is not known.')
          : `${pullsBefore} and ${pullsAfter} pulls would show an even change of ${numberText(100 * couldHaveShownW.share, 1)} %.`;
      const more =
        morePullsPerSetup === null
          ? (status ?? 'no number of pulls like these would do.')
          : morePullsPerSetup === 0
            ? 'no more pulls are needed.'
            : `${morePullsPerSetup} more of each setup at the least.`;
      return {
        about: `${before} to ${after}`,
        sentence: `${shown} To show ${numberText(asked.share === null ? null : 100 * asked.share, 1)} %: ${more}`,
      };
    }),
    warning: null,
    numbers: result.comparisons.map(({ before, after, couldHaveShownW }) => ({
      what: `${before} to ${after}: smallest even change that would be shown ${numberText(100 * result.power, 0)} times in a hundred`,
      value: valueText(couldHaveShownW.value, power),
      band: `${boundsText(couldHaveShownW.low, couldHaveShownW.high, power)} along engine speed`,
      standing: couldHaveShownW.standing,
    })),
    cautions: cautionsOf(result.findings),
    next: [...new Set(result.comparisons.flatMap(({ advice }) => advice))],
  };
}
