import { alignSlip, findPass, type Slip } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { acceleration, clockS, logOf, marks, groundSpeed as options, rolledM, slip, timeTo, trapAt, truth } from './evenAcceleration.js';

describe('a slip laid beside a log of even acceleration', () => {
  test('of ground speed: clock, scale and every mark', () => {
    const log = logOf(truth);
    const pass = findPass(log, slip)!;
    // Up to 0.4 m/s, a tenth of a second, counts as rest.
    expect(pass.restS).toBe(5.1);
    const found = alignSlip(log, pass, slip, options)!;
    expect(found.converged).toBe(true);
    expect(found.clockStartS.value).toBeCloseTo(5.4, 3);
    expect(found.offsetS.value).toBeCloseTo(0.3, 3);
    expect(found.speedScale.value).toBeCloseTo(1, 3);
    expect(Math.abs(found.slipPerWeight.value)).toBeLessThan(1e-3);
    for (const { mark, slipS, logS, low, high, usedInFit } of found.splits) {
      expect(slipS).toBe(slip.timesS[mark]);
      expect(Math.abs(logS! - slipS!)).toBeLessThan(1e-3);
      expect(usedInFit).toBe(mark !== '330ft' && mark !== '1000ft');
      // Never nearer than the 4 ms of a slip's own error.
      expect((high! - low!) / 2).toBeGreaterThan(1.96 * 0.004);
      expect((high! - low!) / 2).toBeLessThan(1.96 * 0.012);
      expect((high! + low!) / 2).toBeCloseTo(logS!, 9);
    }
    found.motion.timeS.forEach((t, i) => {
      const moving = Math.max(0, t + clockS);
      expect(found.motion.distanceM[i]!).toBeCloseTo((acceleration / 2) * moving ** 2 - rolledM, 1);
      expect(found.motion.speedMps[i]!).toBeCloseTo(acceleration * moving, 1);
      if (i > 0) expect(t - found.motion.timeS[i - 1]!).toBeCloseTo(0.1, 9);
    });
    expect(found.motion.distanceM[0]!).toBeCloseTo(-rolledM, 3);
    expect(found.motion.distanceM.at(-1)!).toBeGreaterThan(414);
    expect(found.motion.distanceM.at(-1)!).toBeLessThan(420);
  });

  test('that reads 2 % low and is 0.1 s late: the scale, and the clock on the log’s own time', () => {
    const log = logOf((t) => truth(t - 0.1) / 1.02);
    const found = alignSlip(log, findPass(log, slip)!, slip, options)!;
    expect(found.speedScale.value).toBeCloseTo(1.02, 3);
    expect(found.clockStartS.value).toBeCloseTo(5.5, 2);
    for (const { slipS, logS } of found.splits) expect(Math.abs(logS! - slipS!)).toBeLessThan(2e-3);
    for (const band of [found.speedScale, found.clockStartS, found.offsetS, found.slipPerWeight]) {
      expect(band.low).toBeLessThan(band.value);
      expect((band.low + band.high) / 2).toBeCloseTo(band.value, 9);
    }
    expect(found.speedScale.low).toBeLessThan(1.02);
    expect(found.speedScale.high - found.speedScale.low).toBeLessThan(0.01);
  });

  test('of driven wheels: evenly spun wheels are a scale, for the force is one', () => {
    // 8 % of spin for each weight of force; 4 m/s² are 0.408 weights: wheels turn 3.3 % too fast.
    const spin = 1 + (0.08 * acceleration) / 9.80665;
    const log = logOf((t) => truth(t) * (t < 20 ? spin : 1));
    const found = alignSlip(log, findPass(log, slip)!, slip, { ...options, drivenWheels: true })!;
    expect(found.speedScale.value).toBeCloseTo(1 / spin, 3);
    expect(found.slipPerWeight.value).toBeGreaterThan(0.05);
    expect(found.slipPerWeight.value).toBeLessThan(0.11);
    // Its prior is 0.08 ± 0.08; nothing here tells it from the scale, so that its band stays wide.
    expect(found.slipPerWeight.high - found.slipPerWeight.low).toBeGreaterThan(0.15);
    expect(found.slipPerWeight.high - found.slipPerWeight.low).toBeLessThanOrEqual(2 * 1.96 * 0.08);
  });

  test('of driven wheels whose force changes: how much they spin is told from the scale', () => {
    // Source: a = 2 + 4.5 e^(−t/4), its integrals; wheels turn 12 % too fast for each weight of force, and read 2 % low.
    const [spinPerWeight, low] = [0.12, 0.98];
    const fallen = (t: number): number => Math.exp(-Math.max(0, t) / 4);
    const gainAt = (t: number): number => 2 + 4.5 * fallen(t);
    const speedAt = (t: number): number => 2 * Math.max(0, t) + 18 * (1 - fallen(t));
    const distanceAt = (t: number): number => t ** 2 + 18 * (t - 4 * (1 - fallen(t)));
    const reachedS = (metres: number): number => {
      let [before, after] = [0, 30];
      for (let i = 0; i < 50; i++) {
        const middle = (before + after) / 2;
        if (distanceAt(middle) < metres) before = middle;
        else after = middle;
      }
      return after;
    };
    const clock = reachedS(rolledM);
    const timeAt = (metres: number): number => reachedS(metres + rolledM) - clock;
    const trap = (metres: number): number => 20.1168 / (timeAt(metres) - timeAt(metres - 20.1168));
    const printed: Slip = {
      timesS: Object.fromEntries(Object.entries(marks).map(([mark, metres]) => [mark, timeAt(metres)])),
      trapsMps: { '660ft': trap(marks['660ft']), '1320ft': trap(marks['1320ft']) },
    };
    const spinAt = (t: number): number => 1 + (spinPerWeight * gainAt(t)) / 9.80665;
    const stripeS = 5 + reachedS(marks['1320ft'] + rolledM);
    const log = logOf((t) => (t > stripeS + 2 ? Math.max(0, 40 - 8 * (t - stripeS - 2)) : low * spinAt(t - 5) * speedAt(t - 5)), {
      hz: 50,
    });
    const found = alignSlip(log, findPass(log, printed)!, printed, {
      drivenWheels: true,
      forceShare: (_v, a) => a / 9.80665,
      heldOut: [],
    })!;
    // The force is read from the spun wheels, so that it is itself a few per cent off.
    expect(Math.abs(found.slipPerWeight.value - spinPerWeight)).toBeLessThan(0.015);
    expect(found.slipPerWeight.high - found.slipPerWeight.low).toBeLessThan(0.1);
    expect(Math.abs(found.speedScale.value - 1 / low / spinAt(stripeS - 5))).toBeLessThan(0.002);
    expect(found.clockStartS.value).toBeCloseTo(5 + clock, 2);
    for (const { slipS, logS } of found.splits) expect(Math.abs(logS! - slipS!)).toBeLessThan(0.005);
  });

  test('keeps out of the fit what is told to be kept out, and takes all where one mark is left', () => {
    const log = logOf(truth);
    const pass = findPass(log, slip)!;
    const used = (heldOut: readonly (keyof typeof marks)[], of = slip) =>
      alignSlip(log, pass, of, { ...options, heldOut })!
        .splits.filter(({ usedInFit }) => usedInFit)
        .map(({ mark }) => mark);
    expect(used([])).toEqual(['60ft', '330ft', '660ft', '1000ft', '1320ft']);
    expect(used(['60ft', '660ft'])).toEqual(['330ft', '1000ft', '1320ft']);
    expect(used(['60ft', '330ft', '1000ft'])).toEqual(['660ft', '1320ft']);
    const two: Slip = { timesS: { '330ft': timeTo(100.584), '660ft': timeTo(201.168) }, trapsMps: {} };
    expect(used(['330ft'], two)).toEqual(['330ft', '660ft']);
    const shown = alignSlip(log, pass, two, options)!.splits;
    expect(shown.map(({ slipS }) => slipS === null)).toEqual([true, false, false, true, true]);
    expect(shown[4]!.logS!).toBeCloseTo(timeTo(402.336), 1);
  });

  test('takes the speeds that a slip shows, at whichever mark', () => {
    // Only one time is kept, so that clock and scale come from the trap at 1000 ft.
    const log = logOf((t) => truth(t) / 1.02);
    const one: Slip = { timesS: { '60ft': timeTo(18.288), '1000ft': timeTo(304.8) }, trapsMps: { '1000ft': trapAt(304.8) } };
    const without: Slip = { ...one, trapsMps: {} };
    const pass = findPass(log, one)!;
    const width = (of: Slip): number => {
      const { low, high } = alignSlip(log, pass, of, { ...options, heldOut: [] })!.speedScale;
      return high - low;
    };
    expect(alignSlip(log, pass, one, { ...options, heldOut: [] })!.speedScale.value).toBeCloseTo(1.02, 3);
    expect(width(one)).toBeLessThan(0.95 * width(without));
  });

  test('spreads the rounding of a stepped speed over times and traps', () => {
    const log = logOf((t) => Math.round(truth(t)));
    const pass = findPass(log, slip)!;
    const fine = alignSlip(logOf(truth), pass, slip, options)!;
    const stepped = alignSlip(log, pass, slip, { ...options, quantumMps: 1 })!;
    // hypot(0.004, 0.02) of hypot(0.004, 0): about five times.
    const width = (of: typeof fine): number => of.clockStartS.high - of.clockStartS.low;
    expect(width(stepped) / width(fine)).toBeGreaterThan(3);
    expect(Math.abs(stepped.clockStartS.value - 5.4)).toBeLessThan(0.05);
  });
});

describe('finding the pass of a slip', () => {
  const only: Slip = { timesS: { '1320ft': timeTo(402.336) }, trapsMps: {} };
  test('by the distance over its last time, from 0.3 s after the start', () => {
    const found = findPass(logOf(truth), only)!;
    // From 5.1 s for 0.3 s + the time, read to the last stamp before it: 2 t² from the first movement, less the 2 · 0.1² m before.
    const untilS = Math.floor((timeTo(402.336) + 0.4) * 20 + 1e-9) / 20;
    expect(found.distanceRatio).toBeCloseTo((2 * untilS ** 2 - 0.02) / 402.336, 6);
    // Speed falls below 0.8 of 60 m/s 1.5 s after 20 s.
    expect(found.endS).toBeCloseTo(21.5, 9);
    // A log that ends at full speed ends the pass.
    expect(findPass(logOf(truth, { toS: 19.5 }), only)!.endS).toBe(19.5);
  });

  test('the nearest of several starts, whichever comes first', () => {
    // Three runs, with 0.9, 1.0 and 1.1 of the acceleration.
    const gains = (order: readonly number[]) => (t: number) => {
      const run = Math.floor(t / 40);
      return run < order.length ? order[run]! * truth(t - 40 * run) : 0;
    };
    for (const order of [
      [0.9, 1, 1.1],
      [1, 1.1, 0.9],
      [1.1, 0.9, 1],
    ]) {
      const { restS } = findPass(logOf(gains(order), { toS: 120 }), only)!;
      expect(Math.abs(restS - 5.1 - 40 * order.indexOf(1))).toBeLessThan(0.06);
    }
  });

  test('none that is 15 % off, that stops on the way, or that the log does not hold whole', () => {
    expect(
      findPass(
        logOf((t) => 1.18 * truth(t)),
        only,
      ),
    ).toBeNull();
    expect(
      findPass(
        logOf((t) => 0.84 * truth(t)),
        only,
      ),
    ).toBeNull();
    expect(
      findPass(
        logOf((t) => 1.12 * truth(t)),
        only,
      ),
    ).not.toBeNull();
    expect(
      findPass(
        logOf((t) => (t > 9 && t < 9.2 ? 0.4 : truth(t))),
        only,
      ),
    ).toBeNull();
    expect(findPass(logOf(truth, { toS: 19 }), only)).toBeNull();
    expect(
      findPass(
        logOf((t) => 10 + truth(t)),
        only,
      ),
    ).toBeNull();
    expect(findPass(logOf(truth), { timesS: {}, trapsMps: { '1320ft': 55 } })).toBeNull();
  });

  test('creep of 0.4 m/s is rest', () => {
    expect(
      findPass(
        logOf((t) => Math.max(0.4, truth(t))),
        only,
      )!.restS,
    ).toBeCloseTo(5.1, 9);
    expect(
      findPass(
        logOf((t) => Math.max(0.41, truth(t))),
        only,
      ),
    ).toBeNull();
  });

  test('an eighth-mile slip by its own last time', () => {
    expect(findPass(logOf(truth), { timesS: { '330ft': 1, '660ft': timeTo(201.168) }, trapsMps: {} })!.restS).toBe(5.1);
  });
});
