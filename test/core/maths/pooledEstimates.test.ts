import { describe, expect, it } from 'vitest';
import { pooledEstimates } from '../../../packages/core/src/maths/index.js';

describe('estimates that may differ in truth', () => {
  // Source: G. A. Colditz et al., JAMA 271 (1994) 698: 13 trials of a vaccine, log relative risk and its variance; by the method of DerSimonian
  // and Laird τ² 0.3088, mean −0.7141, standard error 0.1787, as the worked example of R's metafor prints it. All from memory; the numbers agree.
  const logRisks = [
    [-0.8893, 0.3256],
    [-1.5854, 0.1946],
    [-1.3481, 0.4154],
    [-1.4416, 0.02],
    [-0.2175, 0.0512],
    [-0.7861, 0.0069],
    [-1.6209, 0.223],
    [0.012, 0.004],
    [-0.4694, 0.0564],
    [-1.3713, 0.073],
    [-0.3394, 0.0124],
    [0.4459, 0.5325],
    [-0.0173, 0.0714],
  ].map(([value, variance]) => ({ value: value!, spread: Math.sqrt(variance!) }));

  it('have the published mean, error and spread between them', () => {
    const { values, commonSpreads, ownSpreads } = pooledEstimates(logRisks);
    const between = logRisks.map(({ spread }, i) => (ownSpreads[i]! ** 2 * spread ** 2) / (spread ** 2 - ownSpreads[i]! ** 2));
    for (const variance of between) expect(Math.abs(variance - 0.3088)).toBeLessThan(5e-4);
    const keeps = logRisks.map(({ spread }) => 0.3088 / (0.3088 + spread ** 2));
    values.forEach((value, i) => {
      expect(Math.abs((value - keeps[i]! * logRisks[i]!.value) / (1 - keeps[i]!) + 0.7141)).toBeLessThan(0.02);
      expect(Math.abs(commonSpreads[i]! / (1 - keeps[i]!) - 0.1787)).toBeLessThan(1e-3);
    });
  });

  it('that agree are one: the weighted mean with its error, and nothing of their own', () => {
    // Source: JCGM 100:2008, H.5.2.5 note (weighted mean by inverse variances): 2 ± 1 and 4 ± 2 give 2.4 ± √0.8.
    const { values, commonSpreads, ownSpreads } = pooledEstimates([
      { value: 2, spread: 1 },
      { value: 4, spread: 2 },
    ]);
    for (const value of values) expect(value).toBeCloseTo(2.4, 12);
    for (const spread of commonSpreads) expect(spread).toBeCloseTo(Math.sqrt(0.8), 12);
    expect(ownSpreads).toEqual([0, 0]);
  });

  it('that are far apart stay themselves', () => {
    const { values, ownSpreads } = pooledEstimates([
      { value: 0, spread: 0.01 },
      { value: 5, spread: 0.01 },
      { value: -3, spread: 0.01 },
    ]);
    [0, 5, -3].forEach((value, i) => {
      expect(Math.abs(values[i]! - value)).toBeLessThan(1e-3);
      expect(Math.abs(ownSpreads[i]! / 0.01 - 1)).toBeLessThan(1e-3);
    });
  });

  it('a single one is itself, all of it shared', () => {
    expect(pooledEstimates([{ value: 7, spread: 2 }])).toEqual({ values: [7], commonSpreads: [2], ownSpreads: [0] });
  });
});
