import type { WarningLine } from '@pullproof/core';
import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';
import { tableBlock } from '../table.js';

const looks: Readonly<Record<WarningLine['level'], { readonly className: string; readonly role: string }>> = {
  stop: { className: 'stop', role: 'alarm' },
  'nothing alarming seen': { className: '', role: 'muted' },
  'not measured': { className: 'unmeasured', role: 'muted' },
};

/** Second: what the logs say about the engine's health. Never that it is well. What was measured and the sentence does not give is listed; what was not measured is always named. */
export const warningSection: ReportSection = {
  id: 'warning',
  title: 'Warning line',
  render: ({ warning }) => {
    const look = looks[warning.level];
    const measured = [...warning.details]
      .filter((detail) => detail.level !== 'not measured' && !warning.sentence.includes(detail.text))
      .sort((left, right) => Number(right.level === 'stop') - Number(left.level === 'stop'));
    const sentence = warning.sentence.toLowerCase();
    const unnamed = warning.details.filter(
      (detail) => detail.level === 'not measured' && !sentence.includes(detail.quantity.toLowerCase()),
    );
    const items = [
      ...measured.map(
        (detail) =>
          html`<li><b>${shortName(detail.quantity)}:</b> ${detail.level === 'stop' ? html`<b>stop</b>, ` : null}${shortName(detail.text, 300)}</li>`,
      ),
      ...(unnamed.length === 0
        ? []
        : [html`<li><b>not measured:</b> ${unnamed.map((detail) => shortName(detail.quantity)).join(', ')}</li>`]),
    ];
    return [
      html`<div class="line role-${look.role} ${look.className}"><p>${warning.sentence}</p>${items.length === 0 ? null : html`<ul>${items}</ul>`}</div>`,
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
