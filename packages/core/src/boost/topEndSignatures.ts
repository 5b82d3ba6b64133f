import type { TopEndCause, TopEndSign } from './topEndCauses.js';

/** How a sign is expected to move for a loss of all torque (natural logarithm, 1 = 63 %), with one standard deviation; `fixed` is added whatever the loss. */
export type Expected = readonly [perLoss: number, spread: number, fixed?: number];

/** One way in which a cause shows. What is not listed stays as it is without the cause. */
export type Signature = Readonly<Partial<Record<TopEndSign, Expected>>>;

/** A sign without any cause: usual trend from low to top, its standard deviation between engines, and the widest that it can be. */
export interface Healthy {
  readonly mean: number;
  readonly spread: number;
  readonly reach: number;
}

const lost = [-1, 0.15] as const;

/**
 * Signatures by the relations of a positive-displacement blower: air for each turn ∝ rotor ratio × volumetric efficiency × inlet density; manifold
 * pressure ∝ air × charge temperature over the engine's own volumetric efficiency; torque follows air, spark and mixture.
 *
 * Temperatures in K, angles in degrees, throttle and bypass as shares, all others natural logarithms. Spark: torque falls with the square of the distance
 * to its best, about 1 % at 4° and 9 % at 12° (common practice, no source), so near a usual distance of 8° some 90° for a loss of all torque.
 * Widths stand for what maps, sensor places and coolers do that is not known.
 */
export const signatures: Readonly<Record<TopEndCause, readonly Signature[]>> = {
  'belt-slip': [
    {
      torque: lost,
      'rotor-ratio': [-0.85, 0.25],
      'manifold-pressure': [-0.95, 0.3],
      'air-per-turn': [-0.85, 0.25],
      'air-by-fuel': [-0.85, 0.3],
      'charge-temperature': [-30, 50],
      'inlet-pressure': [0.03, 0.04],
      'exhaust-pressure': [-1, 0.8],
      'sweep-rate': [-0.5, 0.4],
      'spark-advance': [10, 20],
    },
  ],
  'blower-capacity': [
    {
      torque: lost,
      'manifold-pressure': [-0.75, 0.4],
      'air-per-turn': [-0.8, 0.3],
      'air-by-fuel': [-0.8, 0.35],
      'charge-temperature': [50, 90],
      'inlet-pressure': [0.03, 0.04],
      'exhaust-pressure': [-1, 0.8],
      'spark-advance': [-5, 20],
    },
  ],
  'charge-heat': [
    {
      torque: lost,
      // Without a cooler boost stays; a good cooler takes the heat but not the lost mass, and boost falls.
      'manifold-pressure': [-0.3, 0.35],
      'air-per-turn': [-0.75, 0.35],
      'air-by-fuel': [-0.75, 0.4],
      'charge-temperature': [220, 140],
      'intake-temperature': [230, 160],
      'exhaust-pressure': [-0.8, 0.8],
      'spark-advance': [-12, 18],
      'knock-retard': [6, 12],
    },
  ],
  'restriction-before': [
    {
      torque: lost,
      'manifold-pressure': [-0.9, 0.25],
      'air-per-turn': [-0.85, 0.25],
      'air-by-fuel': [-0.85, 0.3],
      'inlet-pressure': [-0.85, 0.25],
      'charge-temperature': [0, 40],
      'exhaust-pressure': [-1, 0.8],
      'spark-advance': [8, 18],
    },
  ],
  'restriction-after': [
    {
      torque: lost,
      'manifold-pressure': [0.4, 0.35],
      'air-per-turn': [-0.25, 0.25],
      'air-by-fuel': [-0.25, 0.3],
      'charge-temperature': [60, 60],
      'exhaust-pressure': [5, 4],
      'spark-advance': [-6, 8],
      'knock-retard': [4, 6],
    },
  ],
  'bypass-or-leak': [
    // Leak behind the meter: the meter counts what the engine does not get.
    {
      torque: lost,
      'manifold-pressure': [-0.95, 0.3],
      'air-per-turn': [-0.15, 0.3],
      'air-by-fuel': [-0.6, 0.5],
      'charge-temperature': [-10, 50],
      mixture: [-0.3, 0.4],
      'pressure-level': [-0.8, 0.7],
      'spark-advance': [8, 18],
    },
    // Bypass: the air goes round.
    {
      torque: lost,
      'manifold-pressure': [-0.95, 0.3],
      'air-per-turn': [-0.85, 0.3],
      'air-by-fuel': [-0.85, 0.35],
      'charge-temperature': [20, 60],
      'intake-temperature': [30, 60],
      bypass: [4, 3],
      'pressure-level': [-0.8, 0.7],
      'spark-advance': [8, 18],
    },
    {
      torque: lost,
      'manifold-pressure': [-0.95, 0.3],
      'air-per-turn': [-0.85, 0.3],
      'air-by-fuel': [-0.85, 0.35],
      'charge-temperature': [20, 60],
      'intake-temperature': [30, 60],
      bypass: [-4, 3],
      'pressure-level': [-0.8, 0.7],
      'spark-advance': [8, 18],
    },
  ],
  'sensor-ceiling': [{ 'sensor-ceiling': [0, 0, 1], 'manifold-pressure': [-0.9, 0.4] }],
  'throttle-closing': [
    {
      torque: lost,
      throttle: [-6, 4],
      'manifold-pressure': [-0.85, 0.3],
      'air-per-turn': [-0.85, 0.25],
      'air-by-fuel': [-0.85, 0.3],
      'inlet-pressure': [-0.45, 0.5],
      'charge-temperature': [0, 50],
      'exhaust-pressure': [-1, 0.8],
      'spark-advance': [8, 18],
    },
  ],
  'torque-limit': [
    { torque: lost, 'spark-advance': [-90, 40], 'exhaust-pressure': [0, 0.3] },
    { torque: lost, 'torque-cuts': [0, 0, 1] },
  ],
  'spark-knock': [{ torque: lost, 'spark-advance': [-90, 40], 'knock-retard': [90, 40], 'charge-temperature': [30, 60] }],
  'spark-heat': [
    {
      torque: lost,
      'spark-advance': [-90, 40],
      'charge-temperature': [190, 120],
      'intake-temperature': [20, 60],
      'manifold-pressure': [0.5, 0.4],
      'air-per-turn': [-0.05, 0.15],
      'air-by-fuel': [-0.05, 0.2],
    },
  ],
  mixture: [
    { torque: lost, mixture: [-3, 2], 'air-by-fuel': [0, 0.4] },
    { torque: lost, mixture: [3, 2], 'air-by-fuel': [0, 0.4] },
  ],
  'fuel-pressure': [{ torque: lost, 'fuel-pressure': [-6, 4], mixture: [3, 2], 'air-by-fuel': [0, 1] }],
  'own-breathing': [{}],
  'too-few-data': [{}],
};

/** Breathing of the engine: how its air reaches it. */
export type Aspiration = 'none' | 'fixed-ratio' | 'controlled';

/** Signs of a comparison, after less before, where nothing but the part was changed. Common practice, no source. */
const comparedHealthy: Readonly<Record<TopEndSign, Healthy>> = {
  torque: { mean: 0, spread: 0.006, reach: 0.4 },
  'manifold-pressure': { mean: 0, spread: 0.012, reach: 0.5 },
  'sensor-ceiling': { mean: 0, spread: 0.2, reach: 2 },
  'charge-temperature': { mean: 1.5, spread: 4, reach: 100 },
  'intake-temperature': { mean: 0, spread: 2, reach: 60 },
  'rotor-ratio': { mean: 0, spread: 0.005, reach: 0.4 },
  'inlet-pressure': { mean: -0.002, spread: 0.005, reach: 0.4 },
  'air-per-turn': { mean: 0, spread: 0.012, reach: 0.5 },
  'air-by-fuel': { mean: 0, spread: 0.018, reach: 0.5 },
  'exhaust-pressure': { mean: 0.02, spread: 0.04, reach: 2 },
  'spark-advance': { mean: 0, spread: 0.6, reach: 30 },
  'knock-retard': { mean: 0.1, spread: 0.4, reach: 20 },
  mixture: { mean: 0, spread: 0.008, reach: 0.6 },
  'fuel-pressure': { mean: -0.004, spread: 0.012, reach: 1 },
  throttle: { mean: 0, spread: 0.012, reach: 1 },
  bypass: { mean: 0, spread: 0.03, reach: 2 },
  'pressure-level': { mean: 0, spread: 0.025, reach: 0.6 },
  'sweep-rate': { mean: 0, spread: 0.01, reach: 0.4 },
  'torque-cuts': { mean: 0, spread: 0.2, reach: 2 },
};

/** Signs of one setup by itself: engines differ, so all is wider. Common practice, no source. */
const singleHealthy: Readonly<Record<TopEndSign, Healthy>> = {
  ...comparedHealthy,
  torque: { mean: -0.1, spread: 0.1, reach: 0.8 },
  'manifold-pressure': { mean: 0, spread: 0.07, reach: 1 },
  'charge-temperature': { mean: 10, spread: 10, reach: 150 },
  'intake-temperature': { mean: 0, spread: 3, reach: 80 },
  'inlet-pressure': { mean: -0.015, spread: 0.012, reach: 0.5 },
  'air-per-turn': { mean: -0.06, spread: 0.08, reach: 1 },
  'air-by-fuel': { mean: -0.06, spread: 0.09, reach: 1 },
  'exhaust-pressure': { mean: 0.15, spread: 0.12, reach: 2 },
  'spark-advance': { mean: 3, spread: 4, reach: 40 },
  'knock-retard': { mean: 0.2, spread: 0.6, reach: 20 },
  mixture: { mean: 0, spread: 0.025, reach: 0.8 },
  'fuel-pressure': { mean: -0.01, spread: 0.015, reach: 1 },
  throttle: { mean: 0, spread: 0.02, reach: 1 },
};

/** What each sign does without any of the causes. */
export function healthySigns(kind: 'comparison' | 'single', aspiration: Aspiration): Readonly<Record<TopEndSign, Healthy>> {
  if (kind === 'comparison') return comparedHealthy;
  if (aspiration === 'none') return { ...singleHealthy, 'manifold-pressure': { mean: -0.015, spread: 0.02, reach: 1 } };
  return aspiration === 'controlled' ? { ...singleHealthy, 'manifold-pressure': { mean: -0.05, spread: 0.1, reach: 1 } } : singleHealthy;
}
