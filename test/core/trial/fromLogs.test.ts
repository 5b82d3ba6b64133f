import { draftFromLogs, groupLogs, parseTrial, systemOfColumns, trialText, withField } from '@pullproof/core';
import { describe, expect, test } from 'vitest';

const grouped = (...paths: string[]) =>
  groupLogs(paths.map((path) => ({ path }))).map(({ name, logs }) => [name, logs.map(({ path }) => path)]);

describe('logs into setups', () => {
  test('by name: letters, numbers and headings count runs', () => {
    expect(grouped('x/base-a.csv', 'x/base-b.csv', 'x/cooler_1.csv', 'x/cooler_2.csv')).toEqual([
      ['base', ['x/base-a.csv', 'x/base-b.csv']],
      ['cooler', ['x/cooler_1.csv', 'x/cooler_2.csv']],
    ]);
    expect(grouped('base-north.csv', 'base-again-south.csv', '74mm-north.csv')).toEqual([
      ['base', ['base-north.csv', 'base-again-south.csv']],
      ['74mm', ['74mm-north.csv']],
    ]);
    expect(grouped('stage2.csv', 'stage3.csv').map(([name]) => name)).toEqual(['stage2', 'stage3']);
  });

  test('the state before comes first, whatever the order', () => {
    expect(grouped('after1.csv', 'after2.csv', 'before1.csv').map(([name]) => name)).toEqual(['before', 'after']);
  });

  test('by content: a log without a pull makes no setup of its own', () => {
    const pull = [{ kind: 'pull' }];
    const logs = [
      { path: 'base-1.csv', stretches: pull },
      { path: 'pulley-1.csv', stretches: pull },
      { path: 'pulley-idle.csv', stretches: [{ kind: 'idle' }] },
      { path: 'baseline coast.csv', stretches: [{ kind: 'coast' }] },
    ];
    expect(groupLogs(logs).map(({ name, logs: own }) => [name, own.length])).toEqual([
      ['base', 2],
      ['pulley', 2],
    ]);
  });
});

describe('a trial as data', () => {
  const draft = draftFromLogs(groupLogs([{ path: 'before.csv' }, { path: 'after.csv' }]), { reading: { delimiter: ';', rateHz: 25 } });

  test('is checked like a file, and says the field where no line can be said', () => {
    const file = parseTrial(withField(draft, 'setups[1].air.temperature', '72 degF'), 'logs');
    expect(file.setups[1]!.runs![0]!.air?.temperature?.si).toBeCloseTo(295.37, 2);
    expect([file.units, file.unitsOpen]).toEqual(['imperial', undefined]);
    expect(() => parseTrial(withField(draft, 'car.weighed.mass', '3478'), 'logs')).toThrow(/logs car\.weighed\.mass: .*E_UNIT_MISSING/);
    expect(() => withField(draft, 'setups[2].air', '')).toThrow(/E_STATED/);
    expect(() => withField(draft, 'title.x', '')).toThrow(/E_STATED/);
  });

  test('as text comes back the same, whatever was entered', () => {
    const entered: readonly (readonly [string, string])[] = [
      ['car.weighed.mass', '3478 lb'],
      ['car.driver', '180 lb'],
      ['car.blower.crank-pulley', '150 mm'],
      ['car.name', 'yes: # "no"'],
      ['air.temperature', '21.5 degC'],
      ['setups[0].outing', '1e3'],
      ['setups[1].outing', '- on'],
      ['setups[1].wind', '-2 m/s'],
    ];
    const full = entered.reduce((made, [field, value]) => withField(made, field, value), draft);
    const { path: _, ...asData } = parseTrial(full, 'x');
    const { path: __, ...asText } = parseTrial(trialText(full), 'x');
    expect(asText).toEqual(asData);
    expect(asText.setups[0]!.outing).toBe('1e3');
  });

  test('with nothing entered its text is a trial too', () => {
    expect(parseTrial(trialText(draft), 'x').setups.map(({ name }) => name)).toEqual(['before', 'after']);
  });
});

test('logs vote for units by temperature, speed and pressure, whatever the engine computer sends', () => {
  expect(systemOfColumns(['rpm', '°F', 'psi', 'mph', 'g/s', 'N m'])).toBe('imperial');
  expect(systemOfColumns(['°C', '°C', 'kPa', 'mph'])).toBe('metric');
  expect(systemOfColumns(['°F', 'kPa'])).toBeNull();
  expect(systemOfColumns(['rpm', '%', ''])).toBeNull();
});
