import { chargeTemperatureFigure, numberText, pullSpreadFigure, pullsFigure } from '@pullproof/figures';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { figureTable, tableBlock } from '../table.js';

/** Every pull as it was recorded, and how far the pulls agree. */
export const pullsSection: ReportSection = {
  id: 'pulls',
  title: 'The pulls',
  render: (result) => {
    const recorded = pullsFigure(result);
    const spread = { figure: pullSpreadFigure(result), caption: 'Each pull vs the average of its setup' };
    // Where the readings are at hand the viewer shows the pulls as they were recorded.
    const drawn = result.traces !== undefined && result.traces.length > 0;
    return [
      drawn ? spread : [{ figure: recorded, caption: 'Engine speed of the pulls as recorded: what was used, what was cut' }, spread],
      tableBlock(
        ['Setup', 'Pulls used', 'Pulls repeat to', 'How known'],
        result.setups.map((setup) => [
          shortName(setup.name, 60),
          String(setup.pulls.filter((pull) => pull.used).length),
          setup.repeatability.value === null ? 'not known' : `${numberText(100 * setup.repeatability.value, 1)}%`,
          setup.repeatability.standing,
        ]),
        { label: 'How well pulls repeat' },
      ),
      ...(drawn
        ? [html`<details><summary>All pulls in numbers</summary>${figureTable(recorded.table, 'All pulls in numbers')}</details>`]
        : []),
    ];
  },
};

/** Charge temperature from pull to pull. */
export const chargeTemperatureSection: ReportSection = {
  id: 'charge-temperature',
  title: 'Charge temperature from pull to pull',
  render: (result) => [{ figure: chargeTemperatureFigure(result), caption: 'Charge temperature at the start of each pull, and its trend' }],
};
