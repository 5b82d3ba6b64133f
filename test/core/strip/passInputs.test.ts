import { extrapolationSpread, type PassModel, powerTable, type UncertainDay } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { carInputs, movedPass, ownInputs } from '../../../packages/core/src/strip/passInputs.js';
import { gearedCar, gearedModel, usualDay } from './inventedCars.js';

const model: PassModel = {
  ...gearedModel,
  car: {
    ...gearedCar,
    gears: [
      { rpmPerMps: 225, rotatingFactor: 1.25 },
      { rpmPerMps: 110, rotatingFactor: 1.09 },
    ],
    power: powerTable([2000, 4000, 6000], [80e3, 160e3, 200e3]),
  },
};
const day: UncertainDay = { ...usualDay, windMps: 1, grade: 0.001 };
const moved = (name: string, z: number, on: UncertainDay = day) => {
  const at = (inputs: readonly { readonly name: string }[]) => Float64Array.from(inputs, (input) => (input.name === name ? z : 0));
  return movedPass(model, on, at(carInputs(model)), at(ownInputs(model, on)));
};

describe('inputs of a pass', () => {
  test('are those of the car, then those of the pass, each with its spread', () => {
    const told = [...carInputs(model), ...ownInputs(model, day)].map(({ name, spread, scope }) => [name, spread, scope]);
    expect(told).toEqual([
      ['power', 0.03, 'car'],
      ['slope of the power curve', 0.02, 'car'],
      ['power beyond the measured engine speeds', 1, 'car'],
      ['power against air density', 0.15, 'car'],
      ['grip', 0.18, 'car'],
      ['launch', 0.5, 'car'],
      ['shifts', 0.3, 'car'],
      ['mass', 0.01, 'car'],
      ['drag area', 0.05, 'car'],
      ['rolling resistance', 0.08, 'car'],
      ['roll-out', 0.04, 'car'],
      ['rotating parts', 0.25, 'car'],
      ['engine speed at launch', 0.1, 'car'],
      ['grip of the pass', 0.03, 'pass'],
      ['power of the pass', 0.007, 'pass'],
      ['wind', 0.5, 'pass'],
      ['slope of the strip', 0.0003, 'pass'],
      ['air density', 0.004, 'pass'],
      ['fuel and load of the pass', 0.002, 'pass'],
    ]);
  });

  test('not moved leave car and day as they are', () => {
    const { car, day: met } = moved('none', 0);
    const { power, ...rest } = car;
    const { power: was, ...asGiven } = model.car;
    expect(rest).toEqual(asGiven);
    for (const rpm of [1000, 2500, 6000, 7000]) expect(power.at(rpm)).toBeCloseTo(was.at(rpm), 6);
    expect(met).toEqual({ airDensityKgPerM3: 1.16, windMps: 1, grade: 0.001, rollOutM: 0.29 });
  });

  const powerAt = (name: string, rpm: number, on?: UncertainDay): number => moved(name, 2, on).car.power.at(rpm) / model.car.power.at(rpm);
  const thin = { ...day, airDensityKgPerM3: 1.05 };
  test.each([
    ['power', 3000, Math.exp(0.06)],
    ['power of the pass', 3000, Math.exp(0.014)],
    // Opposite at the two ends, nothing in the middle; held beyond the ends.
    ['slope of the power curve', 2000, 1 - 0.04],
    ['slope of the power curve', 4000, 1],
    ['slope of the power curve', 5000, 1 + 0.02],
    ['slope of the power curve', 7000, 1 + 0.04],
    // 6 % for every 1,000 rpm beyond.
    ['power beyond the measured engine speeds', 1500, Math.exp(2 * 0.03)],
    ['power beyond the measured engine speeds', 4000, 1],
    ['power beyond the measured engine speeds', 7000, Math.exp(2 * 0.06)],
    ['air density', 3000, Math.exp(0.008) ** 0.95],
  ])('%s at %s rpm, two spreads up', (name, rpm, share) => {
    expect(powerAt(name, rpm)).toBeCloseTo(share, 9);
  });
  test('power follows density by its exponent', () => {
    expect(powerAt('none', 3000, thin)).toBeCloseTo((1.05 / 1.16) ** 0.95, 9);
    expect(powerAt('power against air density', 3000, thin)).toBeCloseTo((1.05 / 1.16) ** (0.95 + 0.3), 9);
  });

  test('grip, launch, shifts, drag and rolling move by shares', () => {
    expect(moved('grip', -1).car.grip).toEqual({ ...model.car.grip, frictionCoefficient: Math.exp(-0.18) });
    expect(moved('grip of the pass', 2).car.grip.frictionCoefficient).toBeCloseTo(Math.exp(0.06), 12);
    expect(moved('launch', 1).car.launch).toEqual({ ...model.car.launch, riseS: 0.2 * Math.exp(0.5) });
    expect(moved('shifts', 1).car.shift).toEqual({ ...model.car.shift, holeS: 0.3 * Math.exp(0.3) });
    expect(moved('drag area', 1).car.dragAreaM2).toBeCloseTo(0.68 * Math.exp(0.05), 12);
    expect(moved('rolling resistance', 1).car.rollingCoefficient).toBeCloseTo(0.012 * Math.exp(0.08), 12);
  });

  test.each([
    ['mass', 0.01, 1],
    ['fuel and load of the pass', 0.002, 1],
    ['none', 0, 1.05],
  ])('another load (%s) weighs, but what spins weighs the same', (name, share, massFactor) => {
    const { car } = moved(name, 1, { ...day, massFactor });
    expect(car.massKg).toBeCloseTo(1600 * massFactor * Math.exp(share), 9);
    const spinning = (factor: number, massKg: number): number => (factor - 1) * massKg;
    expect(spinning(car.gears[0]!.rotatingFactor, car.massKg)).toBeCloseTo(0.25 * 1600, 9);
    expect(spinning(car.gears[1]!.rotatingFactor, car.massKg)).toBeCloseTo(0.09 * 1600, 9);
    expect(spinning(car.neutralRotatingFactor, car.massKg)).toBeCloseTo(0.03 * 1600, 9);
    expect(car.gears.map(({ rpmPerMps }) => rpmPerMps)).toEqual([225, 110]);
  });

  test('the day moves by amounts; nobody rolls backwards out of the beam', () => {
    expect(moved('wind', -2).day.windMps).toBeCloseTo(0, 12);
    expect(moved('slope of the strip', 2).day.grade).toBeCloseTo(0.0016, 12);
    expect(moved('air density', 1).day.airDensityKgPerM3).toBeCloseTo(1.16 * Math.exp(0.004), 12);
    expect(moved('roll-out', 1).day.rollOutM).toBeCloseTo(0.33, 12);
    expect(moved('roll-out', -8).day.rollOutM).toBe(0);
  });
});

describe('power table', () => {
  test('is straight between its points, of one torque below and of one power above', () => {
    // Points off the even grid of the table: 40 steps of 87.5 rpm would miss 3210, so its steps are of 25 rpm and a corner is cut by a few watts.
    const table = powerTable([2000, 3210, 5500], [60e3, 120e3, 150e3]);
    expect([table.fromRpm, table.toRpm]).toEqual([2000, 5500]);
    for (const [rpm, watt] of [
      [500, 15e3],
      [2000, 60e3],
      [2605, 90e3],
      [4355, 135e3],
      [5490, 150e3 - (30e3 * 10) / 2290],
      [5500, 150e3],
      [9000, 150e3],
    ] as const)
      expect(table.at(rpm)).toBeCloseTo(watt, 5);
    // Within the 25 rpm around the corner the chord is below it, by at most 12.5 rpm of the change of slope.
    expect(Math.abs(table.at(3210) - 120e3)).toBeLessThan((60e3 / 1210 - 30e3 / 2290) * 12.5);
  });

  test.each([
    [[2417, 2903, 3366, 3821, 4309, 4777, 5231, 5698, 6163], 0.001],
    [[6003, 6017, 6058, 6071, 6103], 0.005],
  ])('hardly cuts the corners of a curve that was measured at any engine speeds: %s', (rpm, share) => {
    // A torque that bends by a thirtieth from point to point.
    const watt = rpm.map((n, i) => n * (30 + (i % 2)));
    const table = powerTable(rpm, watt);
    rpm.forEach((n, i) => {
      expect(Math.abs(table.at(n) / watt[i]! - 1)).toBeLessThan(share);
    });
  });

  test('leaves out what was not measured', () => {
    const table = powerTable([1000, 2000, 2500, 3000, 4000], [null, 60e3, Number.NaN, 90e3, null]);
    expect([table.fromRpm, table.toRpm, table.at(2500)]).toEqual([2000, 3000, 75e3]);
  });

  test.each([
    ['one point', [2000], [60e3], 'E_STRIP_CURVE', /a power curve needs two points, given 1\. Log at least one pull of this setup\./],
    ['nothing measured', [2000, 3000], [null, null], 'E_STRIP_CURVE', /given 0/],
    [
      'falling engine speed',
      [3000, 2000],
      [60e3, 70e3],
      'E_STRIP_CURVE',
      /engine speed must rise, at 2000 rpm it does not\. Sort the curve\./,
    ],
    ['equal engine speed', [2000, 2000], [60e3, 70e3], 'E_STRIP_CURVE', /at 2000 rpm/],
    ['no engine speed', [0, 2000], [0, 70e3], 'E_STRIP_CURVE', /at 0 rpm/],
  ])('refuses %s', (_, rpm, watt, code, message) => {
    expect(() => powerTable(rpm, watt)).toThrow(expect.objectContaining({ code }));
    expect(() => powerTable(rpm, watt)).toThrow(message);
  });

  test('is trusted 6 % less for every 1,000 rpm outside', () => {
    const table = powerTable([2000, 6000], [60e3, 120e3]);
    expect([1500, 2000, 4000, 6000, 7500].map((rpm) => extrapolationSpread(table, rpm))).toEqual([0.03, 0, 0, 0, 0.09]);
  });
});
