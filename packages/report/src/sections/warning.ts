import type { WarningLine } from '@pullproof/core';
import { html } from '../html.js';
import type { ReportSection } from '../section.js';

const looks: Readonly<Record<WarningLine['level'], { readonly className: string; readonly role: string; readonly word: string }>> = {
  stop: { className: 'stop', role: 'alarm', word: 'Stop' },
  'nothing alarming seen': { className: '', role: 'muted', word: 'nothing alarming seen' },
  'not measured': { className: 'unmeasured', role: 'muted', word: 'not measured' },
};

/** Second: what the logs say about the engine's health. Never that it is well. */
export const warningSection: ReportSection = {
  id: 'warning',
  title: 'Warning line',
  render: ({ warning }) => {
    const look = looks[warning.level];
    return [
      html`<div class="line role-${look.role} ${look.className}"><p>${warning.sentence}</p>
<ul>${warning.details.map((detail) => html`<li><b>${detail.quantity}</b> <span>${detail.level === 'stop' ? html`<b>Stop:</b> ` : null}${detail.text}</span></li>`)}</ul></div>`,
    ];
  },
};
