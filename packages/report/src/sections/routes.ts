import type { RoutesResult, TrialResult } from '@pullproof/core';
import { displayUnits, numberText, routesFigure } from '@pullproof/figures';
import { type Html, html, shortName } from '../html.js';
import type { Block, ReportSection } from '../section.js';
import { tableBlock } from '../table.js';
import { keepTogether } from '../text.js';
import { inputTable } from './fuelSupply.js';

/** Three routes to power side by side. */
export const routesSection: ReportSection = {
  id: 'routes',
  title: 'Power, cross-checked three ways',
  render: (result) => {
    const known = result.setups.flatMap(({ name, routes }, place) =>
      routes === null || routes === undefined ? [] : [{ name, routes, place }],
    );
    if (known.length === 0) return null;
    return [
      html`<p class="small muted">Crank power by motion, by air and by fuel. Use it to catch a mistake, not as an average.</p>`,
      html`<ul class="plain">${known.map(({ name, routes }) => html`<li><b>${shortName(name, 60)}:</b> ${keepTogether(shortName(routes.sentence, 500))}</li>`)}</ul>`,
      known
        .filter(({ routes }) => routes.routes.some(({ crankPowerW }) => crankPowerW !== null))
        .map(({ name, place }) => ({
          figure: routesFigure(result, { setup: place }),
          caption: `Crank power of ${shortName(name, 40)} by each way`,
        })),
      ...known.flatMap(({ name, routes }): Block[] => [
        ...(routes.pairs.length === 0 ? [] : [pairList(name, routes)]),
        routeDetails(name, routes, result),
      ]),
    ];
  },
};

function pairList(name: string, { pairs }: RoutesResult): Html {
  return html`<h3>${shortName(name, 60)}: one way vs another</h3><ul class="plain">${pairs.map(
    ({ agrees, sentence, regions, usuallyMeans }) =>
      html`<li><b>${agrees ? 'Agree' : 'Disagree'}.</b> ${shortName(sentence, 500)}${
        regions.length === 0
          ? null
          : html` <span class="muted">Beyond the margins: ${regions
              .map(
                ({ fromRpm, toRpm, meanShare }) =>
                  `${numberText(fromRpm, 0)} to ${numberText(toRpm, 0)} rpm ${numberText(100 * meanShare, 0, { signed: true })}%`,
              )
              .join('; ')}.</span>`
      }${usuallyMeans.length === 0 ? null : html`<br>Usually means: <ul class="plain">${usuallyMeans.map((text) => html`<li>${shortName(text, 300)}</li>`)}</ul>`}</li>`,
  )}</ul>`;
}

function routeDetails(name: string, { routes }: RoutesResult, result: TrialResult): Html {
  const { power } = displayUnits[result.units];
  const label = shortName(name, 60);
  return html`<details><summary>How each way works for ${label}, and what it uses</summary>${tableBlock(
    ['Way', 'By', 'Channels', 'Can it be used?'],
    routes.map((route) => [
      shortName(route.name, 80),
      shortName(route.equation, 300),
      route.channels.length === 0 ? '–' : shortName(route.channels.join(', '), 160),
      shortName(route.status ?? 'yes', 300),
    ]),
    { label: `Ways to crank power, ${label}` },
  )}${routes.map((route) =>
    route.inputs.length === 0
      ? null
      : html`<p><b>${shortName(route.name, 80)}</b></p>${inputTable(
          route.inputs,
          result,
          `Inputs of ${shortName(route.name, 60)}, ${label}`,
          {
            title: `Moves power by, ${power.symbol}`,
            text: ({ contributionW }) => (contributionW === null ? '–' : `±${numberText(Math.abs(power.fromSi(contributionW)), 1)}`),
          },
        )}`,
  )}</details>`;
}
