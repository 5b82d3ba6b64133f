import { execFileSync, spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { fitMixedModel, randomStream } from '../../../packages/core/src/maths/index.js';

interface Reference {
  readonly name: string;
  readonly y: number[];
  readonly x: number[][];
  readonly group: string[];
  readonly beta: number[];
  readonly covariance: number[];
  readonly between: number[];
  readonly within: number[];
  readonly criterion: number[];
  readonly groups: string[];
  readonly modes: number[];
}

const hasR = spawnSync('Rscript', ['-e', 'library(lme4)']).status === 0;

describe('the mixed model', () => {
  // Source: R package lme4 (Debian r-cran-lme4) on its own data sets Dyestuff, Dyestuff2, sleepstudy, cake and cbpp; its optimizer stops at 1e-12.
  it.skipIf(!hasR)('is that of lme4 on published data, within 1e-6', () => {
    const script = fileURLToPath(new URL('mixedModel.R', import.meta.url));
    const references = JSON.parse(execFileSync('Rscript', [script], { encoding: 'utf8' })) as Reference[];
    expect(references.map(({ name }) => name)).toEqual(['Dyestuff', 'Dyestuff2', 'sleepstudy', 'cake', 'cbpp']);
    for (const reference of references) {
      const fit = fitMixedModel(reference)!;
      const within = (value: number, wanted: number, size: number): void => {
        expect(Math.abs(value - wanted), `${reference.name}: ${value} for ${wanted}`).toBeLessThan(1e-6 * size);
      };
      const total = reference.between[0]! + reference.within[0]!;
      within(fit.betweenVariance, reference.between[0]!, total);
      within(fit.withinVariance, reference.within[0]!, total);
      within(fit.criterion, reference.criterion[0]!, Math.abs(reference.criterion[0]!));
      for (const [i, wanted] of reference.beta.entries()) within(fit.beta[i]!, wanted, Math.max(1, Math.abs(wanted)));
      for (const [i, wanted] of reference.covariance.entries()) within(fit.covariance[i]!, wanted, Math.max(...reference.covariance));
      for (const [i, name] of reference.groups.entries()) within(fit.groups.get(name)!.value, reference.modes[i]!, Math.sqrt(total));
    }
  });

  // Source: lme4's documentation of Dyestuff prints REML 319.6543, batch 1764.05, residual 2451.25, mean 1527.50 with 19.38.
  // The data are those of O. L. Davies and P. L. Goldsmith, Statistical Methods in Research and Production, 4th ed. (1972), table 6.1; from memory.
  it('gives the printed fit of the dyestuff batches', () => {
    const batches = [
      [1545, 1440, 1440, 1520, 1580],
      [1540, 1555, 1490, 1560, 1495],
      [1595, 1550, 1605, 1510, 1560],
      [1445, 1440, 1595, 1465, 1545],
      [1595, 1630, 1515, 1635, 1625],
      [1520, 1455, 1450, 1480, 1445],
    ];
    const fit = fitMixedModel({
      y: batches.flat(),
      x: batches.flat().map(() => [1]),
      group: batches.flatMap((batch, b) => batch.map(() => `${b}`)),
    })!;
    expect(fit.criterion).toBeCloseTo(319.6543, 3);
    expect(fit.betweenVariance).toBeCloseTo(1764.05, 1);
    expect(fit.withinVariance).toBeCloseTo(2451.25, 1);
    expect(fit.beta[0]).toBeCloseTo(1527.5, 6);
    expect(Math.sqrt(fit.covariance[0]!)).toBeCloseTo(19.38, 2);
  });

  it('says nothing where nothing is left to tell', () => {
    expect(fitMixedModel({ y: [1], x: [[1]], group: ['a'] })).toBeNull();
    expect(
      fitMixedModel({
        y: [1, 2, 3],
        x: [
          [1, 1],
          [1, 1],
          [1, 1],
        ],
        group: ['a', 'b', 'c'],
      }),
    ).toBeNull();
  });

  it('counts covariance that is known beforehand, so that it is not taken for spread', () => {
    const random = randomStream(7);
    let between = 0;
    const trials = 200;
    for (let trial = 0; trial < trials; trial++) {
      const shared = 0.05 * random.normal();
      const group = Array.from({ length: 12 }, (_, i) => `${i >> 1}`);
      const own = Array.from({ length: 6 }, () => 0.02 * random.normal());
      const y = group.map((_, i) => shared * (i < 6 ? 1 : 0) + own[i >> 1]! + 0.01 * random.normal());
      const known = Float64Array.from({ length: 144 }, (_, at) => (at % 12 < 6 && Math.floor(at / 12) < 6 ? 0.05 ** 2 : 0));
      between += fitMixedModel({ y, x: y.map(() => [1]), group, known })!.betweenVariance / trials;
    }
    expect(Math.sqrt(between)).toBeGreaterThan(0.018);
    expect(Math.sqrt(between)).toBeLessThan(0.022);
  });
});
