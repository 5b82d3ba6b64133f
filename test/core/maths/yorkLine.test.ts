import { describe, expect, it } from 'vitest';
import { randomStream, yorkLine } from '../../../packages/core/src/maths/index.js';

// Source: CK-9.8: Pearson's data (1901) with York's weights; slope and intercept as the literature prints them (the tutorial of the Kapteyn package has a table),
// standard errors and the sum of squares by an own independent calculation.
const x = [0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4];
const y = [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5];
const xWeight = [1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1];
const yWeight = [1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500];
const pearson = x.map((value, i) => ({
  x: value,
  y: y[i]!,
  xSpread: 1 / Math.sqrt(xWeight[i]!),
  ySpread: 1 / Math.sqrt(yWeight[i]!),
}));

describe('line through readings with errors in both quantities', () => {
  it('is York’s on Pearson’s data', () => {
    const line = yorkLine(pearson)!;
    expect(Math.abs(line.slope + 0.48053340745)).toBeLessThan(1e-9);
    expect(Math.abs(line.intercept - 5.47991022403)).toBeLessThan(1e-9);
    expect(Math.abs(line.slopeSpread - 0.057985)).toBeLessThan(1e-6);
    expect(Math.abs(line.interceptSpread - 0.294971)).toBeLessThan(1e-6);
    expect(Math.abs(line.squares - 11.866353)).toBeLessThan(1e-6);
  });

  it('is plain least squares where x has no error to speak of: CK-9.9, −0.53957728 and 5.76118519', () => {
    const line = yorkLine(pearson.map((point) => ({ ...point, xSpread: 1e-9, ySpread: 1 })))!;
    expect(Math.abs(line.slope + 0.53957728)).toBeLessThan(1e-8);
    expect(Math.abs(line.intercept - 5.76118519)).toBeLessThan(1e-8);
  });

  it('is Deming’s with equal errors: CK-9.9, −0.54556120 and 5.78404377', () => {
    const line = yorkLine(pearson.map((point) => ({ ...point, xSpread: 0.3, ySpread: 0.3 })))!;
    expect(Math.abs(line.slope + 0.5455612)).toBeLessThan(1e-8);
    expect(Math.abs(line.intercept - 5.78404377)).toBeLessThan(1e-8);
  });

  it('turned round is the same line: slope 1/b', () => {
    const turned = pearson.map((point) => ({ x: point.y, y: point.x, xSpread: point.ySpread, ySpread: point.xSpread }));
    expect(yorkLine(turned)!.slope * yorkLine(pearson)!.slope).toBeCloseTo(1, 9);
  });

  it('has bands that hold as often as they say', () => {
    // Coverage by simulation: of 400 lines, 95 % bands hold 380 ± 4.4; fewer than 366 or more than 393 has a probability of about 0.003.
    const stream = randomStream(4);
    let held = 0;
    for (let k = 0; k < 400; k++) {
      const points = Array.from({ length: 30 }, (_, i) => {
        const spread = { xSpread: 0.1 + 0.01 * i, ySpread: 0.3 - 0.005 * i };
        return { x: i / 3 + spread.xSpread * stream.normal(), y: 2 + (0.7 * i) / 3 + spread.ySpread * stream.normal(), ...spread };
      });
      const line = yorkLine(points)!;
      if (Math.abs(line.slope - 0.7) < 1.96 * line.slopeSpread) held++;
    }
    expect(held).toBeGreaterThanOrEqual(366);
    expect(held).toBeLessThanOrEqual(393);
  });

  it('is none with too few readings, or all at one x', () => {
    expect(yorkLine(pearson.slice(0, 2))).toBeNull();
    expect(yorkLine(pearson.map((point) => ({ ...point, x: 3 })))).toBeNull();
  });
});
