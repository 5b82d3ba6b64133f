import type { ForecastResult, ReconcileResult } from '@pullproof/core';
import { renderForecast, renderReconcile } from '@pullproof/report';
import { expect, test } from 'vitest';
import { markupOf, wordsOf } from './reportText.js';

const hostile = '<img src=x onerror=alert(1)>\u202e';
const band = { value: 13.2, low: 13, high: 13.5 };
const provenance = { version: '0', inputs: [], settings: { level: 0.95, gridRpm: 50, seed: 1 } };

const forecast: ForecastResult = {
  schema: 'pullproof/forecast@1',
  title: hostile,
  units: 'imperial',
  provenance,
  day: null,
  forecasts: [
    {
      setup: hostile,
      method: 'simulated',
      etS: band,
      trapMps: { value: 47, low: 46, high: 48 },
      splits: [{ mark: '1320ft', timeS: band, speedMps: null }],
      source: hostile,
      rollOutS: null,
      from60To130MphS: null,
      motion: { distanceM: [0, 100, 410], speedMps: [2, 30, 48] },
      shares: [{ input: 'grip', et: 0.8, trap: 0.2 }],
      draws: { etS: [13.1, 13.3], trapMps: [46.5, 47.5] },
    },
  ],
  worth: [{ change: hostile, setup: hostile, etS: { value: -0.1, low: -0.2, high: 0 }, trapMps: { value: 0.3, low: 0, high: 0.6 } }],
  slips: [
    {
      name: hostile,
      setup: hostile,
      timesS: { '1320ft': 13.24 },
      speedsMps: { '1320ft': 47.5 },
      airDensityKgPerM3: 1.2,
      densityAltitudeM: 200,
      carried: null,
      lesson: null,
    },
  ],
  learned: [],
  assumed: [],
  cautions: ['read yours'],
  findings: [{ code: 'X', severity: 'warning', message: hostile, where: { path: hostile }, fix: hostile }],
};

const reconcile: ReconcileResult = {
  schema: 'pullproof/reconcile@1',
  title: hostile,
  units: 'metric',
  provenance,
  slips: [
    {
      name: hostile,
      setup: hostile,
      log: hostile,
      launchS: null,
      offsetS: null,
      speedScale: null,
      splits: [{ mark: '60ft', slipS: 2, logS: null, low: null, high: null, usedInFit: false }],
      shiftsS: [],
      liftS: null,
      launchSpin: null,
      topGrowth: null,
      powerScaleFromTrap: band,
      reasons: [hostile],
      motion: null,
    },
  ],
  comparisons: [{ before: hostile, after: hostile, etS: band, trapMps: null, verdict: 'cannot tell', passesNeeded: null, runToRunS: 0.06 }],
  cautions: [],
  findings: [],
};

test.each([
  ['forecast', () => renderForecast(forecast)],
  ['reconcile', () => renderReconcile(reconcile)],
])('%s: names from files are inert text, the same bytes each time', (_name, render) => {
  const page = render();
  const body = page.slice(page.indexOf('<body>'), page.indexOf('<script'));
  expect(body).not.toContain('<img');
  expect(page).not.toContain('\u202e');
  expect(body).toContain('&lt;img');
  expect(render()).toBe(page);
});

test('forecast shows value and band in the units of the trial, and the spread, speed and shares as figures', () => {
  const page = renderForecast(forecast);
  const words = wordsOf(markupOf(page));
  expect(words).toContain('13.20 (13.00 to 13.50) 105.1 (102.9 to 107.4)');
  expect(words).toContain('Trap, mph');
  expect(page.match(/<figure id=/g)).toHaveLength(3);
});

test('reconcile without a logged pass says so', () => {
  const page = renderReconcile(reconcile);
  expect(page).toContain('No log of this pass.');
  expect(page).toContain('No slip has a log in which its pass was found.');
});
