import { type RandomStream, randomStream } from '../../../packages/core/src/maths/index.js';
import type { CeilingSeries } from '../../../packages/core/src/sensors/index.js';

/** A simulated channel of manifold pressure over some pulls, kPa absolute. */
export interface SimulatedPressure {
  readonly series: readonly CeilingSeries[];
  readonly quantum: number;
  /** kPa; null when the sensor was free. */
  readonly ceiling: number | null;
  readonly clamped: number;
  readonly clampedPulls: number;
  /** How it was made, for looking at failures. */
  readonly recipe: Record<string, number | string>;
}

/**
 * Draws pulls of a boosted engine as a recorder sees them: sample rate 5–100 Hz, quanta 0.1–2 kPa, white noise 0.03–2 kPa, breathing, and pull-to-pull scatter.
 * `clamped` caps them at 150–300 kPa with jitter of at most a count; `free` leaves them; `living` makes a controlled plateau with ripple.
 */
export function simulatedPressure(seed: number, kind: 'clamped' | 'free' | 'living'): SimulatedPressure {
  const random = randomStream(seed);
  for (;;) {
    const drawn = draw(random, kind);
    if (kind !== 'clamped' || (drawn.clamped >= 12 && drawn.clampedPulls >= 2)) return drawn;
  }
}

function draw(random: RandomStream, kind: 'clamped' | 'free' | 'living'): SimulatedPressure {
  const between = (low: number, high: number): number => low + (high - low) * random.uniform();
  const logBetween = (low: number, high: number): number => low * (high / low) ** random.uniform();
  const pick = <T>(choices: readonly T[]): T => choices[Math.floor(random.uniform() * choices.length)]!;
  const rateHz = pick([5, 8, 10, 15, 20, 25, 50, 100]);
  const quantum = random.uniform() < 0.5 ? pick([0.1, 0.25, 0.39, 0.5, 1]) : logBetween(0.1, 2);
  const noise = logBetween(0.03, 2);
  const breath = logBetween(0.15, 0.8);
  const breathS = between(0.1, 0.5);
  const pulls = 2 + Math.floor(random.uniform() * 5);
  const level = between(150, 300);
  const ceiling = kind === 'clamped' ? Math.round(level / quantum) * quantum : null;
  const excess = Math.max(6, 6 * quantum) + between(0, 1) * between(0, 60);
  const peak = kind === 'clamped' ? level + excess : level;
  const shape = kind === 'living' ? 'controlled' : pick(['rising', 'spool', 'flat', 'hump', ...(kind === 'clamped' ? ['controlled'] : [])]);
  const start = peak - between(0.08, 0.4) * peak;
  const power = between(0.5, 1.5);
  const spoolAt = between(0.05, 0.4);
  const spoolWidth = between(0.02, 0.12);
  const fall = between(0.05, 0.25);
  const top = between(0.3, 0.8);
  const tilt = between(-0.04, 0.04);
  const bow = between(0, 0.12);
  const rippleSize = Math.max(1.25 * quantum, logBetween(0.4, 3));
  const rippleHz = between(0.5, 6);
  const jitterKind = pick(['none', 'rare', 'half', 'full']);
  const jitterShare = { none: 0, rare: 0.1, half: 0.33, full: 0.66 }[jitterKind]!;
  const jitterEverywhere = random.uniform() < 0.5;
  const scatter = between(0.003, 0.01);
  const leadIn = random.uniform() < 0.5 ? between(0.1, 0.5) : 0;
  const series: CeilingSeries[] = [];
  let clamped = 0;
  let clampedPulls = 0;
  for (let pull = 0; pull < pulls; pull++) {
    const durationS = between(2.5, 7);
    const scale = 1 + scatter * random.normal();
    const phase = between(0, 6.283);
    const n = Math.floor(durationS * rateHz);
    const timeS = new Float64Array(n);
    const values = new Float64Array(n);
    const engineSpeedRpm = new Float64Array(n);
    let breathNow = breath * random.normal();
    let here = 0;
    for (let i = 0; i < n; i++) {
      const t = i / rateHz;
      const x = t / durationS;
      let p = peak;
      if (shape === 'rising') p = start + (peak - start) * x ** power;
      if (shape === 'spool')
        p = start + (peak - start) / (1 + Math.exp(-(x - spoolAt) / spoolWidth)) - fall * 0.3 * peak * Math.max(0, x - top);
      if (shape === 'flat') p = peak * (1 - 0.03 + tilt * (x - 0.5) - bow * (x - top) ** 2) + (kind === 'clamped' ? 0.03 * peak : 0);
      if (shape === 'hump') p = peak * (1 - fall * ((x - top) / Math.max(top, 1 - top)) ** 2);
      if (shape === 'controlled') {
        const settled = 1 - Math.exp(-Math.max(0, x - spoolAt) / spoolWidth);
        p = start + (peak - start) * settled + settled * rippleSize * Math.sin(6.283 * rippleHz * t + phase);
      }
      p *= scale;
      if (leadIn > 0 && t < leadIn) p = 95 + (p - 95) * (t / leadIn);
      const keep = Math.exp(-1 / (rateHz * breathS));
      breathNow = keep * breathNow + Math.sqrt(1 - keep * keep) * breath * random.normal();
      const real = p + breathNow + noise * random.normal();
      let code = Math.round(real / quantum);
      const over = ceiling !== null && real > ceiling;
      if (over) {
        code = Math.round(ceiling / quantum);
        here += 1;
      }
      if (ceiling !== null && (over || jitterEverywhere) && random.uniform() < jitterShare) code += random.uniform() < 0.5 ? 1 : -1;
      if (ceiling !== null) code = Math.min(code, Math.round(ceiling / quantum) + 1);
      timeS[i] = t + 30 * pull;
      values[i] = code * quantum;
      engineSpeedRpm[i] = 2500 + 4000 * x;
    }
    clamped += here;
    if (here >= 3) clampedPulls += 1;
    series.push({ timeS, values, engineSpeedRpm });
  }
  const recipe = {
    rateHz,
    quantum,
    noise,
    breath,
    pulls,
    shape,
    excess: ceiling === null ? 0 : excess,
    jitterKind,
    rippleSize,
    rippleHz,
    scatter,
    fall,
    peak,
    clamped,
  };
  return { series, quantum, ceiling, clamped, clampedPulls, recipe };
}
