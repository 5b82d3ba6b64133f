import type { Finding, TrialResult } from '@pullproof/core';
import { type Html, html } from '../html.js';
import { splitSentence } from '../text.js';

/** Most lines of caution; a link leads to the rest. */
const mostCautions = 3;

/** One line for each thing that has to be known before anything else; nothing where there is none. */
export function warningStrip({ warning, findings, overall }: TrialResult): Html | null {
  const lines: Html[] = [];
  if (warning.level === 'stop') lines.push(line('stop', '#engine', warning.sentence));
  if (warning.level === 'not measured') lines.push(line('caution', '#engine', splitSentence(warning.sentence)[0]));
  // What a verdict already says, and what a stop already says, is not said twice.
  const told = new Set(overall.flatMap(({ reasons }) => reasons));
  const other = findings.filter((finding) => !told.has(finding.code) && !(warning.level === 'stop' && isEngineFinding(finding)));
  return warningLines(other, lines);
}

/** Errors and warnings as lines that lead to them, behind what must stand before them. */
export function warningLines(findings: readonly Finding[], before: readonly Html[] = []): Html | null {
  const grave = cautionsOf(findings);
  const rest = grave.length - mostCautions;
  const lines = [
    ...before,
    ...grave.slice(0, mostCautions).map((finding) => line('caution', anchorOf(finding), textOf(finding))),
    ...(rest > 0 ? [line('caution', '#log-quality', `${rest} more ${rest === 1 ? 'warning' : 'warnings'}`)] : []),
  ];
  return lines.length === 0 ? null : html`<ul class="strip" aria-label="Read this first">${lines}</ul>`;
}

/** Whether a finding is one of the engine's limits. */
export function isEngineFinding({ code }: Finding): boolean {
  return /^W_(LEAN|KNOCK|CHARGE|FUEL_PRESSURE|INJECTOR|ROTOR)/.test(code);
}

/** Errors before warnings. */
export function cautionsOf(findings: readonly Finding[]): readonly Finding[] {
  const rank = { error: 0, warning: 1, note: 2 } as const;
  return findings.filter(({ severity }) => severity !== 'note').sort((a, b) => rank[a.severity] - rank[b.severity]);
}

function anchorOf({ code, where }: Finding): string {
  return /FASTENER/.test(code) || where.field?.startsWith('changes') === true ? '#change-sheet' : '#log-quality';
}

function textOf({ message, where }: Finding): string {
  const place = where.setup ?? where.path;
  const text = splitSentence(message)[0];
  return place === undefined || place.length > 30 || text.includes(place) ? text : `${place}: ${text}`;
}

function line(kind: 'stop' | 'caution', anchor: string, text: string): Html {
  return html`<li class="${kind}"><a href="${anchor}">${cut(text, kind === 'stop' ? 200 : 120)}</a></li>`;
}

/** Cut between words. */
function cut(text: string, longest: number): string {
  return text.length > longest ? `${text.slice(0, text.lastIndexOf(' ', longest - 1))}…` : text;
}
