import { forecastPass, learnFromSlips, type PassCar, powerTable, type Slip, simulatePass, slipOf } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { usualDay as day, gearedCar, gearedModel as model } from './inventedCars.js';

const truly = (over: (car: PassCar) => Partial<PassCar>): Slip => {
  const slip = slipOf(simulatePass({ ...gearedCar, ...over(gearedCar) }, day));
  return { timesS: slip.timesS, trapsMps: { '660ft': slip.trapsMps['660ft']!, '1320ft': slip.trapsMps['1320ft']! } };
};
const zOf = (learned: ReturnType<typeof learnFromSlips>, name: string): number =>
  learned.carZ[learned.inputs.findIndex((i) => i.name === name)]!;

describe('learning from a slip', () => {
  test('a slip that the model itself printed teaches nothing new', () => {
    const learned = learnFromSlips(model, [{ slip: truly(() => ({})), day }]);
    learned.carZ.forEach((z) => {
      expect(Math.abs(z)).toBeLessThan(0.03);
    });
  });

  test('a poor launch is told from a lack of power', () => {
    const launch = learnFromSlips(model, [{ slip: truly((car) => ({ grip: { ...car.grip, frictionCoefficient: 0.75 } })), day }]);
    const weak = {
      power: powerTable(
        [2500, 4000, 5500, 6800],
        [95e3, 165e3, 205e3, 200e3].map((w) => 0.94 * w),
      ),
    };
    const power = learnFromSlips(model, [{ slip: truly(() => weak), day }]);
    expect(zOf(launch, 'grip')).toBeLessThan(-1);
    expect(Math.abs(zOf(launch, 'power'))).toBeLessThan(0.5);
    expect(zOf(power, 'power')).toBeLessThan(-1);
    expect(Math.abs(zOf(power, 'grip'))).toBeLessThan(0.6);
  });

  test.each([
    [1.6, 1.6],
    [1.6, 0.6],
    [1.6, 0.8],
    [2.2, 0.6],
    [1.7, 0.8],
  ])(
    'grip is found where the car as described (%s) never comes to its limit, and left alone where it does not: truly %s',
    (describedAs, truly) => {
      // Nothing but grip differs, by so many standard uncertainties of 0.4; at the described one no split has a slope against it.
      const of = (frictionCoefficient: number): PassCar => ({ ...gearedCar, grip: { ...gearedCar.grip, frictionCoefficient } });
      expect(simulatePass(of(describedAs), day).gripLimitedS).toBe(0);
      const { timesS, trapsMps } = slipOf(simulatePass(of(truly), day));
      const slip = { timesS, trapsMps: { '1320ft': trapsMps['1320ft']! } };
      const learned = learnFromSlips({ ...model, car: of(describedAs), spreads: { ...model.spreads, gripShare: 0.4 } }, [{ slip, day }]);
      expect(learned.converged).toBe(true);
      expect(Math.abs(zOf(learned, 'grip') - Math.log(truly / describedAs) / 0.4)).toBeLessThan(0.1);
      learned.inputs.forEach(({ name }, i) => {
        if (name !== 'grip') expect(Math.abs(learned.carZ[i]!), name).toBeLessThan(0.1);
      });
      const fitted = learned.slips[0]!.fitted.timesS;
      for (const [mark, time] of Object.entries(timesS)) expect(Math.abs(fitted[mark as keyof typeof fitted]! - time)).toBeLessThan(0.004);
    },
  );

  test('narrows the forecast, and more slips narrow it further', () => {
    const slip = truly((car) => ({ grip: { ...car.grip, frictionCoefficient: 0.9 } }));
    const width = (count: number): number => {
      const learned =
        count === 0
          ? undefined
          : learnFromSlips(
              model,
              Array.from({ length: count }, () => ({ slip, day })),
            );
      const { low, high } = forecastPass(model, day, learned === undefined ? {} : { learned }).elapsedTimeS;
      return high - low;
    };
    expect(width(1)).toBeLessThan(0.6 * width(0));
    expect(width(3)).toBeLessThan(width(1));
  });

  test('shares sum to one and name what matters', () => {
    const { shares } = forecastPass(model, day);
    expect(shares.reduce((sum, s) => sum + s.elapsedTime, 0)).toBeCloseTo(1, 10);
    expect(shares.reduce((sum, s) => sum + s.trap, 0)).toBeCloseTo(1, 10);
    const best = [...shares].sort((a, b) => b.elapsedTime - a.elapsedTime)[0]!;
    expect(best.input).toBe('grip');
    expect(shares.find((s) => s.input === 'power')!.trap).toBeGreaterThan(shares.find((s) => s.input === 'grip')!.trap);
  });

  test('the same seed gives the same band, and half of the draws lie on each side of the most likely pass', () => {
    const once = forecastPass(model, day, { draws: 2000 });
    expect(forecastPass(model, day, { draws: 2000 }).elapsedTimeS).toEqual(once.elapsedTimeS);
    const below = once.draws.elapsedTimeS.filter((t) => t < once.elapsedTimeS.value).length / 2000;
    expect(Math.abs(below - 0.5)).toBeLessThan(0.12);
  });

  test('an eighth-mile slip is enough to start; an empty one is refused', () => {
    const slip = truly((car) => ({ grip: { ...car.grip, frictionCoefficient: 0.85 } }));
    const { '60ft': a, '330ft': b, '660ft': c } = slip.timesS;
    const learned = learnFromSlips(model, [{ slip: { timesS: { '60ft': a!, '330ft': b!, '660ft': c! }, trapsMps: {} }, day }]);
    expect(zOf(learned, 'grip')).toBeLessThan(-0.4);
    expect(() => learnFromSlips(model, [{ slip: { timesS: {}, trapsMps: {} }, day }])).toThrow(/E_STRIP_SLIP/);
  });
});
