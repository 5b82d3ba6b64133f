import { chargeTemperatureFigure, pullPowerFigure, pullsFigure } from '@pullproof/figures';
import { html } from '../html.js';
import type { ReportSection } from '../section.js';
import { statedText } from '../text.js';

/** Every pull as it was recorded, and how far the pulls agree. */
export const pullsSection: ReportSection = {
  id: 'pulls',
  title: 'The pulls',
  render: (result) => [
    [
      { figure: pullsFigure(result), caption: 'Pulls as recorded: what was used and what was cut' },
      { figure: pullPowerFigure(result), caption: 'Wheel power of each pull over the band of its setup' },
    ],
    html`<p>Pull to pull, power repeats within (one standard deviation): ${result.setups.map(
      (setup, index) =>
        html`${index === 0 ? '' : '; '}${setup.name} ${statedText(setup.repeatability, result, 'share')} <span class="standing">${setup.repeatability.standing}</span>`,
    )}.</p>`,
  ],
};

/** Charge temperature from pull to pull. */
export const chargeTemperatureSection: ReportSection = {
  id: 'charge-temperature',
  title: 'Charge temperature from pull to pull',
  render: (result) => [{ figure: chargeTemperatureFigure(result), caption: 'Charge temperature at the start of each pull, and its trend' }],
};
