import type { WarningLine } from '@pullproof/core';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

const looks: Readonly<Record<WarningLine['level'], { readonly className: string; readonly role: string }>> = {
  stop: { className: 'stop', role: 'alarm' },
  'nothing alarming seen': { className: '', role: 'muted' },
  'not measured': { className: 'unmeasured', role: 'muted' },
};

/** Second: what the logs say about the engine's health. Never that it is well. What was measured and the sentence does not give is listed; the sentence names what was not measured. */
export const warningSection: ReportSection = {
  id: 'warning',
  title: 'Warning line',
  render: ({ warning }) => {
    const look = looks[warning.level];
    const measured = [...warning.details]
      .filter((detail) => detail.level !== 'not measured' && !warning.sentence.includes(detail.text))
      .sort((left, right) => Number(right.level === 'stop') - Number(left.level === 'stop'));
    const list = html`<ul>${measured.map((detail) => html`<li><b>${shortName(detail.quantity)}:</b> ${detail.level === 'stop' ? html`<b>stop</b>, ` : null}${shortName(detail.text, 300)}</li>`)}</ul>`;
    return [
      html`<div class="line role-${look.role} ${look.className}"><p>${warning.sentence}</p>${measured.length === 0 ? null : list}</div>`,
    ];
  },
};

/** Everything that was watched, measured or not. */
export const watchedSection: ReportSection = {
  id: 'watched',
  title: 'What was watched',
  render: ({ warning }) => {
    if (warning.details.length === 0) return null;
    return [
      tableBlock(
        ['Quantity', 'Found', 'In words'],
        warning.details.map((detail) => [shortName(detail.quantity), detail.level, shortName(detail.text, 600)]),
        { label: 'What was watched for the warning line' },
      ),
    ];
  },
};
