import { type Finding, placeText, type Severity, type TrialResult } from '@pullproof/core';
import { numberText } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { ReportSection } from '../section.js';

const order: readonly Severity[] = ['error', 'warning', 'note'];
const roles: Readonly<Record<Severity, string>> = { error: 'alarm', warning: 'loss', note: 'muted' };
const plural: Readonly<Record<Severity, string>> = { error: 'errors', warning: 'warnings', note: 'notes' };

/** Everything a person should know about the data, with what to do about it. */
export const findingsSection: ReportSection = {
  id: 'findings',
  title: 'Findings',
  render: ({ findings }: TrialResult) => {
    if (findings.length === 0) return [html`<p>None.</p>`];
    const counts = order.flatMap((severity) => {
      const count = findings.filter((finding) => finding.severity === severity).length;
      return count === 0 ? [] : [`${count} ${count === 1 ? severity : plural[severity]}`];
    });
    return [html`<p>${counts.join(', ')}.</p>`, findingsList(findings)];
  },
};

/** Findings as a list, the gravest first. */
export function findingsList(findings: readonly Finding[]): Html {
  const sorted = order.flatMap((severity) => findings.filter((finding) => finding.severity === severity));
  return html`<ul class="findings">${sorted.map(findingHtml)}</ul>`;
}

function findingHtml(finding: Finding): Html {
  return html`<li><p><span class="severity role-${roles[finding.severity]}">${finding.severity}</span> <code>${shortName(finding.code, 80)}</code>${
    finding.count === undefined || (finding.count > 1 && finding.message.includes(` ${finding.count} `))
      ? null
      : html` <span class="muted">seen ${finding.count === 1 ? 'once' : `${numberText(finding.count, 0)} times`}</span>`
  }</p>
<p>${shortName(finding.message, 1000)}</p>
${whereText(finding) === '' ? null : html`<p class="where">${whereText(finding)}</p>`}
${finding.fix === '' ? null : html`<p><b>Do:</b> ${shortName(finding.fix, 600)}</p>`}</li>`;
}

function whereText({ where }: Finding): string {
  const place = placeText({ ...where, ...(where.channel === undefined ? {} : { channel: shortName(where.channel, 80) }) }).replace(
    /: $/,
    '',
  );
  const range = (from: number | undefined, to: number | undefined, unit: string, decimals: number): string[] =>
    from === undefined && to === undefined ? [] : [`${numberText(from, decimals)} to ${numberText(to, decimals)} ${unit}`];
  return [
    ...(place === '' ? [] : [shortName(place, 240)]),
    ...(where.setup === undefined ? [] : [shortName(where.setup, 60)]),
    ...range(where.fromTimeS, where.toTimeS, 's', 2),
    ...range(where.fromRpm, where.toRpm, 'rpm', 0),
  ].join(', ');
}
