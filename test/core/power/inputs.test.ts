import { describe, expect, it } from 'vitest';
import { roadLoadMoved } from '../../../packages/core/src/power/conditions.js';
import { drawnPower, gradeChangeN, inputEffects, type PullConditions, steadyForceN } from '../../../packages/core/src/power/index.js';

const gravity = 9.80665;
const speedMps = 30;
const accelerationMps2 = 2.5;

const conditions: PullConditions = {
  massKg: { value: 1600, spread: 20 },
  ownMassSpreadKg: 7,
  rotatingFactor: { value: 1.08, spread: 0.01 },
  airDensityKgPerM3: 1.18,
  airDensitySpreadKgPerM3: 0.02,
  dragAreaM2: { value: 0.65, spread: 0.03 },
  rollingCoefficient: { value: 0.012, spread: 0.002 },
  roadLoadCovarianceM2: -0.00003,
  windMps: { value: 3, spread: 1.5 },
  grade: { value: 0.006, spread: 0.004 },
  speedScaleSpread: 0.01,
  carKey: 'car',
  runKey: 'run',
  windKey: 'outing',
  gradeKey: 'road',
  heading: -1,
  road: {
    placeAt: (speed) => (speed - 20) / 40,
    change: { value: 0.008, spread: 0.002 },
    ownGradeSpread: 0.001,
    ownChangeSpread: 0.003,
    key: 'pull',
  },
};

/** What each input may be off, in its own unit. */
interface Offsets {
  readonly massKg?: number;
  readonly rotating?: number;
  readonly density?: number;
  readonly areaM2?: number;
  readonly rolling?: number;
  readonly windMps?: number;
  readonly grade?: number;
  readonly scale?: number;
}

// Source: Gillespie, Fundamentals of Vehicle Dynamics (1992), eq. 4-12: force is inertia, drag, rolling and grade; times speed it is power.
function balanceW(windMps: number, offsets: Offsets): number {
  const { massKg = 0, rotating = 0, density = 0, areaM2 = 0, rolling = 0, windMps: gust = 0, grade = 0, scale = 0 } = offsets;
  const speed = speedMps * (1 + scale);
  const air = speed + windMps + gust;
  const inertiaN = (1600 + massKg) * (1.08 + rotating) * accelerationMps2 * (1 + scale);
  const dragN = 0.5 * (1.18 + density) * (0.65 + areaM2) * air * Math.abs(air);
  // A quarter of the way from the middle to the end, the grade is 0.6 % and a quarter of its change of 0.8 %.
  const weightN = (1600 + massKg) * gravity * (0.012 + rolling + 0.006 + 0.25 * 0.008 + grade);
  return (inertiaN + dragN + weightN) * speed;
}

// The covariance of −0.00003 m² moves rolling by −0.001 where the area moves by 0.03 m²; what is left of 0.002 is √(0.002² − 0.001²).
const own: readonly (readonly [string, Offsets])[] = [
  ['mass|car', { massKg: 20 }],
  ['fuel and cargo|run', { massKg: 7 }],
  ['rotating parts|car', { rotating: 0.01 }],
  ['drag area|car', { areaM2: 0.03, rolling: -0.001 }],
  ['air density|outing', { density: 0.02 }],
  ['rolling resistance|car', { rolling: 0.001 * Math.sqrt(3) }],
  ['wind|outing', { windMps: -1.5 }],
  ['grade|road', { grade: -0.004 }],
  ['grade|pull', { grade: 0.001 }],
  ['grade|road, change', { grade: 0.25 * 0.002 }],
  ['grade|pull, change', { grade: 0.25 * 0.003 }],
  ['speed scale, tyre slip and growth|car', { scale: 0.01 }],
];

const scaledBy = (offsets: Offsets, factor: number): Offsets =>
  Object.fromEntries(Object.entries(offsets).map(([name, value]) => [name, factor * value]));
const summed = (parts: readonly Offsets[]): Offsets => {
  const out: Record<string, number> = {};
  for (const part of parts) for (const [name, value] of Object.entries(part)) out[name] = (out[name] ?? 0) + value;
  return out;
};

describe.each([
  ['headwind', 3],
  ['tailwind faster than the car', -40],
])('inputs that are off, in a %s', (_, windMps) => {
  const at = { ...conditions, windMps: { value: windMps, spread: 1.5 } };
  const powerW = balanceW(windMps, {});
  const moved = (offsets: ReadonlyMap<string, number>): number => {
    const { keys, meanW } = drawnPower([{ conditions: at, powerW, speedMps }]);
    return meanW(keys.map((key) => offsets.get(key) ?? 0));
  };

  it('leave the power as it is where none is', () => {
    expect([...drawnPower([{ conditions: at, powerW, speedMps }]).keys].sort()).toEqual(own.map(([key]) => key).sort());
    expect(moved(new Map())).toBeCloseTo(powerW, 6);
  });
  it.each(own)('%s: the whole balance, and its slope', (key, offsets) => {
    expect(moved(new Map([[key, 2]]))).toBeCloseTo(balanceW(windMps, scaledBy(offsets, 2)), 5);
    const slope = (balanceW(windMps, scaledBy(offsets, 1e-3)) - balanceW(windMps, scaledBy(offsets, -1e-3))) / 2e-3;
    const effects = inputEffects(at, powerW, speedMps).filter((effect) => `${effect.name}|${effect.key}` === key);
    expect(effects).toHaveLength(1);
    expect(effects[0]!.powerW).toBeCloseTo(slope, 2);
  });
  it('all at once', () => {
    const all = new Map(own.map(([key], i) => [key, (i % 3) - 0.7]));
    expect(moved(all)).toBeCloseTo(balanceW(windMps, summed(own.map(([, offsets], i) => scaledBy(offsets, (i % 3) - 0.7)))), 5);
  });
});

describe('inputs of several pulls', () => {
  it('that share a key are off together, others apart; the mean is over the pulls', () => {
    const plain: PullConditions = { ...conditions, windMps: { value: 3, spread: 1.5 }, heading: 1 };
    const other: PullConditions = { ...plain, runKey: 'second run', windKey: 'second outing' };
    const powerW = balanceW(3, {});
    const drawn = drawnPower([
      { conditions: plain, powerW, speedMps },
      { conditions: other, powerW, speedMps },
    ]);
    expect(new Set(drawn.keys).size).toBe(drawn.keys.length);
    const one = (key: string): number => drawn.meanW(drawn.keys.map((own) => (own === key ? 1 : 0))) - powerW;
    expect(one('mass|car')).toBeCloseTo(balanceW(3, { massKg: 20 }) - powerW, 5);
    expect(one('wind|second outing')).toBeCloseTo((balanceW(3, { windMps: 1.5 }) - powerW) / 2, 5);
    expect(one('fuel and cargo|second run')).toBeCloseTo((balanceW(3, { massKg: 7 }) - powerW) / 2, 5);
  });

  it('have no effect where nothing is said of them', () => {
    const { road: _road, airDensitySpreadKgPerM3: _density, roadLoadCovarianceM2: _covariance, heading: _heading, ...bare } = conditions;
    const effects = inputEffects(bare, 100_000, speedMps);
    expect(effects.filter(({ name }) => name === 'grade')).toHaveLength(1);
    expect(effects.find(({ name }) => name === 'air density')!.powerW).toBe(0);
    expect(effects.find(({ name }) => name === 'wind')!.powerW).toBeGreaterThan(0);
    expect(gradeChangeN(bare, speedMps)).toBe(0);
    // 1600 kg, 1.2 % and 0.6 %.
    expect(steadyForceN(bare)).toBeCloseTo(1600 * gravity * 0.018, 6);
    const drawn = drawnPower([{ conditions: bare, powerW: 100_000, speedMps }]);
    expect(drawn.meanW(drawn.keys.map(() => 0))).toBeCloseTo(100_000, 6);
    expect(drawn.meanW(drawn.keys.map((key) => (key === 'air density|outing' ? 1 : 0)))).toBeCloseTo(100_000, 6);
  });
});

describe('drag area and rolling coefficient of one fit', () => {
  const fitted = (roadLoadCovarianceM2: number, areaSpread: number) => ({
    ...conditions,
    roadLoadCovarianceM2,
    dragAreaM2: { value: 0.65, spread: areaSpread },
  });
  it('keep their variances and covariance', () => {
    const at = (drag: number, rolling: number) => roadLoadMoved(fitted(-0.00003, 0.03), { drag, rolling });
    const [none, first, second] = [at(0, 0), at(1, 0), at(0, 1)];
    const area = [first.dragAreaM2 - none.dragAreaM2, second.dragAreaM2 - none.dragAreaM2];
    const rolling = [first.rollingCoefficient - none.rollingCoefficient, second.rollingCoefficient - none.rollingCoefficient];
    expect(Math.hypot(...area)).toBeCloseTo(0.03, 12);
    expect(Math.hypot(...rolling)).toBeCloseTo(0.002, 12);
    expect(area[0]! * rolling[0]! + area[1]! * rolling[1]!).toBeCloseTo(-0.00003, 12);
  });
  it('with no spread of the area move by themselves, and fully correlated move as one', () => {
    expect(roadLoadMoved(fitted(0, 0), { drag: 5, rolling: 1 })).toEqual({ dragAreaM2: 0.65, rollingCoefficient: 0.014 });
    const beyond = roadLoadMoved(fitted(0.00009, 0.03), { drag: 0, rolling: 1 });
    expect(beyond.rollingCoefficient).toBe(0.012);
  });
});
