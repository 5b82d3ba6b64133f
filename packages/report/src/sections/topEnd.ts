import type { TopEndAnalysis, TopEndCauseResult, TopEndObservation, TopEndReason, TrialResult } from '@pullproof/core';
import { displayUnits, numberText, significantText, topEndFigure } from '@pullproof/figures';
import { type Html, html, shortName, trustedHtml } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { asSentence, keepTogether, unitsFor } from '../text.js';

/** Panels of one figure: what fits on a page of paper. */
const panelsOfFigure = 4;
/** Up to this many logs are named in a line; the figure's table names all. */
const mostLogs = 3;

/** What limits the top end: every cause that was weighed, with what speaks for it, what against, and the readings. */
export const topEndSection: ReportSection = {
  id: 'top-end',
  title: 'What limits the top end',
  render: (result) => {
    const { topEnd } = result;
    if (topEnd === undefined) return null;
    const compared = topEnd.comparisons.flatMap((analysis) => analysisBlocks(analysis, result));
    const single = topEnd.setups.flatMap((analysis) => analysisBlocks(analysis, result));
    if (compared.length + single.length === 0) return null;
    return [
      html`<p class="small muted">Ranked by how well each cause matches the log. A match is not proof. A channel that was not logged counts neither way.</p>`,
      ...compared,
      ...single,
    ];
  },
};

function analysisBlocks(analysis: TopEndAnalysis, result: TrialResult): Block[] {
  const { before, after, answer, sentence, causes, leading, leftOut, notLogged, next } = analysis;
  const title = before === null ? html`${shortName(after, 60)} by itself` : html`${shortName(after, 60)} vs ${shortName(before, 60)}`;
  const head = html`<h3>${title}</h3>
<p><b>${asSentence(answer)}</b> ${keepTogether(shortName(sentence, 800))}</p>${windowsText(analysis)}`;
  if (causes.length === 0) return [head];
  const foremost = causes.filter(({ cause, words }) => leading.includes(cause) || words === 'well supported' || words === 'supported');
  const others = causes.filter((cause) => !foremost.includes(cause));
  const told = new Set(foremost.map(({ wouldDecide }) => wouldDecide));
  const further = next.filter((text) => !told.has(text));
  const figures = evidenceFigures(analysis, foremost.length > 0 ? foremost : causes.slice(0, 2), result);
  return [
    head,
    html`<ol class="causes">${foremost.map((cause) => causeHtml(cause, analysis))}</ol>
${further.length === 0 ? null : html`<p><b>Next:</b></p><ul class="plain">${further.map((text) => html`<li>${shortName(text, 400)}</li>`)}</ul>`}`,
    ...(figures.length === 0 ? [] : [figures]),
    html`${
      others.length === 0
        ? null
        : html`<details><summary>Other causes<span class="for-reader">: ${title}</span></summary><ol class="causes" start="${foremost.length + 1}">${others.map((cause) => causeHtml(cause, analysis))}</ol></details>`
    }
<details><summary>Everything that was checked<span class="for-reader">: ${title}</span></summary>${observationTable(analysis, result)}
${leftOut.length === 0 ? null : html`<p>Not ranked:</p><ul class="plain">${leftOut.map(({ name, reason }) => html`<li>${shortName(name, 60)}: ${shortName(reason, 300)}</li>`)}</ul>`}
${notLogged.length === 0 ? null : html`<p>Worth logging next time: ${shortName(notLogged.join(', '), 600)}.</p>`}</details>`,
  ];
}

function windowsText({ fade: { lowRpm, topRpm } }: TopEndAnalysis): Html | null {
  if (lowRpm === null || topRpm === null) return null;
  const span = ([from, to]: readonly [number, number]): string => `${numberText(from, 0)} to ${numberText(to, 0)} rpm`;
  return html`<p class="small muted">Low: ${span(lowRpm)}. Top: ${span(topRpm)}.</p>`;
}

function causeHtml(cause: TopEndCauseResult, analysis: TopEndAnalysis): Html {
  const reasons = (title: string, list: readonly TopEndReason[]): Html | null =>
    list.length === 0
      ? null
      : html`<p class="small"><b>${title}:</b></p><ul class="plain small">${list.map((reason) => html`<li>${reasonHtml(reason, analysis)}</li>`)}</ul>`;
  return html`<li><p><b>${shortName(cause.name, 60)}</b>: ${cause.words}, <span class="small">match ${numberText(100 * cause.weight, 0)}%</span> ${bar(cause.weight)}</p>
${reasons('For', cause.speaksFor)}
${reasons('Against', cause.speaksAgainst)}
${cause.notLogged.length === 0 ? null : html`<p class="small">Not logged: ${shortName(cause.notLogged.join(', '), 400)}.</p>`}
<p class="small"><b>To find out:</b> ${shortName(cause.wouldDecide, 400)}</p></li>`;
}

function reasonHtml({ observation: id, points, sentence }: TopEndReason, analysis: TopEndAnalysis): Html {
  const observation = analysis.observations.find((one) => one.id === id);
  const rests = observation === undefined ? null : html` <span class="muted">${restsOn(observation)}</span>`;
  return html`${keepTogether(asSentence(shortName(sentence, 500)))} <b class="number">${numberText(points, 1, { signed: true })}</b>${rests}`;
}

/** Which readings an observation rests on, in a line; the figure beside it shows them one pull at a time. */
function restsOn({ id, name, channels, samples }: TopEndObservation): string {
  const what = `${shortName(name, 60)}${channels.length === 0 ? '' : ` (${shortName(channels.join(', '), 80)})`}`;
  if (samples.length === 0) return `${what}${id === 'torque' ? ', from the curves of torque' : ''}.`;
  const count = samples.reduce((sum, sample) => sum + sample.count, 0);
  const pulls = new Set(
    samples.filter(({ window }) => window === 'top').map(({ setup, log, startS }) => JSON.stringify([setup, log, startS])),
  );
  const logs = [...new Set(samples.map(({ log }) => log))];
  return `${what}: ${numberText(count, 0)} readings of ${numberText(pulls.size, 0)} ${pulls.size === 1 ? 'pull' : 'pulls'}, ${
    logs.length > mostLogs ? `${numberText(logs.length, 0)} logs` : shortName(logs.join(', '), 160)
  }.`;
}

/** Figures of the observations on which the reasons for these causes rest, the weightiest first. */
function evidenceFigures(
  analysis: TopEndAnalysis,
  causes: readonly TopEndCauseResult[],
  result: TrialResult,
): { readonly figure: ReturnType<typeof topEndFigure>; readonly caption: string }[] {
  const reasons = causes.flatMap(({ speaksFor, speaksAgainst }) => [...speaksFor, ...speaksAgainst]);
  const ids = [
    ...new Set([...reasons].sort((left, right) => Math.abs(right.points) - Math.abs(left.points)).map((reason) => reason.observation)),
  ];
  const drawn = ids.filter((id) =>
    analysis.observations.some((one) => one.id === id && one.traces.some(({ value }) => value.some((at) => at !== null))),
  );
  const figures: { figure: ReturnType<typeof topEndFigure>; caption: string }[] = [];
  for (let start = 0; start < drawn.length; start += panelsOfFigure) {
    const observations = drawn.slice(start, start + panelsOfFigure);
    const names = observations.map((id) => analysis.observations.find((one) => one.id === id)!.name.toLowerCase());
    figures.push({ figure: topEndFigure(result, { analysis, observations }), caption: `What the reasons use: ${names.join(', ')}` });
  }
  return figures;
}

function observationTable(analysis: TopEndAnalysis, result: TrialResult): Html {
  const { before } = analysis;
  return tableBlock(
    [
      'What',
      'Channels',
      ...(before === null ? ['Low', 'Top'] : ['Low, before → after', 'Top, before → after']),
      'Change, low to top',
      'Readings',
      'In words',
    ],
    analysis.observations.map((observation) => {
      const { value: unit } = unitsFor(observation.unit, result);
      const value = (si: number | null | undefined): string =>
        si === null || si === undefined ? '–' : significantText(unit.fromSi(si), 4);
      const symbol = unit.symbol === '' ? '' : ` ${unit.symbol}`;
      const pair = (window: 'low' | 'top'): string =>
        before === null
          ? `${value(observation.after[window])}${symbol}`
          : `${value(observation.before?.[window])} → ${value(observation.after[window])}${symbol}`;
      return [
        shortName(observation.name, 80),
        shortName(observation.channels.join(', '), 80),
        pair('low'),
        pair('top'),
        courseText(observation, result),
        numberText(
          observation.samples.reduce((sum, { count }) => sum + count, 0),
          0,
        ),
        shortName(observation.sentence, 400),
      ];
    }),
    { label: `Everything that was checked: ${shortName(analysis.after, 60)}` },
  );
}

/** The course with its spread: per cent where it is relative, else in its unit. */
function courseText({ trend, trendSpread, trendUnit }: TopEndObservation, result: TrialResult): string {
  if (trendUnit === '1') return `${numberText(100 * trend, 1, { signed: true })} ± ${numberText(100 * trendSpread, 1)}%`;
  const unit = trendUnit === 'K' ? displayUnits[result.units].temperatureDifference : unitsFor(trendUnit, result).value;
  return `${numberText(unit.fromSi(trend), 1, { signed: true })} ± ${numberText(unit.fromSi(trendSpread), 1)} ${shortName(unit.symbol, 12)}`;
}

function bar(share: number): Html {
  return trustedHtml(
    `<svg width="60" height="9" viewBox="0 0 60 9" aria-hidden="true"><rect class="bar-mark" width="${(60 * share).toFixed(1)}" height="9"/></svg>`,
  );
}
