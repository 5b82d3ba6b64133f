import type { CheckedLog, CheckResult, Finding } from '@pullproof/core';
import { coverageFigure, displayUnits, logUnits, numberText, palette } from '@pullproof/figures';
import { cautions } from './cautions.js';
import { type Html, html, shortName } from './html.js';
import { FigureNumbers, page } from './renderReport.js';
import { findingsList } from './sections/findings.js';
import { tableBlock } from './table.js';

const workWords = { idle: 'Idle', cruise: 'Cruise', pull: 'Full-load pulls' } as const;
const verdictRoles = { fit: 'gain', 'fit with gaps': 'unclear', 'not fit': 'loss' } as const;

/**
 * What logs are fit for, as one HTML file that opens without a network.
 * @param result from `check`; nothing else is read
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderCheck(result: CheckResult): string {
  const figures = new FigureNumbers();
  const logs = result.logs.map((log, index) => logHtml(log, index + 1, figures));
  const body = html`<a class="skip" href="#logs">To the logs</a>
<header><h1>What is in these logs</h1><p>Are they fit for use? <span class="muted">What is missing, and what to log next</span></p></header>
<main id="logs">
${result.logs.length < 2 ? null : html`<nav aria-label="Logs"><ul>${result.logs.map((log, index) => html`<li><a href="#log-${index + 1}">${shortName(log.path, 60)}</a></li>`)}</ul></nav>`}
${logs}
${result.logs.some(({ fitness = [] }) => fitness.some(({ next }) => next.length > 0)) ? html`<p class="line">${cautions[0]}</p>` : null}
</main>
<noscript><p class="line">The figures are drawn by the script inside this file, and scripts are switched off. Their numbers stand under “In words and numbers”.</p></noscript>`;
  return page('What is in these logs', body, { figures: figures.all, palette });
}

function logHtml(log: CheckedLog, number: number, figures: FigureNumbers): Html {
  const head = html`<h2 id="log-${number}-title">${shortName(log.path === '-' ? 'standard input' : log.path, 120)}</h2>`;
  const open = (content: Html): Html =>
    html`<section id="log-${number}" class="section" aria-labelledby="log-${number}-title">${head}${content}</section>`;
  if (log.dialect === null) return open(html`<p><b>It could not be read.</b></p>${findingsHtml(log.findings)}`);
  const dropped = log.rowsDropped === 0 ? '' : `, ${numberText(log.rowsDropped, 0)} dropped`;
  const lasting = log.durationS === null ? '' : `, ${numberText(log.durationS, 0)} s`;
  return open(html`<p class="muted">${numberText(log.rows, 0)} rows${dropped}${lasting}</p>
${fitnessHtml(log)}
${steadyHtml(log)}
${log.coverage === undefined ? null : html`<h3>Where the engine was</h3>${figures.place({ figure: coverageFigure(log.coverage, { units: logUnits(log) }), caption: 'Cells of engine speed and load that were visited' })}`}
${stretchesHtml(log)}
${channelsHtml(log)}
${findingsHtml(log.findings)}`);
}

function fitnessHtml({ fitness = [] }: CheckedLog): Html {
  return html`<ul class="findings">${fitness.map(
    ({
      work,
      verdict,
      found,
      missing,
      next,
    }) => html`<li><p><b>${workWords[work]}:</b> <span class="role-${verdictRoles[verdict]}" style="color:var(--role)"><b>${verdict}</b></span>. ${found}</p>
${missing.length === 0 ? null : html`<p class="small">Missing: ${shortName(missing.join(', '), 500)}.</p>`}
${next.map((text) => html`<p><b>Log next:</b> ${shortName(text, 400)}</p>`)}</li>`,
  )}</ul>`;
}

function steadyHtml(log: CheckedLog): Html | null {
  const { steady } = log;
  const pressure = displayUnits[logUnits(log)].pressure;
  const known = (['idle', 'cruise'] as const).flatMap((kind) => {
    const health = steady?.[kind] ?? null;
    return health === null ? [] : [{ kind, health }];
  });
  if (known.length === 0) return null;
  const spread = (one: { readonly mean: number; readonly spread: number } | null, scale: number, decimals: number): string =>
    one === null ? '–' : `${numberText(scale * one.mean, decimals)} ± ${numberText(scale * one.spread, decimals)}`;
  return html`<h3>Idle and cruise</h3>${tableBlock(
    ['Stretch', 'Engine speed, rpm', `Manifold pressure, ${pressure.symbol}`, 'Lambda', 'Leaner than wanted, %', 'Trims, %'],
    known.map(({ kind, health }) => [
      kind === 'idle' ? 'warm idle' : 'cruise',
      spread(health.engineSpeedRpm, 1, 0),
      spread(health.manifoldPressurePa, pressure.fromSi(1), 1),
      spread(health.lambda, 1, 3),
      spread(health.leanShare, 100, 1),
      spread(health.trim, 100, 1),
    ]),
    { label: 'Idle and cruise', numbersFrom: 1 },
  )}<p class="small muted">Mean and standard deviation of a reading.</p>`;
}

function stretchesHtml({ stretches }: CheckedLog): Html | null {
  if (stretches.length === 0) return html`<p>No pull, idle, cruise, coast or pass was found.</p>`;
  return html`<h3>Stretches</h3>${tableBlock(
    ['Stretch', 'From, s', 'To, s', 'From, rpm', 'To, rpm'],
    stretches.map(({ kind, startS, endS, fromRpm, toRpm }) => [
      kind,
      numberText(startS, 1),
      numberText(endS, 1),
      numberText(fromRpm, 0),
      numberText(toRpm, 0),
    ]),
    { label: 'Stretches', numbersFrom: 1 },
  )}`;
}

function channelsHtml({ channels }: CheckedLog): Html {
  return html`<details><summary>Columns</summary>${tableBlock(
    ['Column', 'Is', 'Unit', 'How it is known', 'New reading every, s', 'Missing'],
    channels.map(({ name, quantity, unit, standing, refreshS, missing }) => [
      shortName(name, 60),
      quantity ?? 'unknown',
      shortName(unit, 12),
      standing,
      refreshS === null ? '–' : numberText(refreshS.median, 3),
      numberText(missing, 0),
    ]),
    { label: 'Columns', numbersFrom: 4 },
  )}</details>`;
}

function findingsHtml(findings: readonly Finding[]): Html | null {
  return findings.length === 0 ? null : html`<h3>Findings</h3>${findingsList(findings)}`;
}
