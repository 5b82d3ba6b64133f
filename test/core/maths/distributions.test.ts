import { describe, expect, it } from 'vitest';
import { chiSquaredDraw, normalTwoSided, randomStream, studentTPValue, studentTTwoSided } from '../../../packages/core/src/maths/index.js';

describe('Student t', () => {
  // Source: R 4.2, options(digits = 12): qt(.975, 4), qt(.975, 2.5), qt(.995, 10), qt(.9995, 3), qt(.975, 1).
  it.each([
    [0.95, 4, 2.7764451052],
    [0.95, 2.5, 3.574654842],
    [0.99, 10, 3.16927267261],
    [0.999, 3, 12.9239786367],
    [0.95, 1, 12.7062047362],
  ])('two-sided %s with %s degrees is %s', (level, degrees, expected) => {
    expect(studentTTwoSided(level, degrees)).toBeCloseTo(expected, 6);
  });

  it('becomes the normal quantile, 1.959964 (FORMULAS CK-9.6: first value of the Sidak row)', () => {
    expect(normalTwoSided(0.95)).toBeCloseTo(1.959964, 6);
    expect(studentTTwoSided(0.95, Number.POSITIVE_INFINITY)).toBeCloseTo(1.959964, 6);
  });

  it('gives a p-value: R 2 * pt(-2.5, 6)', () => {
    expect(studentTPValue(2.5, 6)).toBeCloseTo(0.0465282326681, 9);
  });

  it('has no quantile without degrees of freedom', () => {
    expect(studentTTwoSided(0.95, 0)).toBeNaN();
  });
});

describe('random streams', () => {
  it('repeat with the seed and differ without', () => {
    const a = randomStream(5);
    const b = randomStream(5);
    const c = randomStream(6);
    const draws = Array.from({ length: 20 }, () => [a.normal(), b.normal(), c.normal()] as const);
    expect(draws.every(([x, y]) => x === y)).toBe(true);
    expect(draws.every(([x, , z]) => x === z)).toBe(false);
  });

  it('has the moments of its distributions', () => {
    const stream = randomStream(11);
    const count = 40_000;
    let sum = 0;
    let squares = 0;
    let chi = 0;
    for (let i = 0; i < count; i++) {
      const z = stream.normal();
      sum += z;
      squares += z * z;
      chi += chiSquaredDraw(stream, 3);
    }
    // Four standard errors each.
    expect(Math.abs(sum / count)).toBeLessThan(4 / Math.sqrt(count));
    expect(Math.abs(squares / count - 1)).toBeLessThan(4 * Math.sqrt(2 / count));
    expect(Math.abs(chi / count - 3)).toBeLessThan(4 * Math.sqrt(6 / count));
  });
});
