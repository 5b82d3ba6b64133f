import type { ForecastResult } from '@pullproof/core';
import { bestForecasts, displayUnits, forecastMotionFigure, forecastSpreadFigure, inputSharesFigure, numberText } from '@pullproof/figures';
import { html, shortName } from '../html.js';
import type { Topic } from '../section.js';
import { findingsTopic, plainTopic } from '../simpleTopic.js';
import { tableBlock } from '../table.js';
import { plural } from '../topics/parts.js';
import { markText, secondsText, speedText } from './stripText.js';

const methodWords: Readonly<Record<ForecastResult['forecasts'][number]['method'], string>> = {
  'constant-power': 'physical limit (no drag, no shifts, full grip)',
  'huntington-1958': 'Huntington formula (1958)',
  hale: 'Hale formula',
  simulated: 'simulated, before any slip',
  'simulated-learned': 'simulated, matched to your slips',
};

/** What can be read about a forecast below its answer. */
export function forecastTopics(result: ForecastResult): readonly Topic[] {
  return [
    spreadTopic(result),
    splitsTopic(result),
    ...worthTopic(result),
    marginTopic(result),
    ...slipsTopic(result),
    methodsTopic(result),
    ...findingsTopic(result.findings),
  ];
}

function spreadTopic(result: ForecastResult): Topic {
  return plainTopic('spread', 'Possible passes', 'How far passes can spread on one day.', [
    { figure: forecastSpreadFigure(result), caption: 'Possible passes of each setup, and the slips' },
  ]);
}

function splitsTopic(result: ForecastResult): Topic {
  const { speed } = displayUnits[result.units];
  return plainTopic('splits', 'Along the strip', 'Times and speeds at every mark.', [
    { figure: forecastMotionFigure(result), caption: 'Speed against distance, most likely pass' },
    tableBlock(
      ['Setup', 'Mark', 'Time, s', `Speed, ${speed.symbol}`],
      bestForecasts(result).flatMap(({ setup, splits }) =>
        splits.map(({ mark, timeS, speedMps }) => [
          shortName(setup, 60),
          markText(mark),
          secondsText(timeS),
          speedMps === null ? '–' : speedText(speedMps, result.units),
        ]),
      ),
      { label: 'Splits', numbersFrom: 2 },
    ),
  ]);
}

function worthTopic(result: ForecastResult): readonly Topic[] {
  if (result.worth.length === 0) return [];
  const { speed } = displayUnits[result.units];
  return [
    plainTopic('worth', 'What a change is worth', 'Each alone, same day and luck; minus seconds is quicker.', [
      tableBlock(
        ['Change', 'Quarter mile, s', `Trap, ${speed.symbol}`],
        result.worth.map(({ change, etS, trapMps }) => [
          shortName(change, 80),
          secondsText(etS, { signed: true }),
          speedText(trapMps, result.units, true),
        ]),
        { label: 'Worth of changes', numbersFrom: 1 },
      ),
    ]),
  ];
}

function marginTopic(result: ForecastResult): Topic {
  return plainTopic(
    'sure',
    'How sure',
    `${plural(result.assumed.length, 'value')} ${result.assumed.length === 1 ? 'was' : 'were'} assumed.`,
    [
      { figure: inputSharesFigure(result), caption: 'Where the margin of the forecast comes from' },
      html`<ul class="plain small">${result.assumed.map(({ quantity, value, source }) => html`<li>Assumed: ${quantity} ${value} (${source}).</li>`)}</ul>`,
    ],
  );
}

function slipsTopic(result: ForecastResult): readonly Topic[] {
  if (result.slips.length === 0) return [];
  return [
    plainTopic('slips', 'What the slips taught', `${plural(result.slips.length, 'slip')} against what the pulls predicted.`, [
      tableBlock(
        ['Slip', 'Setup', 'Quarter mile, s', 'vs predicted', 'Launch', 'Shifts', 'Power', 'Rest', 'In today’s air, s', 'Cube-root rule, s'],
        result.slips.map(({ name, setup, timesS, lesson, carried }) => [
          shortName(name, 60),
          shortName(setup, 40),
          numberText(timesS['1320ft'], 3),
          ...[lesson?.etS, lesson?.launchS, lesson?.shiftsS, lesson?.powerS, lesson?.otherS].map((s) => numberText(s, 2, { signed: true })),
          numberText(carried?.etS, 2),
          numberText(carried?.cubeRootEtS, 2),
        ]),
        { label: 'Slips', numbersFrom: 2 },
      ),
    ]),
  ];
}

function methodsTopic(result: ForecastResult): Topic {
  const { speed } = displayUnits[result.units];
  return plainTopic('methods', 'Every method', 'Simulation beside the formulas of the trade.', [
    tableBlock(
      ['Setup', 'Method', 'Quarter mile, s', `Trap, ${speed.symbol}`, '60 to 130 mph, s'],
      result.forecasts.map(({ setup, method, etS, trapMps, from60To130MphS }) => [
        shortName(setup, 60),
        methodWords[method],
        secondsText(etS),
        speedText(trapMps, result.units),
        numberText(from60To130MphS, 2),
      ]),
      { label: 'Forecasts by every method', numbersFrom: 2 },
    ),
    html`<ul class="plain small">${[...new Map(result.forecasts.map(({ method, source }) => [method, source]))].map(
      ([method, source]) => html`<li>${methodWords[method]}: ${shortName(source, 300)}.</li>`,
    )}</ul>`,
  ]);
}
