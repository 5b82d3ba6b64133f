import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** Everything that was watched, measured or not. */
export const watchedSection: ReportSection = {
  id: 'watched',
  title: 'What was watched',
  render: ({ warning }) => [
    html`<p>${warning.sentence}</p>`,
    ...(warning.details.length === 0
      ? []
      : [
          tableBlock(
            ['What', 'Found', 'In words'],
            warning.details.map((detail) => [
              shortName(detail.quantity),
              detail.level === 'stop' ? html`<b>stop</b>` : detail.level,
              shortName(detail.text, 600),
            ]),
            { label: 'What was watched' },
          ),
        ]),
  ],
};
