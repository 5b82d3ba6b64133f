import type { EstimatorResult, TrialResult } from '@pullproof/core';
import { numberText, powerFigure, torqueFigure } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { asSentence } from '../text.js';

/** Power and torque of every setup, and by what they were estimated. */
export const powerSection: ReportSection = {
  id: 'power',
  title: 'Power and torque of each setup',
  render: (result) => [
    [
      { figure: powerFigure(result), caption: 'Power at the wheels, uncorrected' },
      { figure: torqueFigure(result), caption: 'Torque at the wheels, by engine speed, uncorrected' },
    ],
    ...estimators(result),
  ],
};

const ways: Readonly<Record<EstimatorResult['used'], string>> = {
  'output-error fit': 'a torque curve that drives the car through the recorded speeds',
  'local polynomial': 'the slope of the recorded speeds',
};

/** One line where all curves were made alike and nothing is to be said; otherwise a line for each setup. */
function estimators({ setups }: TrialResult): Html[] {
  const known = setups.flatMap(({ name, estimator }) => (estimator === null || estimator === undefined ? [] : [{ name, estimator }]));
  if (known.length === 0) return [];
  const plain = known.every(({ estimator }) => estimator.used === 'output-error fit' && estimator.disagreement === null);
  if (plain) return [html`<p class="small muted">Two ways of working it out give the same curve.</p>`];
  return [
    html`<ul class="plain small">${known.map(
      ({ name, estimator: { used, why, disagreement } }) =>
        html`<li><b>${shortName(name, 60)}:</b> from ${ways[used]}. ${why === null ? null : asSentence(shortName(why, 300))}${
          disagreement === null
            ? null
            : ` From ${numberText(disagreement.fromRpm, 0)} to ${numberText(disagreement.toRpm, 0)} rpm the two ways differ by more than their margins: the slope is up to ${numberText(100 * disagreement.largestShare, 1, { signed: true })}% from the fit. See the findings.`
        }</li>`,
    )}</ul>`,
  ];
}
