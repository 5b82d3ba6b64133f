import { makeLog, plainLogger, studyAir, studyCar } from '@pullproof/simulation';
import { expect, it } from 'vitest';
import { runTrial } from '../../../packages/core/src/jobs/index.js';
import { studyTrialYaml } from '../../../packages/simulation/src/studyCar.js';

/** Two recordings of one car: the same one in both setups would count in neither. */
const [text, another] = [21, 22].map(
  (seed) =>
    makeLog({
      car: studyCar,
      around: studyAir,
      engine: { fullLoadWheelPowerW: (rpm) => 30 * rpm },
      phases: Array.from({ length: 2 }, () => ({ kind: 'pull', gear: 3, fromRpm: 2400, toRpm: 6200, leadS: 2 }) as const),
      logger: plainLogger(),
      seed,
      stepS: 0.01,
    }).text,
) as [string, string];

/** The log with columns put in front of its own, the same text in every row. */
function withColumns(columns: Readonly<Record<string, string>>): string {
  const [header, ...rows] = text.trimEnd().split('\n');
  const cells = header!.split(',');
  const lines = rows.map((row) => row.split(','));
  const put = (own: readonly string[], more: readonly string[]) => [own[0], ...more, ...own.slice(1)].join(',');
  return `${[put(cells, Object.keys(columns)), ...lines.map((own) => put(own, Object.values(columns)))].join('\n')}\n`;
}

/** A setup with this log, and one with another. */
function answer(log: string) {
  const trial = studyTrialYaml(
    'Empty channels',
    ['before', 'after'].map((setup) => ({ name: setup, runs: [{ log: `${setup}.csv`, outing: 'saturday' }] })),
  );
  return runTrial(trial, 'trial.yaml', (path) => ({
    chunks: new TextEncoder().encode(path === 'before.csv' ? log : another),
    sha256: () => path,
  })).setups[0]!;
}

// Found by fuzzing: a channel without one reading was taken where another one tells the quantity, and stopped the routes to power where none did.
it('a channel that holds nothing does not stand before one that does', () => {
  const empty = { 'Manifold absolute pressure (kPa abs)': '', 'Charge air temperature (°C)': '---', 'Satellite speed (km/h)': '' };
  const plain = answer(withColumns({ 'MAP (kPa abs)': '140', 'Charge temperature (°C)': '40' }));
  const both = answer(withColumns({ ...empty, 'MAP (kPa abs)': '140', 'Charge temperature (°C)': '40' }));
  expect(plain.curves.manifoldPressurePa!.value.filter((pa) => pa === 140_000).length).toBeGreaterThan(50);
  expect(plain.pulls[0]!.startChargeTemperatureK).toBe(313.15);
  expect({ curves: both.curves, pulls: both.pulls, routes: both.routes }).toEqual({
    curves: plain.curves,
    pulls: plain.pulls,
    routes: plain.routes,
  });
});

it.each([
  ['Manifold pressure (kPa abs)', ''],
  ['Manifold pressure (kPa abs)', '1e300'],
])('a channel that holds nothing is told like one that is not logged: %s %s', (name, cell) => {
  const temperature = { 'Charge temperature (°C)': '40' };
  expect(answer(withColumns({ [name]: cell, ...temperature })).routes).toEqual(answer(withColumns(temperature)).routes);
});
