import { describe, expect, test } from 'vitest';
import { type LambdaReadings, lambdaDrift } from '../../../packages/core/src/fuel/index.js';
import { type RandomStream, randomStream } from '../../../packages/core/src/maths/index.js';

const rpmEdges = [2000, 3000, 4000, 5000, 6000];

/** Ten readings a cell and pull, at 2,500 to 5,500 rpm. */
function readings(
  random: RandomStream,
  options: { mean: number; noise: number; pulls: number; pullSpread?: number; memory?: number },
): LambdaReadings {
  const pull: number[] = [];
  const engineSpeedRpm: number[] = [];
  const lambda: number[] = [];
  const memory = options.memory ?? 0;
  for (let p = 0; p < options.pulls; p++) {
    const offset = (options.pullSpread ?? 0) * random.normal();
    let now = random.normal();
    for (let i = 0; i < 40; i++) {
      now = memory * now + Math.sqrt(1 - memory * memory) * random.normal();
      pull.push(p);
      engineSpeedRpm.push(2050 + 100 * i);
      lambda.push(options.mean - 0.00001 * i + offset + options.noise * now);
    }
  }
  return {
    pull,
    engineSpeedRpm: Float64Array.from(engineSpeedRpm),
    manifoldPressurePa: Float64Array.from(engineSpeedRpm, () => 160000),
    lambda: Float64Array.from(lambda),
  };
}

function study(seed: number, trials: number, options: { pulls: number; pullSpread?: number; memory?: number }) {
  const random = randomStream(seed);
  let inside = 0;
  let cells = 0;
  let close = 0;
  for (let trial = 0; trial < trials; trial++) {
    const before = readings(random, { mean: 0.8, noise: 0.005, ...options });
    const after = readings(random, { mean: 0.82, noise: 0.005, ...options });
    for (const cell of lambdaDrift(before, after, { rpmEdges }).cells) {
      cells += 1;
      if (cell.low! <= 0.02 && 0.02 <= cell.high!) inside += 1;
      if (Math.abs(cell.drift - 0.02) <= 0.005) close += 1;
    }
  }
  return { covered: inside / cells, close: close / cells, cells };
}

describe('lambdaDrift', () => {
  test('a drift of 0.02 with noise 0.005: ten readings a cell come within 0.005, and the band holds 93 to 97 % over 2,000 trials', () => {
    const one = study(11, 2000, { pulls: 1 });
    expect(one.cells).toBe(8000);
    expect(one.close).toBeGreaterThan(0.97);
    expect(one.covered).toBeGreaterThan(0.93);
    expect(one.covered).toBeLessThan(0.97);
  });

  test('the band holds too where readings remember their neighbours', () => {
    const remembering = study(12, 1000, { pulls: 4, memory: 0.6 });
    expect(remembering.covered).toBeGreaterThan(0.93);
    expect(remembering.covered).toBeLessThan(0.985);
  });

  test('the band holds too where pulls differ by more than their readings scatter', () => {
    const differing = study(13, 1000, { pulls: 4, pullSpread: 0.006 });
    expect(differing.covered).toBeGreaterThan(0.9);
  });

  test('cells that one setup never visited have no drift, and a single reading has no band', () => {
    const random = randomStream(5);
    const before = readings(random, { mean: 0.8, noise: 0.005, pulls: 1 });
    const after: LambdaReadings = {
      pull: [0],
      engineSpeedRpm: Float64Array.of(2500),
      manifoldPressurePa: Float64Array.of(150000),
      lambda: Float64Array.of(0.82),
    };
    const drift = lambdaDrift(before, after, { rpmEdges, pressureEdgesPa: [100000, 140000, 180000] });
    expect(drift.cells).toHaveLength(1);
    expect(drift.cells[0]).toMatchObject({ fromRpm: 2000, fromPa: 140000, low: null, high: null });
    expect(lambdaDrift(before, { ...after, lambda: Float64Array.of(Number.NaN) }, { rpmEdges }).cells).toEqual([]);
  });

  test('the same readings twice drift by exactly nothing', () => {
    const same = readings(randomStream(1), { mean: 0.8, noise: 0.005, pulls: 2 });
    for (const cell of lambdaDrift(same, same, { rpmEdges }).cells) expect(cell.drift).toBe(0);
  });

  test('edges that do not rise and other lengths are refused', () => {
    const some = readings(randomStream(1), { mean: 0.8, noise: 0.005, pulls: 1 });
    expect(() => lambdaDrift(some, some, { rpmEdges: [3000, 2000] })).toThrow('E_EDGES');
    expect(() => lambdaDrift(some, { ...some, pull: [] }, { rpmEdges })).toThrow('E_LENGTHS');
  });
});
