import { describe, expect, it } from 'vitest';
import { cholesky, choleskyInverse, differencePenalty } from '../../../packages/core/src/maths/index.js';
import type { ChannelNoise } from '../../../packages/core/src/power/channelNoise.js';
import { fitTorque, localTorque, type MotionPull, torqueGuess } from '../../../packages/core/src/power/index.js';
import { type LinearisedAt, linearise } from '../../../packages/core/src/power/linearise.js';
import { integrateSpan, spanEnd, spanStart } from '../../../packages/core/src/power/motion.js';
import { firstParameters } from '../../../packages/core/src/power/torqueParameters.js';
import { drivenRpm, errors, humped, plainPull as plain, stamps } from './simulatedPull.js';

const noiseOf = (noiseRpm: number[], inflation: number[]): ChannelNoise => ({
  noiseRpm: Float64Array.from(noiseRpm),
  inflation: Float64Array.from(inflation),
  readings: new Float64Array(noiseRpm.length),
  repeated: 0,
});

/** What the model says of every reading of a span, by steps of 5 ms. */
function predictedRpm(at: LinearisedAt, p: number, s: number): Float64Array[] {
  const pull = at.pulls[p]!;
  const span = pull.spans[s]!;
  const place = at.layout.pulls[p]!;
  const path = integrateSpan(
    pull,
    {
      common: at.basis,
      commonCoefficients: at.parameters,
      own: at.ownBasis,
      ownCoefficients: at.parameters.subarray(place.own, place.own + at.ownBasis.size),
      logScale: at.parameters[place.scale]!,
    },
    { startRpm: at.parameters[place.starts + s]!, fromTimeS: spanStart(span), toTimeS: spanEnd(span), stepS: 0.005 },
  );
  const h = path.timeS[1]! - path.timeS[0]!;
  return span.map(({ timeS }, c) => {
    const delayS = c === 0 ? 0 : at.parameters[place.delays + c - 1]!;
    return timeS.map((t) => {
      const from = (t - delayS - path.timeS[0]!) / h;
      const k = Math.min(Math.max(Math.floor(from), 0), path.timeS.length - 2);
      return path.rpm[k]! + (from - k) * (path.rpm[k + 1]! - path.rpm[k]!);
    });
  });
}

/** Two pulls, the first of them in two spans, each with engine speed and a road speed that begins later and lags; errors added to the model itself. */
function example(): LinearisedAt {
  const channel = (timeS: Float64Array, start: number) => ({ timeS, engineSpeedRpm: timeS.map((t) => start + 550 * t), noiseRpm: 4 });
  const span = (fromS: number, toS: number) => [channel(stamps(fromS, toS, 20), 2450), channel(stamps(fromS + 0.4, toS, 9), 2450)];
  const pulls = [
    { ...plain, spans: [span(0, 3), span(4, 6)] },
    { ...plain, massKg: 1580, spans: [span(0, 5)] },
  ];
  const { basis, ownBasis, layout, parameters } = firstParameters(pulls, humped, { knotRpm: 600, ownKnotRpm: 1600 });
  layout.pulls.forEach(({ scale, own, delays }, p) => {
    parameters[scale] = p === 0 ? 0.02 : -0.01;
    parameters.set([0.04, -0.06, 0.02], own);
    parameters[delays] = p === 0 ? 0.25 : -0.15;
  });
  const at: LinearisedAt = { pulls, basis, ownBasis, layout, parameters, noise: noiseOf([4, 6], [1, 1.5]) };
  const noise = errors(1, 1);
  pulls.forEach((pull, p) => {
    pull.spans.forEach((readings, s) => {
      const predicted = predictedRpm(at, p, s);
      readings.forEach(({ engineSpeedRpm }, c) => {
        // Every seventeenth reading is wild.
        for (let i = 0; i < engineSpeedRpm.length; i++) engineSpeedRpm[i] = predicted[c]![i]! + 5 * noise() + (i % 17 === 8 ? 40 : 0);
      });
    });
  });
  return at;
}

describe('readings made linear', () => {
  // Oracle: the same normal equations as one dense matrix, from finite differences of the model by fine steps.
  function oracle(at: LinearisedAt) {
    const size = at.parameters.length;
    const dense = new Float64Array(size * size);
    const right = new Float64Array(size);
    let total = 0;
    at.pulls.forEach((pull, p) => {
      const place = at.layout.pulls[p]!;
      pull.spans.forEach((span, s) => {
        const predicted = predictedRpm(at, p, s);
        const jacobian = Array.from(at.parameters, (value, j) => {
          const by = j >= place.starts && j < place.starts + pull.spans.length ? 0.5 : 1e-4;
          const moved = (step: number) =>
            predictedRpm({ ...at, parameters: at.parameters.map((own, k) => (k === j ? value + step : own)) }, p, s);
          const [up, down] = [moved(by), moved(-by)];
          return up.map((values, c) => values.map((own, i) => (own - down[c]![i]!) / (2 * by)));
        });
        const fromS = spanStart(span);
        const delays = [0, at.parameters[place.delays]!];
        const startRate = (predicted[0]![1]! - predicted[0]![0]!) / (span[0]!.timeS[1]! - span[0]!.timeS[0]!);
        span.forEach(({ timeS, engineSpeedRpm }, c) => {
          const deviation = at.noise.noiseRpm[c]!;
          const lagS = delays[c]! - Math.min(...delays);
          for (let i = 0; i < timeS.length; i++) {
            const residual = engineSpeedRpm[i]! - predicted[c]![i]!;
            // A filter's memory, lag · rate · e^(−t/lag), counts as one more standard deviation; beyond three deviations a reading is held to three.
            const memory = lagS > 0 ? (lagS * startRate * Math.exp((fromS - timeS[i]!) / lagS)) / deviation : 0;
            const held = Math.min(1, (3 * deviation) / Math.abs(residual));
            const weight = held / (1 + memory ** 2) / (deviation ** 2 * at.noise.inflation[c]!);
            const row = jacobian.map((own) => own[c]![i]!);
            const pseudo = residual + row.reduce((sum, value, j) => sum + value * at.parameters[j]!, 0);
            total += weight * pseudo ** 2;
            for (let a = 0; a < size; a++) {
              if (row[a] === 0) continue;
              right[a] = right[a]! + weight * row[a]! * pseudo;
              for (let b = 0; b < size; b++) dense[a * size + b] = dense[a * size + b]! + weight * row[a]! * row[b]!;
            }
          }
        });
      });
    });
    return { dense, right, total, size };
  }

  function made() {
    const at = example();
    const { dense, right, total, size } = oracle(at);
    const { system, noise } = linearise(at, { noise: at.noise });
    let largest = 0;
    for (let a = 0; a < size; a++) largest = Math.max(largest, dense[a * size + a]!);
    const near = (value: number, a: number, b: number): void => {
      const scale = Math.sqrt(dense[a * size + a]! * dense[b * size + b]!);
      expect(Math.abs(value - dense[a * size + b]!)).toBeLessThanOrEqual(0.01 * scale + 1e-6 * largest);
    };
    const close = (value: number, a: number): void => {
      expect(Math.abs(value - right[a]!)).toBeLessThanOrEqual(0.01 * Math.sqrt(dense[a * size + a]! * total));
    };
    return { at, system, noise, near, close, total };
  }

  it('give the normal equations of the dense matrix: the lower triangle of every block, right sides, and the sum of squares', () => {
    const { at, system, noise, near, close, total } = made();
    for (let a = 0; a < at.basis.size; a++) for (let b = 0; b <= a; b++) near(system.common[a * at.basis.size + b]!, a, b);
    system.pulls.forEach(({ border, own, right, size }, p) => {
      const from = at.layout.pulls[p]!.scale;
      for (let a = 0; a < size; a++) {
        for (let b = 0; b < at.basis.size; b++) near(border[a * at.basis.size + b]!, from + a, b);
        for (let b = 0; b <= a; b++) near(own[a * size + b]!, from + a, from + b);
        close(right[a]!, from + a);
      }
    });
    system.commonRight.forEach(close);
    expect(Math.abs(system.total / total - 1)).toBeLessThan(0.004);
    expect(noise).toBe(at.noise);
  });
});

describe('noise that the residuals show', () => {
  /** Pulls whose truth the parameters are, the second channel `lateS` late; `off` is added to the readings of each. */
  function seen(off: (pull: number) => (i: number, rpm: number, channel: number) => number, count = 16, lateS = 0): ChannelNoise {
    const torque = drivenRpm(plain, humped, { startRpm: 2500, toTimeS: 6 });
    const pulls = Array.from({ length: count }, (_, p): MotionPull => {
      const own = off(p);
      const channel = (timeS: Float64Array, c: number) => {
        const late = c === 0 ? 0 : lateS;
        return { timeS, engineSpeedRpm: timeS.map((t, i) => torque(t - late) + own(i, torque(t - late), c)), noiseRpm: 4 };
      };
      return { ...plain, spans: [[channel(stamps(0, 6, 20), 0), channel(stamps(0, 6, 10), 1)]] };
    });
    // The curve of the truth on the basis: coefficients f − h² f″/6 give a cubic spline that is off by the fourth power of the knots' distance.
    const exact = { timeS: stamps(0, 6, 20), engineSpeedRpm: stamps(0, 6, 20).map(torque), noiseRpm: 1 };
    const like = pulls.map((pull): MotionPull => ({ ...pull, spans: [[exact, exact]] }));
    const { basis, ownBasis, layout, parameters } = firstParameters(like, humped, { knotRpm: 200, ownKnotRpm: 800 });
    for (let j = 0; j < basis.size; j++) {
      const rpm = basis.from + (j - 1) * basis.step;
      const [before, middle, after] = [-1, 0, 1].map((by) => Math.log(humped(rpm + by)));
      parameters[j] = middle! - (basis.step ** 2 * (before! - 2 * middle! + after!)) / 6;
    }
    for (const { delays, starts } of layout.pulls) {
      parameters[delays] = lateS;
      parameters[starts] = 2500;
    }
    return linearise({ pulls, basis, ownBasis, layout, parameters, noise: noiseOf([9, 9], [3, 3]) }).noise;
  }
  const independent = (seed: number, deviation: number) => {
    const noise = errors(seed, deviation);
    return () => noise();
  };
  // 64 pulls, 121 and 61 readings each: of each channel the size is known to 1 %, that of half-second means to 5 %.
  const parameters = 11 + 2 * 64;

  it('is the size of independent errors, with what the fit takes put back, and averages out', () => {
    const found = seen((p) => independent(p + 1, 4), 64);
    expect(Array.from(found.readings)).toEqual([64 * 121, 64 * 61]);
    for (const c of [0, 1]) {
      expect(Math.abs(found.noiseRpm[c]! / (4 / Math.sqrt(1 - parameters / (64 * 182))) - 1)).toBeLessThan(0.04);
      expect(Math.abs(found.inflation[c]! - 1)).toBeLessThan(0.12);
    }
    expect(found.repeated).toBeLessThan(0.02);
  });

  it('does not repeat by chance where two pulls are all there is; what the fit takes of so few readings is put back', () => {
    const found = Array.from({ length: 24 }, (_, k) => seen((p) => independent(700 + 2 * k + p, 4), 2));
    expect(found.filter(({ repeated }) => repeated > 0).length).toBeLessThan(4);
    // Known to 0.9 %, less a little that is held at three deviations; what is put back is 15 of 364 readings, 2 % of the size.
    const mean = Math.sqrt(found.reduce((sum, { noiseRpm }) => sum + noiseRpm[0]! ** 2, 0) / 24);
    expect(Math.abs(mean / (4 / Math.sqrt(1 - (11 + 2 * 2) / 364)) - 1)).toBeLessThan(0.03);
  });

  it('is not what a late channel still remembers from before the pull', () => {
    // A filter that is late by 0.2 s and stood at 2500 rpm until the pull began: e^(−t/0.2) of what the car gains in 0.2 s, 20 deviations.
    const found = seen(
      (p) => {
        const noise = errors(800 + p, 4);
        return (i, _, c) => noise() + (c === 1 ? 80 * Math.exp(-i / 10 / 0.2) : 0);
      },
      16,
      0.2,
    );
    // What it remembers counts for one deviation at most, in eight of 61 readings; taken at its word it would add two fifths.
    expect(Math.abs(found.noiseRpm[1]! / 4 - 1)).toBeLessThan(0.2);
    expect(found.inflation[1]!).toBeLessThan(1.3);
  });

  // Held over five readings, means of ten have 1 + 2 Σ (1 − k/5)(1 − k/10) = 4.2 times the variance of independent ones.
  it('is felt 4.2 times where errors stay for five readings of twenty a second', () => {
    const found = seen((p) => {
      const noise = errors(100 + p, 4);
      const late = p % 5;
      let held = noise();
      return (i, _, c) => {
        if (c === 1) return noise();
        if ((i + late) % 5 === 0) held = noise();
        return held;
      };
    }, 24);
    expect(Math.abs(found.inflation[0]! / 4.2 - 1)).toBeLessThan(0.25);
    expect(Math.abs(found.inflation[1]! - 1)).toBeLessThan(0.3);
  });

  it('is felt a quarter at least where errors go up and down in turn', () => {
    expect(seen(() => (i) => (i % 2 === 0 ? 4 : -4)).inflation[0]).toBe(0.25);
  });

  it('is not what a channel is off in scale', () => {
    const found = seen((p) => {
      const noise = errors(200 + p, 4);
      return (_, rpm) => noise() + 0.004 * (rpm - 4000);
    });
    expect(found.inflation[0]!).toBeLessThan(1.3);
  });

  it('is not set by a few wild readings', () => {
    const found = seen((p) => {
      const noise = errors(300 + p, 4);
      return (i) => noise() + (i % 40 === 20 ? 500 : 0);
    });
    expect(found.noiseRpm[0]!).toBeLessThan(5.2);
  });

  it('repeats as far as pulls share what they are off at the same engine speed', () => {
    const shared = (share: number) =>
      seen((p) => {
        const noise = errors(400 + p, 4 * Math.sqrt(1 - share));
        const steps = errors(7, 4 * Math.sqrt(share));
        const table = Array.from({ length: 130 }, () => steps());
        return (i, _, c) => noise() + table[c === 0 ? i : 2 * i]!;
      }, 8).repeated;
    expect(shared(1)).toBeGreaterThan(0.97);
    expect(Math.abs(shared(0.5) - 0.5)).toBeLessThan(0.12);
  });

  // The mean over channels that are weighed by their information has of each channel's variance its share: the first, with twice the
  // readings and twice the deviation, tells half as much as the other, a third of both; and it alone repeats.
  it('repeats by the share that a channel has in the curve', () => {
    const { repeated, noiseRpm, inflation, readings } = seen((p) => {
      const noise = errors(600 + p, 2);
      const steps = errors(8, 4);
      const table = Array.from({ length: 130 }, () => steps());
      return (i, _, c) => (c === 0 ? table[i]! : noise());
    }, 8);
    const [first, second] = [0, 1].map((c) => readings[c]! / (noiseRpm[c]! ** 2 * inflation[c]!)) as [number, number];
    expect(Math.abs(first / (first + second) - 1 / 3)).toBeLessThan(0.15);
    expect(Math.abs(repeated - first / (first + second))).toBeLessThan(0.06);
  });

  // What all pulls are off alike from reading to reading, but by nothing over the half second that the curve follows.
  it('does not repeat in what averages out', () => {
    const found = seen((p) => {
      const noise = errors(500 + p, 2);
      return (i) => noise() + [7, -7, 7, -7, 0][i % 5]!;
    }, 8);
    expect(found.repeated).toBeLessThan(0.1);
    expect(found.noiseRpm[0]!).toBeGreaterThan(6);
  });
});

describe('noise of the mean curve', () => {
  // Oracle: the inverse of the whole arrow as one dense matrix at the fit's own solution; priors of 0.3 for level and delay (s).
  it('is that of the dense inverse', () => {
    const pulls = [1, 2, 3].map((seed): MotionPull => {
      const truth = drivenRpm(plain, humped, { startRpm: 2500, toTimeS: 5 });
      // Most of what is off is the same in every pull.
      const [noise, shared] = [errors(seed, 1), errors(99, 4)];
      const channel = (hz: number) => {
        const timeS = stamps(0, 5, hz);
        return { timeS, engineSpeedRpm: timeS.map((t) => truth(t) + noise() + shared()), noiseRpm: 4 };
      };
      return { ...plain, spans: [[channel(20), channel(10)]] };
    });
    const options = { knotRpm: 400, ownKnotRpm: 1200 };
    const fit = fitTorque([pulls], [torqueGuess(pulls.flatMap(localTorque))], options)[0]!;
    expect(fit.converged).toBe(true);
    const { basis, ownBasis, layout, parameters } = fit;
    const { system, noise } = linearise({ pulls, basis, ownBasis, layout, parameters, noise: noiseOf([4, 4], [1, 1]) });
    const size = layout.size;
    const dense = new Float64Array(size * size);
    const set = (a: number, b: number, value: number): void => {
      dense[a * size + b] = value;
      dense[b * size + a] = value;
    };
    // Second differences scaled to knots of 200 rpm: (200/step)³.
    const penalty = differencePenalty(basis.size, 2).map((value) => (value * (200 / basis.step) ** 3) / fit.smoothness.roughness ** 2);
    for (let a = 0; a < basis.size; a++)
      for (let b = 0; b <= a; b++) set(a, b, system.common[a * basis.size + b]! + penalty[a * basis.size + b]!);
    system.pulls.forEach(({ border, own, size: ownSize }, p) => {
      const { scale, delays, starts } = layout.pulls[p]!;
      for (let a = 0; a < ownSize; a++) {
        for (let b = 0; b < basis.size; b++) set(scale + a, b, border[a * basis.size + b]!);
        for (let b = 0; b <= a; b++) set(scale + a, scale + b, own[a * ownSize + b]!);
        const prior =
          a === 0 || (scale + a >= delays && scale + a < starts)
            ? 0.3
            : scale + a < delays
              ? fit.smoothness.ownShape
              : Number.POSITIVE_INFINITY;
        dense[(scale + a) * (size + 1)] = dense[(scale + a) * (size + 1)]! + 1 / prior ** 2;
      }
    });
    const inverse = choleskyInverse(cholesky(dense, size)!, size);
    const rowOf = (k: number): Float64Array => {
      const row = new Float64Array(size);
      if (k < basis.size) row[k] = 1;
      else for (const { scale } of layout.pulls) row[scale + k - basis.size] = 1 / 3;
      return row;
    };
    const meanSize = basis.size + 1 + ownBasis.size;
    expect(noise.repeated).toBeGreaterThan(0.2);
    const repeats = 1 + 2 * noise.repeated;
    const expected = (k: number, l: number): number => {
      const [first, second] = [rowOf(k), rowOf(l)];
      let sum = 0;
      for (let a = 0; a < size; a++) {
        if (first[a] === 0) continue;
        for (let b = 0; b < size; b++) sum += first[a]! * inverse[a * size + b]! * second[b]!;
      }
      return sum * repeats;
    };
    for (let k = 0; k < meanSize; k++) {
      expect(fit.meanParameters[k]!).toBeCloseTo(
        rowOf(k).reduce((sum, weight, j) => sum + weight * parameters[j]!, 0),
        12,
      );
      for (let l = 0; l < meanSize; l++) {
        const scale = Math.sqrt(expected(k, k) * expected(l, l));
        expect(Math.abs(fit.meanCovariance[k * meanSize + l]! - expected(k, l))).toBeLessThan(0.02 * scale);
      }
    }
    expect(fit.channelNoise.map(({ readings }) => readings)).toEqual([303, 153]);
  });
});
