import { alignSlip, findPass, type Slip, type SpeedLog } from '@pullproof/core';
import { describe, expect, test } from 'vitest';
import { groundSpeed, logOf, marks, slip, timeTo, truth } from './evenAcceleration.js';

const laid = (log: SpeedLog, of: Slip = slip) => alignSlip(log, findPass(log, of)!, of, groundSpeed);
const expectTruth = (found: ReturnType<typeof laid>): void => {
  expect(found!.converged).toBe(true);
  expect(found!.clockStartS.value).toBeCloseTo(5.4, 2);
  expect(found!.speedScale.value).toBeCloseTo(1, 2);
  for (const { mark, logS } of found!.splits) expect(Math.abs(logS! - timeTo(marks[mark]))).toBeLessThan(2e-3);
};

describe('where a log begins and ends', () => {
  test.each([4.85, 4.9, 5])('at %s s, just before the car moves at 5 s: nothing is lost', (fromS) => {
    expectTruth(laid(logOf(truth, { fromS })));
  });

  test.each([5.2, 6, 12])('at %s s, after the launch: it holds no pass', (fromS) => {
    expect(findPass(logOf(truth, { fromS }), slip)).toBeNull();
  });

  test('just past the stripe, which the car crosses 19.18 s into the log', () => {
    expectTruth(laid(logOf(truth, { toS: 19.25 })));
  });

  test.each([17, 18.9, 19.15])('at %s s, before the stripe: no time is made up for it', (toS) => {
    const log = logOf(truth, { toS });
    expect(findPass(log, slip)).toBeNull();
    expect(alignSlip(log, { restS: 5.1, endS: toS, distanceRatio: 1 }, slip, groundSpeed)).toBeNull();
    // It is enough for a slip that ends at half the distance.
    const { '1000ft': _more, '1320ft': _end, ...timesS } = slip.timesS;
    const found = laid(log, { timesS, trapsMps: { '660ft': slip.trapsMps['660ft']! } })!;
    expect(found.splits[4]).toEqual({ mark: '1320ft', slipS: null, logS: null, low: null, high: null, usedInFit: false });
    for (const { mark, logS } of found.splits.slice(0, 3)) expect(Math.abs(logS! - timeTo(marks[mark]))).toBeLessThan(2e-3);
  });

  test('a driver who brakes hard right after the stripe', () => {
    const stripeS = 5.4 + timeTo(marks['1320ft']);
    expectTruth(laid(logOf((t) => (t < stripeS + 0.05 ? truth(t) : Math.max(0, truth(stripeS) - 12 * (t - stripeS))))));
  });

  test('on another clock: only the start of the clock moves', () => {
    const early = laid(logOf(truth))!;
    const late = laid(logOf((t) => truth(t - 1000), { fromS: 1000, toS: 1040 }))!;
    expect(late.clockStartS.value - 1000).toBeCloseTo(early.clockStartS.value, 6);
    expect(late.speedScale.value).toBeCloseTo(early.speedScale.value, 6);
  });
});

describe('what a slip leaves out, or holds too much', () => {
  test('without a 60 ft time clock and scale come from the other marks, the clock less sure', () => {
    const { '60ft': _launch, ...timesS } = slip.timesS;
    const [whole, without] = [laid(logOf(truth))!, laid(logOf(truth), { ...slip, timesS })!];
    expectTruth(without);
    expect(without.splits[0]!.slipS).toBeNull();
    expect(without.splits[0]!.usedInFit).toBe(false);
    const width = ({ clockStartS: { low, high } }: typeof whole): number => high - low;
    expect(width(without)).toBeGreaterThan(1.2 * width(whole));
  });

  test('times that hold the reaction time start the clock that much too early, before the car has moved', () => {
    // From the green light: 0.6 s more at every mark, while speeds are as they were.
    const timesS = Object.fromEntries(Object.entries(slip.timesS).map(([mark, time]) => [mark, time + 0.6]));
    const found = laid(logOf(truth), { ...slip, timesS })!;
    // The 0.32 m that the car has rolled when the true clock starts are still before it, so that this is not exact.
    expect(Math.abs(found.clockStartS.value - 4.8)).toBeLessThan(0.05);
    expect(found.offsetS.high).toBeLessThan(-0.25);
    expect(found.speedScale.value).toBeCloseTo(1, 2);
  });

  test('from one time alone no scale is learned: what is known of speeds, 3 %, stays, and the clock takes the rest', () => {
    const only: Slip = { timesS: { '1320ft': timeTo(marks['1320ft']) + 0.1 }, trapsMps: {} };
    const found = laid(logOf(truth), only)!;
    expect(found.speedScale.value).toBeCloseTo(1, 6);
    // Source: prior alone, the spread of a speed's scale and that of the tyres' slip (0.002 at 0.408 weights of force) together.
    expect((found.speedScale.high - 1) / (1.96 * Math.hypot(0.03, 0.002 * 0.408))).toBeCloseTo(1, 2);
    // 0.1 s more over the same distance: v₁ Δt at the end, less v₀ Δt at the start, is made up by an earlier clock.
    expect(found.splits[4]!.logS!).toBeCloseTo(timeTo(marks['1320ft']) + 0.1, 3);
    expect(found.clockStartS.value).toBeLessThan(5.3);
  });

  test('a slip without a time, or from a log that stands still, is laid beside nothing', () => {
    const log = logOf(truth);
    const pass = findPass(log, slip)!;
    expect(alignSlip(log, pass, { timesS: {}, trapsMps: {} }, groundSpeed)).toBeNull();
    expect(alignSlip(log, pass, { timesS: {}, trapsMps: slip.trapsMps }, groundSpeed)).toBeNull();
    expect(
      alignSlip(
        logOf(() => 0),
        pass,
        slip,
        groundSpeed,
      ),
    ).toBeNull();
  });

  test('the slip of another run: as quick, but with a poor launch; the marks that were kept out tell', () => {
    // 2.5 m/s² for 4 s, then as much as brings it to the stripe in the same time.
    const early = 2.5;
    const rest = timeTo(marks['1320ft']) - 4;
    const late = (2 * (marks['1320ft'] - (early / 2) * 16 - early * 4 * rest)) / rest ** 2;
    const otherTime = (metres: number): number =>
      metres <= (early / 2) * 16
        ? Math.sqrt((2 * metres) / early)
        : 4 + (Math.sqrt((early * 4) ** 2 + 2 * late * (metres - (early / 2) * 16)) - early * 4) / late;
    const other: Slip = {
      timesS: Object.fromEntries(Object.entries(marks).map(([mark, metres]) => [mark, otherTime(metres)])),
      trapsMps: {},
    };
    const found = laid(logOf(truth), other)!;
    const outside = found.splits.filter(({ slipS, low, high }) => slipS! < low! || slipS! > high!).map(({ mark }) => mark);
    expect(outside).toContain('330ft');
    expect(laid(logOf(truth))!.splits.filter(({ slipS, low, high }) => slipS! < low! || slipS! > high!)).toEqual([]);
  });
});
