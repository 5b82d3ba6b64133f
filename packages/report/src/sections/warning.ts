import type { WarningLine } from '@pullproof/core';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';

const looks: Readonly<Record<WarningLine['level'], { readonly className: string; readonly role: string }>> = {
  stop: { className: 'stop', role: 'alarm' },
  'nothing alarming seen': { className: '', role: 'muted' },
  'not measured': { className: 'unmeasured', role: 'muted' },
};

/** Second: what the logs say about the engine's health. Never that it is well. */
export const warningSection: ReportSection = {
  id: 'warning',
  title: 'Warning line',
  render: ({ warning }) => {
    const look = looks[warning.level];
    return [
      html`<div class="line role-${look.role} ${look.className}"><p>${warning.sentence}</p>
<ul>${warning.details.map((detail) => html`<li><b>${shortName(detail.quantity)}:</b> ${detail.level === 'stop' ? html`<b>stop</b>, ` : null}${shortName(detail.text, 300)}</li>`)}</ul></div>`,
    ];
  },
};
