import type { CheckedLog, CheckResult } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import type { SummaryNumber, SummaryParts } from './summaryParts.js';
import { cautionsOf } from './words.js';

/** What is in these logs, and are they fit for use? */
export function checkSummary({ logs }: CheckResult): SummaryParts {
  return {
    title: logs.length === 1 ? 'What is in this log' : `What is in these ${logs.length} logs`,
    answers: logs.flatMap(({ path, fitness = [] }) =>
      fitness.map(({ work, verdict, found, missing }) => ({
        about: path,
        sentence: `For ${work} work: ${verdict}. ${found}.${missing.length === 0 ? '' : ` Missing: ${missing.join(', ')}.`}`,
      })),
    ),
    warning: null,
    numbers: logs.flatMap(logRows),
    cautions: logs.flatMap(({ findings }) => cautionsOf(findings)),
    next: [...new Set(logs.flatMap(({ fitness = [] }) => fitness.flatMap(({ next }) => next)))],
  };
}

function logRows({ path, rows, rowsDropped, durationS, channels, stretches }: CheckedLog): SummaryNumber[] {
  const speed = channels.find(({ quantity }) => quantity === 'engine-speed')?.refreshS ?? null;
  const pulls = stretches.filter(({ kind }) => kind === 'pull').length;
  return [
    {
      what: `${path}: rows of data`,
      value: numberText(rows, 0),
      band: `${numberText(rowsDropped, 0)} could not be used`,
      standing: 'measured',
    },
    { what: `${path}: length`, value: `${numberText(durationS, 1)} s`, band: 'by its own clock', standing: 'measured' },
    { what: `${path}: full-load pulls`, value: String(pulls), band: 'counted', standing: 'measured' },
    ...(speed === null
      ? []
      : [
          {
            what: `${path}: a new reading of engine speed every`,
            value: `${numberText(speed.median, 3)} s`,
            band: `${numberText(speed.low, 3)} to ${numberText(speed.high, 3)}`,
            standing: 'measured',
          },
        ]),
  ];
}
