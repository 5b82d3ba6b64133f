import { readFileSync } from 'node:fs';
import { parseTrial, resolveTrial } from '@pullproof/core';
import { expect, test } from 'vitest';

const head = 'trial: 1\n';
const runs = (text: string) => resolveTrial(parseTrial(head + text, 'trial.yaml')).setups.flatMap((setup) => setup.runs);

test('a run takes from its setup, then from its outing, then from the trial', () => {
  const [own, fromSetup, fromOuting, fromTrial] = runs(`
outing: saturday
wind: 1 m/s
outings:
  - { name: saturday, wind: 2 m/s, grade: 0.1 %, when: 2026-05-02T18:20 }
  - { name: sunday, grade: 0.2 % }
setups:
  - { name: a, wind: 3 m/s, runs: [{ log: 1.csv, wind: 4 m/s }, { log: 2.csv }] }
  - { name: b, runs: [{ log: 3.csv }, { log: 4.csv, outing: sunday }] }`);
  expect([own, fromSetup, fromOuting, fromTrial].map((run) => run!.windMps.value)).toEqual([4, 3, 2, 1]);
  expect([own, fromSetup, fromOuting, fromTrial].map((run) => run!.outing)).toEqual(['saturday', 'saturday', 'saturday', 'sunday']);
  expect(fromTrial!.grade.value).toBeCloseTo(0.002);
  expect(fromOuting!.when).toBe('2026-05-02T18:20');
  expect(fromTrial!.when).toBeNull();
});

test('air is taken part by part: a pressure never comes with the altimeter setting of another place', () => {
  const [run, other] = runs(`
air: { altimeter: 29.98 inHg, elevation: 610 ft, humidity: 30 % }
outings: [{ name: saturday, air: { temperature: 20 degC, dew-point: 10 degC } }]
setups:
  - { name: a, runs: [{ log: 1.csv, outing: saturday, air: { pressure: 99.2 kPa } }, { log: 2.csv, air: { temperature: 25 degC } }] }`);
  expect(run!.stationPressurePa).toMatchObject({ value: 99200, standing: 'entered' });
  expect(run!.temperatureK.value).toBeCloseTo(293.15);
  // A dew point of 10 °C at 20 °C is 52.5 %. Source: saturation pressures of water, 1228 and 2339 Pa (steam tables).
  expect(run!.relativeHumidity.value).toBeCloseTo(1228 / 2339, 2);
  expect(other!.relativeHumidity.value).toBe(0.3);
  expect(other!.stationPressurePa.standing).toBe('entered');
});

test('a slip takes from the outing it names, and not from the road of the pulls', () => {
  const { slips } = parseTrial(
    `${head}wind: 3 m/s
outings: [{ name: strip, air: { temperature: 20 degC } }]
setups: [{ name: a, runs: [{ log: 1.csv }] }]
slips: [{ setup: a, outing: strip, times: { 60ft: 2 s } }, { setup: a, times: { 60ft: 2 s } }]`,
    'trial.yaml',
  );
  expect((slips as readonly { wind?: unknown; air?: { temperature?: { text: string } } }[])[0]).toMatchObject({
    wind: undefined,
    air: { temperature: { text: '20 degC' } },
  });
  expect((slips as readonly { air?: unknown }[])[1]!.air).toBeUndefined();
});

test('what an outing states is checked at its own line', () => {
  const refused = (text: string) => {
    try {
      parseTrial(head + text, 'trial.yaml');
    } catch (error) {
      return error as { code: string; where: { field: string; line: number }; fix: string };
    }
    throw new Error('accepted');
  };
  expect(refused('outings: [{ name: sat }]\nsetups: [{ name: a, outing: sta, runs: [{ log: 1.csv }] }]')).toMatchObject({
    code: 'E_TRIAL_CONFLICT',
    fix: 'Did you mean sat?',
  });
  expect(refused('outings: [{ name: sat }, { name: sat }]\nsetups: [{ name: a }]')).toMatchObject({
    code: 'E_TRIAL_CONFLICT',
    where: { field: 'outings[1].name', line: 2 },
  });
  expect(refused('air: { pressure: 99 kPa, altimeter: 30 inHg }\nsetups: [{ name: a }]').where.field).toBe('air.altimeter');
  expect(refused('air: { altimeter: 30 inHg }\nsetups: [{ name: a, runs: [{ log: 1.csv }] }]').code).toBe('E_TRIAL_NEEDS');
  expect(refused('car: { weight: { brochure: 3480 lb }, weighed: { mass: 3478 lb } }\nsetups: [{ name: a }]').code).toBe(
    'E_TRIAL_CONFLICT',
  );
});

test('a brochure weight counts with its true spread, several times that of a scale', () => {
  const massOf = (car: string) =>
    runs(`car: { ${car}, driver: 80 kg, cargo: 0 kg, tank: 60 L }\nsetups: [{ name: a, runs: [{ log: 1.csv, fuel-in-tank: 50 % }] }]`)[0]!
      .massKg;
  const brochure = massOf('weight: { brochure: 1500 kg }');
  const scale = massOf('weighed: { mass: 1500 kg, fuel-in-tank: 57 L, driver: out }');
  expect(brochure.value).toBeCloseTo(scale.value, 6);
  expect(brochure.spread / scale.spread).toBeGreaterThan(5);
  expect(brochure.spread).toBeLessThan(60);
});

test('American spellings and what a run was driven for', () => {
  const [run] = runs(
    'units: us\ncar: { tire: 245/45R17 }\nsetups: [{ name: a, runs: [{ log: 1.csv, kind: pulls, gear: 3 }, { log: 2.csv, tire-radius: 12.4 in }] }]',
  );
  expect(run).toMatchObject({ kind: 'pulls', gear: 3 });
  expect(run!.tyreRadiusM.standing).toBe('entered');
  expect(parseTrial(`${head}units: us\nsetups: [{ name: a }]`, 't').units).toBe('imperial');
});

test('the second example of docs/trial-file.md is a trial file that needs no more weather', () => {
  const document = readFileSync(new URL('../../../docs/trial-file.md', import.meta.url), 'utf8');
  const example = document.split('## Said once')[1]!.split('```')[1]!.replace(/^yaml/, '');
  const { setups, findings } = resolveTrial(parseTrial(example, 'trial.yaml'));
  expect(setups.flatMap((setup) => setup.runs.map(({ airDensityKgPerM3 }) => airDensityKgPerM3.standing))).toEqual(
    Array(4).fill('entered'),
  );
  expect(findings.some(({ code }) => code === 'ASSUMED_WIND')).toBe(false);
});
