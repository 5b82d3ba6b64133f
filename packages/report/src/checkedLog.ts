import type { CheckedLog } from '@pullproof/core';
import { coverageFigure, displayUnits, numberText, type UnitSystem } from '@pullproof/figures';
import { type Html, html, shortName } from './html.js';
import type { Block, Topic } from './section.js';
import { findingsList } from './sections/findings.js';
import { tableBlock } from './table.js';
import { plural } from './topics/parts.js';

type Fitness = NonNullable<CheckedLog['fitness']>[number];

/** Work that a log can be good for. */
export const workWords = { idle: 'idle', cruise: 'cruise', pull: 'pulls' } as const;
/** Verdicts on a log for that work. */
export const fitnessWords: Readonly<Record<Fitness['verdict'], { readonly word: string; readonly role: string }>> = {
  fit: { word: 'good', role: 'gain' },
  'fit with gaps': { word: 'gaps', role: 'unclear' },
  'not fit': { word: 'not usable', role: 'loss' },
};

/**
 * One log as a topic: open where it could not be read, or where it is the only one.
 * @param log of `check`
 * @param number its place, from 1
 */
export function checkedLogTopic(log: CheckedLog, number: number, options: { readonly units: UnitSystem; readonly alone: boolean }): Topic {
  const base = { id: `log-${number}`, title: shortName(log.path === '-' ? 'standard input' : log.path, 60) };
  if (log.dialect === null)
    return {
      ...base,
      state: 'stop',
      status: 'not read',
      sentence: 'It could not be read.',
      open: true,
      blocks: [findingsList(log.findings)],
    };
  const warnings = log.findings.filter(({ severity }) => severity !== 'note').length;
  const dropped = log.rowsDropped === 0 ? '' : `, ${numberText(log.rowsDropped, 0)} skipped`;
  const lasting = log.durationS === null ? '' : `, ${numberText(log.durationS, 0)} s`;
  return {
    ...base,
    state: warnings > 0 ? 'look' : 'plain',
    status: warnings > 0 ? plural(warnings, 'warning') : 'no warning',
    sentence: `${numberText(log.rows, 0)} rows${dropped}${lasting}; ${plural(log.stretches.filter(({ kind }) => kind === 'pull').length, 'pull')}.`,
    open: options.alone,
    blocks: blocksOf(log, options.units),
  };
}

function blocksOf(log: CheckedLog, units: UnitSystem): readonly Block[] {
  const blocks: (Block | null)[] = [
    fitnessHtml(log),
    log.findings.length === 0 ? null : findingsList(log.findings),
    log.coverage === undefined || log.coverage === null
      ? null
      : { figure: coverageFigure(log.coverage, { units }), caption: 'Where the engine was: cells of rpm and load visited' },
    steadyHtml(log, units),
    sectionsHtml(log),
    columnsHtml(log),
  ];
  return blocks.filter((block) => block !== null);
}

function fitnessHtml({ fitness = [] }: CheckedLog): Html {
  return html`<ul class="findings">${fitness.map(({ work, verdict, found, missing, next }) => {
    const { word, role } = fitnessWords[verdict];
    return html`<li><p><b>${workWords[work]}:</b> <span class="tone role-${role}" data-verdict="${word}">${word}</span>. ${found}.</p>
${missing.length === 0 ? null : html`<p class="small">Missing: ${shortName(missing.join(', '), 500)}.</p>`}
${next.map((text) => html`<p><b>Next time:</b> ${shortName(text, 400)}</p>`)}</li>`;
  })}</ul>`;
}

function steadyHtml({ steady }: CheckedLog, units: UnitSystem): Html | null {
  const { pressure } = displayUnits[units];
  const known = (['idle', 'cruise'] as const).flatMap((kind) => {
    const health = steady?.[kind] ?? null;
    return health === null ? [] : [{ kind, health }];
  });
  if (known.length === 0) return null;
  const spread = (one: { readonly mean: number; readonly spread: number } | null, scale: number, decimals: number): string =>
    one === null ? '–' : `${numberText(scale * one.mean, decimals)} ± ${numberText(scale * one.spread, decimals)}`;
  return html`<h3>Idle and cruise</h3>${tableBlock(
    ['Section', 'Engine speed, rpm', `Manifold pressure, ${pressure.symbol} abs`, 'Lambda', 'Leaner than wanted, %', 'Trims, %'],
    known.map(({ kind, health }) => [
      kind === 'idle' ? 'warm idle' : 'cruise',
      spread(health.engineSpeedRpm, 1, 0),
      spread(health.manifoldPressurePa, pressure.fromSi(1), 1),
      spread(health.lambda, 1, 3),
      spread(health.leanShare, 100, 1),
      spread(health.trim, 100, 1),
    ]),
    { label: 'Idle and cruise', numbersFrom: 1 },
  )}<p class="small muted">Average, and how far single readings scatter.</p>`;
}

function sectionsHtml({ stretches }: CheckedLog): Html | null {
  if (stretches.length === 0) return html`<p>No pull, idle, cruise, coast-down or pass was found.</p>`;
  return html`<h3>Sections</h3>${tableBlock(
    ['Section', 'From, s', 'To, s', 'From, rpm', 'To, rpm'],
    stretches.map(({ kind, startS, endS, fromRpm, toRpm }) => [
      kind === 'coast' ? 'coast-down' : kind,
      numberText(startS, 1),
      numberText(endS, 1),
      numberText(fromRpm, 0),
      numberText(toRpm, 0),
    ]),
    { label: 'Sections', numbersFrom: 1 },
  )}`;
}

function columnsHtml({ channels }: CheckedLog): Html {
  return html`<details><summary>Columns</summary>${tableBlock(
    ['Column', 'Read as', 'Unit', 'How known', 'Updates every, s', 'Missing'],
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
