import type { BandedNumber, Finding, ForecastResult, ReconcileResult } from '@pullproof/core';
import {
  bandText,
  displayUnits,
  forecastMotionFigure,
  forecastSpreadFigure,
  inputSharesFigure,
  loggedMotionFigure,
  numberText,
  palette,
} from '@pullproof/figures';
import { type Html, html, shortName } from './html.js';
import { FigureNumbers, page } from './renderReport.js';
import { tableBlock } from './table.js';

const methodWords: Readonly<Record<ForecastResult['forecasts'][number]['method'], string>> = {
  'constant-power': 'limit of constant power',
  'huntington-1958': 'rule of Huntington, 1958',
  hale: 'rule of Hale',
  simulated: 'simulated, before any slip',
  'simulated-learned': 'simulated, learned from slips',
};

/**
 * A forecast as one HTML file that opens without a network.
 * @param result from `forecastTrial`; nothing else is read
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderForecast(result: ForecastResult): string {
  const figures = new FigureNumbers();
  const { speed } = displayUnits[result.units];
  const seconds = ({ value, low, high }: BandedNumber, signed = false): string =>
    low === high ? numberText(value, 2) : bandText(value, low, high, { decimals: 2, unit: '', signed });
  const speeds = ({ value, low, high }: BandedNumber, signed = false): string =>
    low === high
      ? numberText(speed.fromSi(value), 1)
      : bandText(speed.fromSi(value), speed.fromSi(low), speed.fromSi(high), { decimals: 1, unit: '', signed });
  const best = [...new Set(result.forecasts.map(({ setup }) => setup))].map(
    (setup) => result.forecasts.findLast((one) => one.setup === setup)!,
  );
  const answer = section('answer', 'What it will run', [
    ...best.map(
      ({ setup, etS, trapMps }) =>
        html`<p><strong>${shortName(setup, 60)}: ${seconds(etS)} s, ${speeds(trapMps)} ${speed.symbol}</strong></p>`,
    ),
    result.day === null
      ? null
      : html`<p class="small muted">Quarter mile, 95 % bands, for ${shortName(result.day.source, 200)}: ${numberText(result.day.airDensityKgPerM3, 3)} kg/m³, density altitude ${numberText(result.day.densityAltitudeM, 0)} m.</p>`,
    html`<ul>${result.cautions.map((caution) => html`<li>${caution}</li>`)}</ul>`,
    figures.place({ figure: forecastSpreadFigure(result), caption: 'The forecast as a spread of possible passes' }),
  ]);
  const further = [
    section('methods', 'Every method', [
      tableBlock(
        ['Setup', 'Method', 'Elapsed time, s', `Trap speed, ${speed.symbol}`, '60 to 130 mph, s'],
        result.forecasts.map(({ setup, method, etS, trapMps, from60To130MphS }) => [
          shortName(setup, 60),
          methodWords[method],
          seconds(etS),
          speeds(trapMps),
          numberText(from60To130MphS, 2),
        ]),
        { label: 'Forecasts by every method', numbersFrom: 2 },
      ),
      html`<ul class="small">${[...new Map(result.forecasts.map(({ method, source }) => [method, source]))].map(
        ([method, source]) => html`<li>${methodWords[method]}: ${shortName(source, 300)}.</li>`,
      )}</ul>`,
    ]),
    section('splits', 'Along the strip', [
      figures.place({ figure: forecastMotionFigure(result), caption: 'Speed against distance of the most likely pass' }),
      tableBlock(
        ['Setup', 'Mark', 'Time, s', `Speed, ${speed.symbol}`],
        best.flatMap(({ setup, splits }) =>
          splits.map(({ mark, timeS, speedMps }) => [
            shortName(setup, 60),
            mark.replace('ft', ' ft'),
            seconds(timeS),
            speedMps === null ? '–' : speeds(speedMps),
          ]),
        ),
        { label: 'Splits', numbersFrom: 2 },
      ),
    ]),
    result.worth.length === 0
      ? null
      : section('worth', 'What a change is worth here', [
          tableBlock(
            ['Change', 'Elapsed time, s', `Trap speed, ${speed.symbol}`],
            result.worth.map(({ change, etS, trapMps }) => [shortName(change, 80), seconds(etS, true), speeds(trapMps, true)]),
            { label: 'Worth of changes', numbersFrom: 1 },
          ),
          html`<p class="small muted">Each change alone, everything else and all luck the same. Minus seconds is quicker.</p>`,
        ]),
    section('inputs', 'What the band is made of', [
      figures.place({ figure: inputSharesFigure(result), caption: 'Share of each input in the spread of the forecast' }),
      html`<ul class="small">${result.assumed.map(({ quantity, value, source }) => html`<li>Assumed: ${quantity} ${value} (${source}).</li>`)}</ul>`,
    ]),
    result.slips.length === 0
      ? null
      : section('slips', 'What the slips have taught', [
          tableBlock(
            [
              'Slip',
              'Setup',
              'Elapsed time, s',
              'Against the promise',
              'Launch',
              'Shifts',
              'Power',
              'Rest',
              'In the air above, s',
              'By the cube root, s',
            ],
            result.slips.map(({ name, setup, timesS, lesson, carried }) => [
              shortName(name, 60),
              shortName(setup, 40),
              numberText(timesS['1320ft'], 3),
              ...[lesson?.etS, lesson?.launchS, lesson?.shiftsS, lesson?.powerS, lesson?.otherS].map((s) =>
                numberText(s, 2, { signed: true }),
              ),
              numberText(carried?.etS, 2),
              numberText(carried?.cubeRootEtS, 2),
            ]),
            { label: 'Slips', numbersFrom: 2 },
          ),
        ]),
    findingsOf(result.findings),
  ];
  return stripPage(result.title, 'Before the strip', answer, further, figures);
}

/**
 * Slips beside their logs as one HTML file that opens without a network.
 * @param result from `reconcileTrial`; nothing else is read
 * @returns the whole file as text; the same result gives the same bytes
 */
export function renderReconcile(result: ReconcileResult): string {
  const figures = new FigureNumbers();
  const three = (value: number | null, signed = false): string => numberText(value, 3, { signed });
  const band = (value: BandedNumber | null, decimals: number): string =>
    value === null ? '–' : bandText(value.value, value.low, value.high, { decimals, unit: '' });
  const slips = result.slips.map(
    (slip) => html`<h3>${shortName(slip.name, 60)}, ${shortName(slip.setup, 60)}</h3>
<ul>${slip.reasons.map((reason) => html`<li>${reason}</li>`)}</ul>
${
  slip.splits.some(({ logS }) => logS !== null)
    ? tableBlock(
        ['Mark', 'Slip, s', 'Log, s', 'Log less slip', '95 % band of the log', 'In the fit'],
        slip.splits.map(({ mark, slipS, logS, low, high, usedInFit }) => [
          mark.replace('ft', ' ft'),
          three(slipS),
          three(logS),
          slipS === null || logS === null ? '–' : three(logS - slipS, true),
          low === null ? '–' : `${three(low)} to ${three(high)}`,
          usedInFit ? 'used' : 'held out',
        ]),
        { label: `Splits of ${shortName(slip.name, 60)}`, numbersFrom: 1 },
      )
    : html`<p class="muted">No log of this pass.</p>`
}`,
  );
  const answer = section('answer', 'Does the slip agree', [
    result.slips.length === 0 ? html`<p>The trial has no slips.</p>` : null,
    ...slips,
  ]);
  const further = [
    section('motion', 'The logged pass', [
      figures.place({ figure: loggedMotionFigure(result), caption: 'Speed against distance, from the log, scaled to the slip' }),
      tableBlock(
        ['Slip', 'Clock started, s of the log', 'True over logged speed', 'Spin at launch', 'Power over the pulls, from the trap'],
        result.slips.map((slip) => [
          shortName(slip.name, 60),
          numberText(slip.launchS, 2),
          band(slip.speedScale, 4),
          slip.launchSpin === null ? '–' : `${numberText(100 * slip.launchSpin, 0)} %`,
          band(slip.powerScaleFromTrap, 3),
        ]),
        { label: 'What the fit found', numbersFrom: 1 },
      ),
    ]),
    result.comparisons.length === 0
      ? null
      : section('setups', 'Setups by their slips', [
          tableBlock(
            ['From', 'To', 'Elapsed time, s', 'Verdict', 'Passes repeat within, s', 'Passes of each to settle it'],
            result.comparisons.map(({ before, after, etS, verdict, runToRunS, passesNeeded }) => [
              shortName(before, 60),
              shortName(after, 60),
              band(etS, 2),
              verdict,
              numberText(runToRunS, 2),
              passesNeeded === null ? '–' : numberText(passesNeeded, 0),
            ]),
            { label: 'Setups by their slips', numbersFrom: 2 },
          ),
          html`<p class="small muted">All slips carried to the air of the first.</p>`,
        ]),
    section('cautions', 'Cautions', [html`<ul>${result.cautions.map((caution) => html`<li>${caution}</li>`)}</ul>`]),
    findingsOf(result.findings),
  ];
  return stripPage(result.title, 'After the strip', answer, further, figures);
}

interface Section {
  readonly id: string;
  readonly title: string;
  readonly markup: Html;
}

function section(id: string, title: string, blocks: readonly (Html | null)[]): Section {
  return {
    id,
    title,
    markup: html`<section id="${id}" class="section" aria-labelledby="${id}-title"><h2 id="${id}-title">${title}</h2>${blocks}</section>`,
  };
}

function findingsOf(findings: readonly Finding[]): Section | null {
  if (findings.length === 0) return null;
  const order = { error: 0, warning: 1, note: 2 } as const;
  const sorted = [...findings].sort((a, b) => order[a.severity] - order[b.severity]);
  return section('findings', 'Findings', [
    html`<ul class="small">${sorted.map(
      ({ severity, message, fix, code, where }) =>
        html`<li><strong>${severity}</strong> ${placeOf(where)}${shortName(message, 600)} ${shortName(fix, 300)} <span class="muted">${code}</span></li>`,
    )}</ul>`,
  ]);
}

function placeOf(where: Finding['where']): string {
  const parts = [where.path, where.row === undefined ? undefined : `row ${where.row}`, where.field ?? where.channel].filter(
    (part) => part !== undefined,
  );
  return parts.length === 0 ? '' : `${shortName(parts.join(' '), 120)}: `;
}

function stripPage(title: string, lead: string, answer: Section, further: readonly (Section | null)[], figures: FigureNumbers): string {
  const shown = further.filter((one) => one !== null);
  const body = html`<a class="skip" href="#answer">To the answer</a>
<header><h1>${shortName(title, 160)}</h1><p>${lead}</p></header>
<main>
${answer.markup}
<nav aria-label="Sections"><ul>${shown.map(({ id, title: words }) => html`<li><a href="#${id}">${words}</a></li>`)}</ul></nav>
${shown.map(({ markup }) => markup)}
</main>
<noscript><p class="line">The figures are drawn by the script inside this file, and scripts are switched off. Their numbers stand under “In words and numbers”.</p></noscript>`;
  return page(title, body, { figures: figures.all, palette });
}
