import { describe, expect, test } from 'vitest';
import { beyondCeiling, pressureBeyondCeiling } from '../../../packages/core/src/sensors/index.js';
import { inventedCeiling } from './inventedCeiling.js';

const ceiling = inventedCeiling({ side: 'upper', value: 205, quantum: 0.2, toleranceBelow: 0.08 });
const rpms = Array.from({ length: 161 }, (_, i) => 2500 + 25 * i);
const before = (rpm: number): number => 150 + 40 * Math.sin((rpm - 2500) / 2800);
/** 6 % more drive: the whole curve moves. */
const truth = (rpm: number): number => 1.1 * before(rpm);
const read = (rpm: number, i: number): number => Math.round((truth(rpm) + 0.4 * Math.sin(12.9898 * (i + 1))) / 0.2) * 0.2;

describe('beyond a ceiling', () => {
  const axis = Float64Array.from(rpms);
  const values = Float64Array.from(rpms, (rpm, i) => Math.min(205, read(rpm, i)));
  const at = [5800, 6000, 6200, 6400];

  test('the estimate lies at or above the ceiling, carries the shape of the other setup, and holds the truth', () => {
    const { estimates, label } = beyondCeiling(axis, values, ceiling, at, before, { base: 100 });
    expect(label).toMatch(/^Model-based estimate \(\d+ readings below the ceiling, \d+ on it/);
    const said = estimates.filter((one) => one !== null);
    expect(said.length).toBeGreaterThan(2);
    estimates.forEach((one, i) => {
      if (one === null) return;
      expect(one.low).toBeGreaterThanOrEqual(205);
      expect(one.low).toBeLessThanOrEqual(truth(at[i]!));
      expect(one.high).toBeGreaterThanOrEqual(truth(at[i]!));
      expect(one.high - one.low).toBeLessThan(0.12 * 210);
    });
  });

  test('the same readings give the same estimate, turned round as well', () => {
    const upper = beyondCeiling(axis, values, ceiling, at, before);
    expect(beyondCeiling(axis, values, ceiling, at, before)).toEqual(upper);
    const floor = inventedCeiling({ side: 'lower', value: -205, quantum: 0.2, toleranceBelow: 0.08 });
    const lower = beyondCeiling(
      axis,
      values.map((value) => -value),
      floor,
      at,
      (rpm) => -before(rpm),
    );
    lower.estimates.forEach((one, i) => {
      const other = upper.estimates[i] ?? null;
      expect(one === null).toBe(other === null);
      if (one === null || other === null) return;
      expect(one.high).toBeLessThanOrEqual(-205);
      expect(one.value).toBeCloseTo(-other.value, 6);
    });
  });

  test('no number where nothing of the car was read free of the ceiling, or too far from what was read', () => {
    const pulls = [{ rpm: rpms, values: [...values] }];
    expect(pressureBeyondCeiling(pulls, ceiling)).toBeNull();
    const short = { rpm: rpms.slice(0, 80), values: rpms.slice(0, 80).map(before) };
    expect(pressureBeyondCeiling(pulls, ceiling, { references: [[short]] })).toBeNull();
    const whole = { rpm: rpms, values: rpms.map(before) };
    const found = pressureBeyondCeiling(pulls, ceiling, { references: [[short], [whole]], stationPressurePa: 100 })!;
    expect(found.engineSpeedRpm.every((rpm) => truth(rpm) > 204)).toBe(true);
    const lowest = Math.min(...rpms.filter((_, i) => values[i] === 205));
    found.engineSpeedRpm.forEach((rpm, i) => {
      if (rpm > lowest + 1500) expect(found.estimates[i]).toBeNull();
    });
  });

  test('a wild curve is not carried: a band wider than 6 % is no number', () => {
    const wild = values.map((value, i) => (value < 205 ? value + 8 * Math.sin(2.1 * i) : value));
    for (const one of beyondCeiling(axis, wild, ceiling, at, before).estimates)
      if (one !== null) expect((one.high - one.low) / 2 / one.value).toBeLessThanOrEqual(0.06);
  });
});
