import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { plainName, spreadText, unitsFor } from '../text.js';

/** Every input that was neither measured nor entered. */
export const assumptionsSection: ReportSection = {
  id: 'assumptions',
  title: 'Assumptions',
  render: (result) => {
    if (result.assumptions.length === 0) return [html`<p>Nothing was assumed: every input was measured or entered.</p>`];
    return [
      html`<p>Not measured and not entered. Each stands in the bands with its spread, one standard uncertainty. Enter a value in the field named to replace it.</p>`,
      tableBlock(
        ['Quantity', 'Assumed', 'Where from', 'Field'],
        result.assumptions.map((assumption) => [
          shortName(plainName(assumption.quantity)),
          spreadText(
            assumption.value,
            assumption.spread,
            unitsFor(assumption.unit, result, /wind/i.test(assumption.quantity) ? 'wind' : undefined),
          ),
          shortName(assumption.source, 200),
          html`<code>${shortName(assumption.where)}</code>`,
        ]),
        { label: 'Assumptions' },
      ),
    ];
  },
};
