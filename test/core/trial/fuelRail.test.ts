import { parseTrial, readLog, resolveTrial } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { fuelRailOf, fuelRailOfRuns } from '../../../packages/core/src/pulls/fuelRail.js';

const inputsOf = (injectors: string) =>
  resolveTrial(parseTrial(`trial: 1\ncar: { ${injectors} }\nsetups: [{ name: a, runs: [{ log: a.csv }] }]`, 'trial.yaml')).setups[0]!
    .runs[0]!;
const notSaid = inputsOf('name: x');

/** Idle, cruise, then a pull: manifold pressure from 35 to 190 kPa; the rail as it stands over the air. */
function logOf(railKpa: (manifoldKpa: number) => number, fromKpa = 35) {
  const rows = Array.from({ length: 200 }, (_, i) => {
    const manifold = fromKpa + (155 * i) / 199;
    return `${(i / 20).toFixed(2)},${900 + 25 * i},${manifold.toFixed(1)},${railKpa(manifold).toFixed(1)}`;
  });
  const text = `Time (s),Engine speed (rpm),Manifold pressure (kPa abs),Fuel pressure (kPa)\n${rows.join('\n')}\n`;
  return readLog(new TextEncoder().encode(text), { path: 'a.csv' });
}
// A pump that gives out in the pull: from 120 kPa up the rail rises no further.
const sagging = (manifold: number): number => 300 + Math.min(manifold, 120) - 100;

describe('what the fuel rail does', () => {
  test('is read below the air’s pressure, where every pump keeps up: one that follows and then sags is no fixed one', () => {
    expect(fuelRailOf({ inputs: notSaid, log: logOf((manifold) => 200 + manifold) })).toEqual({ rail: 'referenced', standing: 'measured' });
    expect(fuelRailOf({ inputs: notSaid, log: logOf(() => 300) })).toEqual({ rail: 'fixed', standing: 'measured' });
    expect(fuelRailOf({ inputs: notSaid, log: logOf(sagging) })).toEqual({ rail: 'referenced', standing: 'measured' });
  });

  test('what was entered wins, of several runs as well; without part load nobody can say', () => {
    const entered = inputsOf('injectors: { rail: fixed }');
    const follows = logOf((manifold) => 200 + manifold);
    expect(fuelRailOf({ inputs: entered, log: follows })).toEqual({ rail: 'fixed', standing: 'entered' });
    const pullOnly = logOf((manifold) => 200 + manifold, 95);
    expect(fuelRailOf({ inputs: notSaid, log: pullOnly })).toBeNull();
    expect(fuelRailOf({ inputs: notSaid, log: logOf((manifold) => 250 + manifold / 2) })).toBeNull();
    const runs = [pullOnly, follows].map((log) => ({ inputs: notSaid, log }));
    expect(fuelRailOfRuns(runs)).toEqual({ rail: 'referenced', standing: 'measured' });
    expect(fuelRailOfRuns([...runs, { inputs: entered, log: pullOnly }])).toEqual({ rail: 'fixed', standing: 'entered' });
    expect(fuelRailOfRuns([])).toBeNull();
  });
});
