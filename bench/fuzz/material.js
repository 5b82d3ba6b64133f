import { readFileSync } from 'node:fs';
import { checkLog, readLog } from '@pullproof/core';
import { parse, stringify } from 'yaml';

const samples = new URL('../../sample-logs/', import.meta.url);

/** @param {string} name */
const sample = (name) => readFileSync(new URL(name, samples), 'utf8');

/**
 * A sample log cut down to a few seconds around a pull or pass, the first unless said, so that a whole trial takes milliseconds.
 * @param {string} name @param {'pull' | 'pass'} kind @param {number} [nth] @returns {string}
 */
function cutLog(name, kind, nth = 0) {
  const text = sample(name);
  const { stretches } = checkLog(readLog(new TextEncoder().encode(text), { path: name }));
  const found = stretches.filter((stretch) => stretch.kind === kind)[nth];
  if (found === undefined) throw new Error(`${name} has no ${kind}`);
  const lines = text.split('\n');
  const heading = /^\d/.test(lines[1] ?? '') ? 1 : 2;
  return `${[...lines.slice(0, heading), ...lines.slice(Math.max(heading, found.firstRow - 40), found.lastRow + 40)].join('\n')}\n`;
}

/** `pulls`: two pulls of each setup, a log each. @typedef {{ trialText: string, csvTrialText: string, trial: any, smallTrials: readonly any[], slipsCsv: string, formulas: readonly string[], logs: ReadonlyMap<string, string>, pulls: ReadonlyMap<string, string>, smallLog: string }} Material */

/** What is changed: a trial of two setups with one short log each, slips, formulas, logs. @returns {Material} */
export function material() {
  const trial = parse(sample('trial.yaml'));
  const { setups } = trial;
  for (const setup of setups) setup.runs = setup.runs.slice(0, 1);
  setups.splice(1, 1);
  trial.calculated = { 'pressure-ratio': 'manifold_pressure / barometric_pressure', build: 'rate(pressure_ratio, 0.4 s)' };
  const logs = new Map(
    /** @type {const} */ ([
      ['base-north.csv', 'pull'],
      ['pulley-north.csv', 'pull'],
      ['pass-base.csv', 'pass'],
    ]).map(([name, kind]) => [name, cutLog(name, kind)]),
  );
  const first = /** @type {string} */ (logs.get('base-north.csv'));
  return {
    trial,
    trialText: stringify(trial),
    csvTrialText: stringify({ ...trial, slips: 'slips.csv' }),
    smallTrials: smallTrials(trial),
    slipsCsv: [
      'setup,when,60ft,330ft,660ft,1000ft,1320ft,660ft speed (mph),1320ft speed (mph),temperature (degC),pressure (kPa),humidity (%),wind (m/s),fuel-in-tank (L)',
      'base,2026-05-30T19:05,2.560,6.623,9.833,12.510,14.771,77.62,99.68,18.5,99.6,55,0.8,22',
      '74 mm pulley,2026-05-30T20:35,2.553,6.593,9.790,12.459,14.716,77.97,99.86,18.5,99.6,55,0.8,18',
      '',
    ].join('\n'),
    formulas: [
      'manifold_pressure / barometric_pressure',
      'rate(smooth(engine_speed, 0.4 s), 400 ms) / (1 rpm/s)'.replace('rpm/s', 'rpm'),
      'injector_pulse_width * engine_speed / 720 deg',
      '0.5 * 1.2 kg/m^3 * 0.7 m^2 * road_speed ^ 3 + 1560 kg * acceleration * road_speed',
      'max(charge_temperature - 20 degC, min(5 K, 2 * (3 K + 1 K)))',
      'atan(sqrt(abs(throttle - 45 %)) ^ 1.5) + 90 deg - spark_advance',
    ],
    logs,
    pulls: new Map(
      ['base-north', 'pulley-north'].flatMap((name) =>
        [0, 1].map((nth) => /** @type {[string, string]} */ ([`${name}-${nth}.csv`, cutLog(`${name}.csv`, 'pull', nth)])),
      ),
    ),
    smallLog: `${first.split('\n').slice(0, 60).join('\n')}\n`,
  };
}

/** Parts of the trial that stand alone: small ones are read ten times as fast. @param {any} trial @returns {any[]} */
function smallTrials({ car, setups, slips, calculated }) {
  const keys = Object.keys(car);
  const bare = { trial: 1, car: {}, setups: [{ name: 'base', runs: [{ log: 'base-north.csv' }] }] };
  const perPart = 4;
  return [
    ...Array.from({ length: Math.ceil(keys.length / perPart) }, (_, i) => ({
      ...bare,
      car: Object.fromEntries([...keys.slice(perPart * i, perPart * (i + 1)), 'gear-ratios', 'final-drive'].map((key) => [key, car[key]])),
    })),
    ...setups.map((/** @type {any} */ setup) => ({ ...bare, car: { tank: car.tank }, setups: [setup] })),
    { ...bare, car: { tank: car.tank }, slips: slips.slice(0, 1) },
    { ...bare, calculated },
  ];
}
