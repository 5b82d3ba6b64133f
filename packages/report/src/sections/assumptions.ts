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
      html`<p>Each one widens the margin. To replace it, fill in the field named; where there is none it cannot be entered.</p>`,
      tableBlock(
        ['What', 'Assumed, give or take', 'From', 'For', 'Field of the trial file'],
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
