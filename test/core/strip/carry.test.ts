import {
  carInputs,
  carrySlip,
  constantPower,
  type PassModel,
  type Slip,
  simulatePass,
  type UncertainDay,
  usualPassSpreads,
  worthOfChange,
} from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { compareSlips } from '../../../packages/core/src/answers/strip/compareSlips.js';
import { seededRandom } from '../../../packages/simulation/src/index.js';
import { constantPowerCar, usualDay, withPower } from './inventedCars.js';

const day: UncertainDay = { ...usualDay, airDensityKgPerM3: 1.225, rollOutM: 0 };
/** A textbook car: constant power, grip of three times its weight. */
const model = (densityExponent: number, dragAreaM2: number): PassModel => ({
  car: { ...constantPowerCar, dragAreaM2, grip: { ...constantPowerCar.grip, frictionCoefficient: 3 } },
  curveDensityKgPerM3: 1.225,
  densityExponent,
  spreads: usualPassSpreads,
});
const slip: Slip = { timesS: { '1320ft': 10.5237 }, trapsMps: { '1320ft': 56.86 } };
const thin = { airDensityKgPerM3: 0.9 * 1.225 };

describe('a slip in another day’s air', () => {
  test('without drag and with power that follows density it is the cube-root rule', () => {
    // Source: the closed form of constant power with a grip limit (CK-8.7); CK-8.17: density ratio 0.90: time × 1.035744, speed × 0.965489.
    const carried = carrySlip(slip, model(1, 0), day, thin);
    const closed = (powerW: number): number => constantPower(1600, powerW, { gripShare: 3 }).elapsedTimeS;
    expect(Math.abs(carried.elapsedTimeS! - 10.5237 - (closed(225e3) - closed(250e3)))).toBeLessThan(1e-3);
    expect(carried.trapMps! / 56.86).toBeCloseTo(0.965489, 2);
    expect(carried.cubeRootS! / 10.5237).toBeCloseTo(1.035744, 6);
    expect(carried.cubeRootMps! / 56.86).toBeCloseTo(0.965489, 6);
    expect(carried.byDragS).toBe(0);
  });

  test('drag falls too, so the net is less than the rule; a controlled engine even gains', () => {
    const blown = carrySlip(slip, model(1, 0.7), day, thin);
    expect(blown.byDragS).toBeLessThan(-0.01);
    expect(blown.byPowerS).toBeGreaterThan(0.3);
    expect(blown.elapsedTimeS!).toBeLessThan(blown.cubeRootS!);
    expect(blown.byDragS + blown.byPowerS).toBeCloseTo(blown.elapsedTimeS! - 10.5237, 9);
    expect(carrySlip(slip, model(0, 0.7), day, thin).elapsedTimeS!).toBeLessThan(10.5237);
  });

  test('what the slip does not show stays unknown', () => {
    const carried = carrySlip({ timesS: { '660ft': 7 }, trapsMps: {} }, model(1, 0.7), day, thin);
    expect([carried.elapsedTimeS, carried.trapMps, carried.cubeRootS, carried.cubeRootMps]).toEqual([null, null, null, null]);
  });

  test('the exponent that slips have taught counts: without drag all of the change is power’s', () => {
    const inputs = carInputs(model(0.7, 0));
    const carZ = Float64Array.from(inputs, ({ name }) => (name === 'power against air density' ? 2 : 0));
    const learned = {
      inputs,
      carZ,
      covariance: new Float64Array(inputs.length ** 2),
      slips: [],
      iterations: 0,
      converged: true,
      misfit: 1,
      cannotBe: false,
    };
    const carried = carrySlip(slip, model(0.7, 0), day, thin, { learned });
    expect(carried.byDragS).toBeCloseTo(0, 9);
    // Two spreads of 0.15 make the exponent 1: the plain rule but for the start on grip.
    expect(carried.byPowerS).toBeCloseTo(carrySlip(slip, model(1, 0), day, thin).byPowerS, 9);
  });
});

describe('the worth of a change', () => {
  const base = model(1, 0);
  const changed = (share: number): PassModel => ({
    ...base,
    car: withPower(base.car, 250e3 * share),
  });

  test('is that of the closed form for the textbook car', () => {
    // Source: constant power with a grip limit, closed form (CK-8.7); v ∝ P^(1/3).
    const worth = worthOfChange(base, day, { model: changed(1.05), day, powerDifferenceSpread: 0 });
    const closed = (powerW: number): number => constantPower(1600, powerW, { gripShare: 3 }).elapsedTimeS;
    expect(Math.abs(worth.elapsedTimeS.value - (closed(262.5e3) - closed(250e3)))).toBeLessThan(1e-3);
    const { trapMps } = simulatePass(base.car, day).marks[4]!;
    expect(worth.trapMps.value).toBeCloseTo(trapMps * (1.05 ** (1 / 3) - 1), 1);
  });

  test('nothing changed is worth exactly nothing; an unsure change has a band about three times narrower than its power', () => {
    const none = worthOfChange(base, day, { model: base, day, powerDifferenceSpread: 0 });
    expect([none.elapsedTimeS, none.trapMps]).toEqual([
      { value: 0, low: 0, high: 0 },
      { value: 0, low: 0, high: 0 },
    ]);
    const unsure = worthOfChange(base, day, { model: base, day, powerDifferenceSpread: 0.01 }, { draws: 2000 });
    const half = (unsure.elapsedTimeS.high - unsure.elapsedTimeS.low) / 2;
    expect(half / (1.96 * 10.52)).toBeCloseTo(0.01 / 3, 3);
  });
});

describe('setups compared by their slips', () => {
  const slips = (setup: string, times: readonly number[]) => times.map((etS) => ({ setup, etS, trapMps: null }));

  test('the band holds the truth in 95 of 100, and says more than noise in at most 1 of 20 where nothing changed', () => {
    const random = seededRandom(11);
    let held = 0;
    let claimed = 0;
    const trials = 2000;
    for (let i = 0; i < trials; i++) {
      const draw = (): number[] => Array.from({ length: 3 }, () => 13.2 + 0.06 * random.normal());
      const [got] = compareSlips('a', 'b', [...slips('a', draw()), ...slips('b', draw())]);
      if (got!.etS!.low <= 0 && got!.etS!.high >= 0) held++;
      if (got!.verdict === 'more than noise') claimed++;
    }
    expect(held / trials).toBeGreaterThan(0.94);
    expect(claimed / trials).toBeLessThan(0.055);
  });

  test('says how many passes would settle a difference', () => {
    const [got] = compareSlips('a', 'b', [...slips('a', [13.2, 13.26]), ...slips('b', [13.14, 13.2])]);
    expect(got!.verdict).not.toBe('more than noise');
    // 2 (1.96 + 0.84)² s²/d², with d = 0.06 s.
    expect(got!.passesNeeded).toBe(Math.ceil((2 * 2.8 ** 2 * got!.runToRunS ** 2) / 0.06 ** 2));
    const [clear] = compareSlips('a', 'b', [...slips('a', [13.2, 13.21, 13.2]), ...slips('b', [12.8, 12.79, 12.8])]);
    expect([clear!.verdict, clear!.passesNeeded]).toEqual(['more than noise', null]);
    expect(compareSlips('a', 'c', slips('a', [13.2]))).toEqual([]);
  });
});
