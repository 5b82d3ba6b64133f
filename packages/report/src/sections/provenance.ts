import { numberText } from '@pullproof/figures';
import { cautions } from '../cautions.js';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

/** What must be said wherever a result asks for more driving. */
export const cautionsSection: ReportSection = {
  id: 'cautions',
  title: 'Cautions',
  render: () => [html`<ul class="plain">${cautions.map((caution) => html`<li>${caution}</li>`)}</ul>`],
};

/** From what, and with what, this was made. */
export const provenanceSection: ReportSection = {
  id: 'provenance',
  title: 'Provenance',
  render: ({ provenance, schema }) => [
    html`<p>Pullproof ${provenance.version}, <code>${schema}</code>. The same files, version and settings give the same result, byte for byte.</p>`,
    tableBlock(
      ['File', 'Rows', 'Rows dropped', 'SHA-256'],
      provenance.inputs.map((input) => [
        shortName(input.path, 160),
        numberText(input.rows, 0),
        numberText(input.rowsDropped, 0),
        html`<code class="hash">${input.sha256}</code>`,
      ]),
      { label: 'Input files' },
    ),
    html`<p>Settings: ${Object.entries(provenance.settings).map(([name, value], index) => html`${index === 0 ? '' : ', '}<code>${shortName(name, 60)} ${shortName(String(value), 60)}</code>`)}.</p>`,
  ],
};
