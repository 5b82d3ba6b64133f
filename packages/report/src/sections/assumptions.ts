import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { inputText, plainName } from '../text.js';

/** Every input that was neither measured nor entered. */
export const assumptionsSection: ReportSection = {
  id: 'assumptions',
  title: 'Assumptions',
  render: (result) => {
    if (result.assumptions.length === 0) return [html`<p>Nothing was assumed: every input was measured or entered.</p>`];
    return [
      html`<p>Not measured and not entered. Each stands in the bands with its spread, one standard uncertainty. A value in the field named, with its unit, takes its place; where there is none it cannot be entered.</p>`,
      tableBlock(
        ['Quantity', 'Assumed', 'Where from', 'Counts for', 'Field of the trial file'],
        result.assumptions.map((assumption) => [
          shortName(plainName(assumption.quantity)),
          inputText(assumption, result, /wind/i.test(assumption.quantity) ? 'wind' : undefined),
          shortName(assumption.source, 200),
          shortName(assumption.where),
          assumption.field === undefined || assumption.field === null ? 'none' : html`<code>${shortName(assumption.field)}</code>`,
        ]),
        { label: 'Assumptions' },
      ),
    ];
  },
};
