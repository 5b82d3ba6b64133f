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
      { figure: powerFigure(result), caption: 'Wheel power, uncorrected, with bands' },
      { figure: torqueFigure(result), caption: 'Wheel torque at engine speed, uncorrected, with bands' },
    ],
    ...estimators(result),
  ],
};

const ways: Readonly<Record<EstimatorResult['used'], string>> = {
  'output-error fit': 'a torque curve whose car drives the recorded speeds (output-error fit)',
  'local polynomial': 'the slope of the recorded speeds (local polynomial)',
};

/** One line where all curves were made alike and nothing is to be said; otherwise a line for each setup. */
function estimators({ setups }: TrialResult): Html[] {
  const known = setups.flatMap(({ name, estimator }) => (estimator === null || estimator === undefined ? [] : [{ name, estimator }]));
  if (known.length === 0) return [];
  const plain = known.every(({ estimator }) => estimator.used === 'output-error fit' && estimator.disagreement === null);
  if (plain)
    return [
      html`<p class="small muted">Every curve comes from ${ways['output-error fit']}; the local polynomial agrees within the bands.</p>`,
    ];
  return [
    html`<ul class="plain small">${known.map(
      ({ name, estimator: { used, why, disagreement } }) =>
        html`<li><b>${shortName(name, 60)}:</b> from ${ways[used]}. ${why === null ? null : asSentence(shortName(why, 300))}${
          disagreement === null
            ? null
            : ` From ${numberText(disagreement.fromRpm, 0)} to ${numberText(disagreement.toRpm, 0)} rpm the two ways of estimating lie apart by more than their bands: the local polynomial up to ${numberText(100 * disagreement.largestShare, 1, { signed: true })} % from the fit. See the findings.`
        }</li>`,
    )}</ul>`,
  ];
}
