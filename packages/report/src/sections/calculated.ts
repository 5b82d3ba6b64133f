import { calculatedFigure } from '@pullproof/figures';
import { html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';

/** Quantities that the trial's own formulas make, one figure each. */
export const calculatedSection: ReportSection = {
  id: 'calculated',
  title: 'Calculated quantities',
  render: (result) => {
    const calculated = result.calculated ?? [];
    if (calculated.length === 0) return null;
    const list = html`<p>Average of the pulls at equal rpm; the margin is how far pulls differ. Readings of a pegged sensor are left out.</p>
<ul class="plain">${calculated.map(({ name, formula }) => html`<li><b>${shortName(name, 60)}</b> = <code>${shortName(formula, 300)}</code></li>`)}</ul>`;
    const figures = calculated.map((one) => ({
      figure: calculatedFigure(result, { calculated: one }),
      caption: `${shortName(one.name, 60)}, by formula`,
    }));
    return [list, ...figures] satisfies Block[];
  },
};
