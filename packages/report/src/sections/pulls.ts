import { chargeTemperatureFigure, pullSpreadFigure, pullsFigure } from '@pullproof/figures';
import { shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { statedText } from '../text.js';

/** Every pull as it was recorded, and how far the pulls agree. */
export const pullsSection: ReportSection = {
  id: 'pulls',
  title: 'The pulls',
  render: (result) => [
    [
      { figure: pullsFigure(result), caption: 'Engine speed of the pulls as recorded: what was used, what was cut' },
      { figure: pullSpreadFigure(result), caption: 'How far the power of each pull lies from the curve of its setup' },
    ],
    tableBlock(
      ['Setup', 'Pulls used', 'Power, pull to pull, one standard deviation', 'Standing'],
      result.setups.map((setup) => [
        shortName(setup.name, 60),
        String(setup.pulls.filter((pull) => pull.used).length),
        statedText(setup.repeatability, result, 'share'),
        setup.repeatability.standing,
      ]),
      { label: 'How well pulls repeat' },
    ),
  ],
};

/** Charge temperature from pull to pull. */
export const chargeTemperatureSection: ReportSection = {
  id: 'charge-temperature',
  title: 'Charge temperature from pull to pull',
  render: (result) => [{ figure: chargeTemperatureFigure(result), caption: 'Charge temperature at the start of each pull, and its trend' }],
};
