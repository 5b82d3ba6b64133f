import type { Random } from './random.js';
import { type Fault, sound } from './topEndEngine.js';

/** Faults that the study injects; `none` is a sound engine with few and noisy pulls, `sensor-ceiling` a sound one with a small sensor. */
export const topEndFaults = [
  'belt-slip',
  'blower-capacity',
  'charge-heat',
  'restriction-before',
  'restriction-after',
  'bypass-or-leak',
  'sensor-ceiling',
  'throttle-closing',
  'torque-limit',
  'spark-knock',
  'spark-heat',
  'mixture',
  'fuel-pressure',
  'too-few-data',
] as const;
export type TopEndFault = (typeof topEndFaults)[number];

/** How a fault grows with engine speed: 0 up to its onset, 1 at the top. */
export type Growth = (rpm: number) => number;

export const uniform = (random: Random, low: number, high: number): number => low + (high - low) * random.uniform();

/** A growth drawn among three kinds: a power beyond the onset, a logistic step, one that levels off. */
export function drawGrowth(
  random: Random,
  top: number,
  bottom: number,
  onsetShare: readonly [number, number],
  exponent: readonly [number, number],
): Growth {
  const onset = bottom + uniform(random, ...onsetShare) * (top - bottom);
  const k = uniform(random, ...exponent);
  const kind = random.uniform();
  const over = (rpm: number): number => Math.max(0, (rpm - onset) / (top - onset));
  if (kind < 0.5) return (rpm) => over(rpm) ** k;
  if (kind < 0.75) {
    const middle = (onset + top) / 2;
    const width = uniform(random, 120, 400);
    const raw = (rpm: number): number => 1 / (1 + Math.exp(-(rpm - middle) / width));
    const base = raw(bottom);
    return (rpm) => Math.max(0, raw(rpm) - base) / (raw(top) - base);
  }
  return (rpm) => (1 - Math.exp(-2.5 * over(rpm))) / (1 - Math.exp(-2.5));
}

/** How a fault of a given size acts; made once for a car, so that its unknowns stay the same through a log. */
export type FaultLaw = (size: number, growth: number, sweepRpmPerS: number, timeS: number) => Fault;

/** Draws the unknowns of a fault. `metered` tells whether an air meter counts what a leak loses. */
export function drawFaultLaw(
  fault: TopEndFault,
  random: Random,
): { readonly law: FaultLaw; readonly meteredLeak: boolean; readonly bypassMoves: boolean } {
  const u = (low: number, high: number): number => uniform(random, low, high);
  const plain = (law: FaultLaw): ReturnType<typeof drawFaultLaw> => ({ law, meteredLeak: true, bypassMoves: false });
  switch (fault) {
    case 'belt-slip': {
      const sweepShare = u(0.2, 1.2);
      const beatHz = u(2, 7);
      const beat = u(0, 0.35);
      return plain((size, g, sweep, t) => {
        const faster = 1 + sweepShare * (Math.min(sweep, 1200) / 450 - 1);
        return { ...sound, slip: Math.min(0.6, Math.max(0, size * g * faster * (1 + beat * Math.sin(2 * Math.PI * beatHz * t)))) };
      });
    }
    case 'blower-capacity': {
      const heat = u(0.2, 2);
      return plain((size, g) => ({ ...sound, fillLoss: Math.min(0.6, size * g), efficiencyLoss: Math.min(0.4, heat * size * g) }));
    }
    case 'charge-heat': {
      const after = u(0, 0.5);
      const spark = random.uniform() < 0.3 ? u(0, 8) : 0;
      return plain((size, g) => ({
        ...sound,
        inletHeatK: 320 * size * g,
        chargeHeatK: 200 * after * size * g,
        sparkCutDeg: spark * size * g,
      }));
    }
    case 'restriction-before':
      return plain((size, g) => ({ ...sound, inletDrop: Math.min(0.6, size * g) }));
    case 'restriction-after': {
      const swallow = u(0.2, 1.2);
      return plain((size, g) => ({ ...sound, exhaustPa: 1.5e6 * size * g, swallowLoss: Math.min(0.5, swallow * size * g) }));
    }
    case 'bypass-or-leak': {
      const always = u(0.2, 0.7);
      const goesRound = random.uniform() < 0.5;
      const warm = u(0, 60);
      const moves = u(2, 6) * (random.uniform() < 0.5 ? 1 : -1);
      return {
        meteredLeak: !goesRound,
        bypassMoves: goesRound,
        law: (size, g) => {
          const leak = Math.min(0.6, size * (always + (1 - always) * g));
          const open = Math.min(1, Math.abs(moves) * leak);
          return { ...sound, leak, inletHeatK: goesRound ? warm * leak : 0, bypass: goesRound ? (moves > 0 ? open : 1 - open) : 0 };
        },
      };
    }
    case 'throttle-closing': {
      const share = u(0.3, 0.8);
      const k = u(1.4, 3);
      return plain((size, g) => {
        const drop = Math.min(0.5, size * g);
        return { ...sound, inletDrop: drop, throttleClosed: Math.min(0.8, (drop / share) ** (1 / k)) };
      });
    }
    case 'torque-limit':
      return plain((size, g) => ({ ...sound, sparkCutDeg: 40 * size * g }));
    case 'spark-knock': {
      const huntHz = u(0.5, 2.5);
      return plain((size, g, _sweep, t) => ({ ...sound, knockDeg: 40 * size * g * (1 + 0.2 * Math.sin(2 * Math.PI * huntHz * t)) }));
    }
    case 'spark-heat': {
      const degPerK = u(0.18, 0.7);
      return plain((size, g) => ({ ...sound, sparkCutDeg: 40 * size * g, chargeHeatK: (40 * size * g) / degPerK }));
    }
    case 'mixture': {
      const lean = random.uniform() < 0.5;
      return plain((size, g) => ({ ...sound, lambdaFactor: lean ? 1 + size * g : 1 / (1 + size * g) }));
    }
    case 'fuel-pressure':
      return plain((size, g) => ({ ...sound, railLoss: Math.min(0.75, size * g) }));
    default:
      return plain(() => sound);
  }
}

/** Two faults at once: losses add, what multiplies is multiplied. */
export function both(a: Fault, b: Fault): Fault {
  const sum = {} as Record<keyof Fault, number>;
  for (const key of Object.keys(sound) as (keyof Fault)[]) sum[key] = key === 'lambdaFactor' ? a[key] * b[key] : a[key] + b[key];
  return sum;
}
