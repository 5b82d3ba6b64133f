import { describe, expect, test } from 'vitest';
import { study } from '../../../bench/stripStudy.js';

describe('learning from a slip', () => {
  test('over random cars: half the error of "same as last slip", 0.06 s, 0.5 mph, bands that hold', () => {
    // Source: the next pass is driven by packages/simulation, which shares no code with core. 2,000 cars by bench/stripStudy.js.
    const got = study(50, 120);
    expect(got.notConverged).toBe(0);
    expect(got.etRmsS).toBeLessThan(0.06);
    expect(got.etRmsS).toBeLessThan(0.5 * got.etSameRmsS);
    expect(got.trapRmsMph).toBeLessThan(0.5);
    expect(got.trapRmsMph).toBeLessThan(0.5 * got.trapSameRmsMph);
    // Two standard errors of a share of 0.95 over 50 cars are 0.062.
    expect(got.etCoverage).toBeGreaterThan(0.88);
    expect(got.trapCoverage).toBeGreaterThan(0.88);
  }, 180_000);
});
