import type { Finding } from '@pullproof/core';
import { inertText } from './inertText.js';
import { wrapped } from './layout.js';
import { findingText } from './problemText.js';
import { type Style, shownBy } from './style.js';

/** Findings that are more than notes, as lines; none where there are none. */
export function toldLines(findings: readonly Finding[], style: Style): string[] {
  return findings
    .filter(({ severity }) => severity !== 'note')
    .flatMap((finding) => wrapped(findingText(finding, style), style.width, '', '  '));
}

/** Where the report is, or how to have one. */
export function reportLine(report: string | null, style: Style): string {
  if (report === null) return 'For figures and everything behind this: add --report report.html.';
  return `The report is in ${shownBy(inertText(report), style)}.`;
}

/** What stands below a forecast and below slips beside their logs: cautions, findings, the report. */
export function closingLines(
  { cautions, findings }: { readonly cautions: readonly string[]; readonly findings: readonly Finding[] },
  report: string | null,
  style: Style,
): string[] {
  const told = toldLines(findings, style);
  return [
    ...cautions.flatMap((caution) => wrapped(shownBy(inertText(caution), style), style.width)),
    '',
    ...told,
    ...(told.length > 0 ? [''] : []),
    reportLine(report, style),
  ];
}
