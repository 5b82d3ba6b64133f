import { html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';

/** Fifth: what to do. Advice that several comparisons share is given once. */
export const nextSection: ReportSection = {
  id: 'next',
  title: 'What to do next',
  render: ({ overall }) => {
    const advice = [...new Set(overall.flatMap((item) => item.next))];
    if (advice.length === 0) return null;
    return [html`<ol class="next">${advice.map((text) => html`<li>${shortName(text, 600)}</li>`)}</ol>`];
  },
};
