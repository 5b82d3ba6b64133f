import { describe, expect, test } from 'vitest';
import { randomStream } from '../../../packages/core/src/maths/index.js';
import { censoredMean, censoredRegression } from '../../../packages/core/src/sensors/index.js';
import { inverseMills, logNormalCdf, normalCdf } from '../../../packages/core/src/sensors/normalTail.js';

// Source: Tobin's data, R package survival 3.5-3 (`tobin`), R 4.2.2 on Debian 12.
const durable = [0, 0.7, 0, 0, 0, 0, 0, 3.7, 0, 3, 10.4, 0, 0, 0, 1.5, 0, 0, 3.5, 6.1, 0];
const age = [57.7, 50.9, 48.5, 41.7, 47.7, 59.8, 44.3, 45.1, 51.7, 50, 46.8, 58, 58.9, 40, 34.1, 39.9, 33.4, 48.1, 46.6, 53.1];
const quant = [236, 283, 207, 220, 238, 216, 284, 221, 275, 269, 207, 249, 246, 277, 231, 219, 240, 266, 214, 251];
const ones = new Float64Array(20).fill(1);
const design = [ones, Float64Array.from(age), Float64Array.from(quant)];
const values = Float64Array.from(durable);
const leftBound = Int8Array.from(durable, (y) => (y > 0 ? 0 : -1));

describe('censoredRegression against R', () => {
  test('CK-10.2: Tobin’s data, lower bound', () => {
    // Source: Rscript -e 'library(survival); f <- survreg(Surv(durable, durable>0, type="left") ~ age + quant, data=tobin, dist="gaussian"); print(coef(f), digits=12); print(f$scale, digits=12); f$loglik; sqrt(diag(vcov(f)))'
    const fit = censoredRegression(design, values, leftBound);
    const expected = [15.1448663606815, -0.129059284097, -0.0455416629543];
    for (const [k, value] of expected.entries()) expect(fit.coefficients[k]!).toBeCloseTo(value, 6);
    expect(fit.sigma).toBeCloseTo(5.57253976309, 6);
    expect(fit.logLikelihood).toBeCloseTo(-28.9401331997, 6);
    // Source: print(vcov(f), digits = 10), rows of the constant and of Log(scale).
    const shared = [258.5488150428, -1.735458184021, -0.7280315068533, 0.2385677135741];
    for (const [k, value] of shared.entries()) expect(fit.covariance[k]! / value).toBeCloseTo(1, 4);
    const withScale = [0.2385677135741, -0.0125409398139, -0.0001319177385, 0.0963001905919];
    for (const [k, value] of withScale.entries()) expect(fit.covariance[12 + k]! / value).toBeCloseTo(1, 4);
    const errors = [16.0794531947701, 0.2185835966378, 0.0582541154779, 0.3103227200704];
    for (const [k, value] of errors.entries()) expect(Math.sqrt(fit.covariance[5 * k]!)).toBeCloseTo(value, 5);
    expect(fit).toMatchObject({ seen: 7, censored: 13 });
    expect(fit.iterations).toBeLessThan(20);
    expect(fit.residual).toBeLessThan(1e-10);
  });

  test('CK-10.3: the mirror image, upper bound', () => {
    const fit = censoredRegression(
      design,
      values.map((y) => -y),
      leftBound.map((one) => -one),
    );
    expect(fit.coefficients[0]!).toBeCloseTo(-15.1448663606815, 6);
    expect(fit.coefficients[1]!).toBeCloseTo(0.129059284097, 6);
    expect(fit.sigma).toBeCloseTo(5.57253976309, 6);
    expect(fit.logLikelihood).toBeCloseTo(-28.9401331997, 6);
  });

  test('CK-10.4: plain least squares, zeros kept and dropped, are the uncensored case of the same function', () => {
    // Source: FORMULAS.md CK-10.4: dropping the censored rows even turns the sign of age.
    const kept = censoredRegression(design, values, new Int8Array(20));
    for (const [k, value] of [11.07428, -0.02607, -0.03457].entries()) expect(kept.coefficients[k]!).toBeCloseTo(value, 4);
    const rows = durable.map((y, i) => (y > 0 ? i : -1)).filter((i) => i >= 0);
    const take = (column: Float64Array): Float64Array => Float64Array.from(rows, (i) => column[i]!);
    const dropped = censoredRegression(design.map(take), take(values), new Int8Array(rows.length));
    for (const [k, value] of [13.77805, 0.33924, -0.10446].entries()) expect(dropped.coefficients[k]!).toBeCloseTo(value, 4);
  });

  test('CK-10.5: five readings and three of at least 200', () => {
    // Source: Rscript -e 'library(survival); y<-c(188,192,195,197,199,200,200,200); s<-c(1,1,1,1,1,0,0,0); h<-survreg(Surv(y,s)~1, dist="gaussian"); c(coef(h), h$scale, h$loglik[2], sqrt(diag(vcov(h))))'
    const readings = Float64Array.of(188, 192, 195, 197, 199, 200, 200, 200);
    const fit = censoredRegression([new Float64Array(8).fill(1)], readings, Int8Array.of(0, 0, 0, 0, 0, 1, 1, 1));
    expect(fit.coefficients[0]!).toBeCloseTo(197.930186063, 6);
    expect(fit.sigma).toBeCloseTo(6.04938667684, 6);
    expect(fit.logLikelihood).toBeCloseTo(-18.5814286061, 8);
    expect(Math.sqrt(fit.covariance[0]!)).toBeCloseTo(2.371345037212, 5);
  });

  test('a pressure curve cut off at 220, and its mean beyond', () => {
    // Source: Rscript -e 'library(survival); x<-seq(2,6,length.out=41); y<-120+22*x+1.5*sin(12.9898*(1:41)); d<-as.integer(y<220); k<-survreg(Surv(pmin(y,220),d)~x, dist="gaussian"); coef(k); k$scale; k$loglik; predict(k, data.frame(x=c(5,6)), se.fit=TRUE)'
    const x = Float64Array.from({ length: 41 }, (_, i) => 2 + i / 10);
    const y = x.map((at, i) => 120 + 22 * at + 1.5 * Math.sin(12.9898 * (i + 1)));
    const bound = Int8Array.from(y, (one) => (one < 220 ? 0 : 1));
    const fit = censoredRegression(
      [x.map(() => 1), x],
      y.map((one) => Math.min(one, 220)),
      bound,
    );
    expect(fit).toMatchObject({ seen: 27, censored: 14 });
    expect(fit.coefficients[0]!).toBeCloseTo(121.7506636624, 6);
    expect(fit.coefficients[1]!).toBeCloseTo(21.4845797464, 6);
    expect(fit.sigma).toBeCloseTo(1.01457443082, 6);
    expect(fit.logLikelihood).toBeCloseTo(-38.7200941852, 6);
    const mean = censoredMean(fit, [1, 6]);
    expect(mean.value).toBeCloseTo(250.658142141, 5);
    expect((mean.high - mean.low) / 2 / 1.959964).toBeCloseTo(0.702935644826, 4);
  });

  test('bounds on both sides at once', () => {
    // Source: Rscript -e 'library(survival); y<-c(1.2,0,3.4,5,2.2,0,5,4.1,2.9,5); lo<-hi<-y; lo[y==0]<-NA; hi[y==5]<-NA; x<-c(1,0,3,5,2,0.5,6,4,2.5,7); m<-survreg(Surv(lo,hi,type="interval2")~x, dist="gaussian"); coef(m); m$scale; m$loglik'
    const y = Float64Array.of(1.2, 0, 3.4, 5, 2.2, 0, 5, 4.1, 2.9, 5);
    const x = Float64Array.of(1, 0, 3, 5, 2, 0.5, 6, 4, 2.5, 7);
    const fit = censoredRegression(
      [x.map(() => 1), x],
      y,
      Int8Array.from(y, (one) => (one === 0 ? -1 : one === 5 ? 1 : 0)),
    );
    expect(fit.coefficients[0]!).toBeCloseTo(-0.332059090438, 6);
    expect(fit.coefficients[1]!).toBeCloseTo(1.198149071501, 6);
    expect(fit.sigma).toBeCloseTo(0.289642287097, 6);
    expect(fit.logLikelihood).toBeCloseTo(-2.26529297801, 6);
  });

  test('too few seen, a doubled column and other lengths are refused', () => {
    expect(() => censoredRegression([ones], values, new Int8Array(20).fill(1))).toThrow('E_TOO_FEW_SEEN');
    expect(() => censoredRegression([ones, ones], values, leftBound)).toThrow('E_SINGULAR');
    expect(() => censoredRegression([ones], values, new Int8Array(3))).toThrow('E_LENGTHS');
  });
});

describe('censoredRegression at its edges', () => {
  test('a column that the readings are even in changes nothing', () => {
    // By symmetry its coefficient is 0, already where the search starts; the search must go on for the others.
    const x = Float64Array.of(-4, -3, -2, -1, 1, 2, 3, 4);
    const y = Float64Array.of(190, 200, 195, 200, 200, 195, 200, 190);
    const bound = Int8Array.of(0, 1, 0, 0, 0, 0, 1, 0);
    const one = new Float64Array(8).fill(1);
    const [alone, beside] = [censoredRegression([one], y, bound), censoredRegression([one, x], y, bound)];
    expect(beside.coefficients[1]!).toBeCloseTo(0, 9);
    expect(beside.coefficients[0]!).toBeCloseTo(alone.coefficients[0]!, 7);
    expect(beside.sigma).toBeCloseTo(alone.sigma, 7);
  });

  test('is the most likely line by a likelihood written out here, also where nine in ten readings are censored', () => {
    // Source: the definition, ln L = Σ seen ln φ((y − Xb)/s)/s + Σ at least ln Φ((Xb − c)/s), with R-checked tails.
    const random = randomStream(12);
    for (let trial = 0; trial < 20; trial++) {
      const n = 60;
      const x = Float64Array.from({ length: n }, () => random.uniform());
      const truth = x.map((at) => 180 + 30 * at + 6 * random.normal());
      const limit = Float64Array.from(truth).sort()[5 + trial]!;
      const y = truth.map((value) => Math.min(value, limit));
      const bound = Int8Array.from(truth, (value) => (value > limit ? 1 : 0));
      const fit = censoredRegression([new Float64Array(n).fill(1), x], y, bound);
      const logLikelihood = (b0: number, b1: number, sigma: number): number =>
        y.reduce((sum, value, i) => {
          const z = (value - b0 - b1 * x[i]!) / sigma;
          return sum + (bound[i] === 0 ? -0.5 * z * z - Math.log(sigma * Math.sqrt(2 * Math.PI)) : logNormalCdf(-z));
        }, 0);
      const [b0, b1] = [fit.coefficients[0]!, fit.coefficients[1]!];
      const best = logLikelihood(b0, b1, fit.sigma);
      expect(fit.logLikelihood).toBeCloseTo(best, 8);
      for (const [d0, d1, share] of [
        [0.05, 0, 1],
        [-0.05, 0, 1],
        [0, 0.05, 1],
        [0, -0.05, 1],
        [0, 0, 1.005],
        [0, 0, 0.995],
      ] as const)
        expect(logLikelihood(b0 + d0, b1 + d1, fit.sigma * share)).toBeLessThan(best);
    }
  });

  test('says what is wrong', () => {
    expect(() => censoredRegression([ones, new Float64Array(3)], values, leftBound)).toThrow(
      'There are 20 readings, but columns or bounds of another length. Give arrays of one length. [E_LENGTHS]',
    );
    expect(() => censoredRegression([ones, ones], values.subarray(0, 3), new Int8Array(3))).toThrow('[E_LENGTHS]');
    const twoSeen = Int8Array.from(durable, (_, i) => (i < 2 ? 0 : 1));
    expect(() => censoredRegression([ones, Float64Array.from(age)], values, twoSeen)).toThrow(
      'Only 2 of 20 readings are free of the limit, for 3 unknowns. Log more below the limit, or fit fewer terms. [E_TOO_FEW_SEEN]',
    );
    expect(() => censoredRegression([ones, ones], values, leftBound)).toThrow(
      'Two columns of the fit say the same thing. Leave one of them out. [E_SINGULAR]',
    );
    expect(() => censoredRegression(design, values, leftBound, { maxIterations: 2 })).toThrow(
      /^The fit to censored readings did not settle in 2 steps \(slope left \d\.\de-\d+\)\. Check that the readings below the limit are not all on one line without scatter; fit fewer terms\. \[E_NOT_CONVERGED\]$/,
    );
    expect(() => censoredRegression(design, values, leftBound, { tolerance: 1e-3 })).not.toThrow();
  });

  test('as many seen as unknowns are enough', () => {
    // Three seen readings of one constant and its spread, all symmetric: mean 0, ML deviation √(2/3).
    const fit = censoredRegression([new Float64Array(3).fill(1)], Float64Array.of(-1, 0, 1), new Int8Array(3));
    expect(fit.coefficients[0]!).toBeCloseTo(0, 9);
    expect(fit.sigma).toBeCloseTo(Math.sqrt(2 / 3), 9);
    const two = censoredRegression([new Float64Array(2).fill(1)], Float64Array.of(-1, 1), new Int8Array(2));
    expect(two.sigma).toBeCloseTo(1, 9);
  });

  test('the unit of a column or of the readings changes nothing but the unit', () => {
    const plain = censoredRegression(design, values, leftBound);
    const scaled = censoredRegression(
      [ones, Float64Array.from(age, (a) => 1e6 * a), Float64Array.from(quant, (q) => -1e-3 * q)],
      values.map((y) => 1e5 * y),
      leftBound,
    );
    for (const [k, factor] of [1e5, 1e-1, -1e8].entries())
      expect(scaled.coefficients[k]! / plain.coefficients[k]!).toBeCloseTo(factor, factor > 1e6 ? 0 : 5);
    expect(scaled.sigma / plain.sigma).toBeCloseTo(1e5, 3);
    expect(scaled.logLikelihood).toBeCloseTo(plain.logLikelihood - 7 * Math.log(1e5), 6);
    expect(scaled.covariance[15]! / plain.covariance[15]!).toBeCloseTo(1, 6);
    expect(scaled.covariance[0]! / plain.covariance[0]!).toBeCloseTo(1e10, -4);
  });

  test('a band at another level', () => {
    // Source: R qnorm(0.9) = 1.2815515655446, qnorm(0.975) = 1.95996398454005.
    const fit = censoredRegression(design, values, leftBound);
    const half = (level?: number): number => {
      const { value, low, high } = censoredMean(fit, [1, 50, 240], level === undefined ? {} : { level });
      expect((low + high) / 2).toBeCloseTo(value, 9);
      return (high - low) / 2;
    };
    expect(half(0.8) / half()).toBeCloseTo(1.2815515655446 / 1.95996398454005, 7);
    expect(censoredMean(fit, [1, 50, 240], { level: 0.8 }).level).toBe(0.8);
  });
});

describe('normal tail', () => {
  test('far out, and the mean excess, against R', () => {
    // Source: Rscript -e 'options(digits=15); pnorm(c(-10,-4,4)); dnorm(c(-10,-5,-1,0,2))/pnorm(c(-10,-5,-1,0,2))'
    for (const [z, p] of [
      [-10, 7.61985302416053e-24],
      [-4, 3.16712418331199e-5],
      [4, 0.999968328758167],
    ] as const)
      expect(normalCdf(z) / p).toBeCloseTo(1, 12);
    for (const [z, excess] of [
      [-10, 10.098093233962512],
      [-5, 5.186503967125842],
      [-1, 1.525135276160981],
      [0, 0.797884560802865],
      [2, 0.05524786267899],
    ] as const)
      expect(inverseMills(z) / excess).toBeCloseTo(1, 12);
  });

  test('against R', () => {
    // Source: Rscript -e 'print(pnorm(c(-40,-10,-3.5,-1,0,2,5), log.p=TRUE), digits=15)'
    const expected = [-804.608442013754, -53.2312851505125, -8.36606530834409, -1.84102164500926, -Math.LN2, -0.0230129093289635];
    for (const [k, z] of [-40, -10, -3.5, -1, 0, 2].entries()) expect(logNormalCdf(z) / expected[k]!).toBeCloseTo(1, 12);
    expect(normalCdf(5)).toBeCloseTo(0.999999713348428, 14);
  });

  test('CK-10.6: what a clamp does to a normal reading', () => {
    // Source: FORMULAS.md CK-10.6: y ~ N(198, 5), c = 200.
    const a = (200 - 198) / 5;
    const above = 1 - normalCdf(a);
    const mills = inverseMills(-a);
    expect(198 + 5 * mills).toBeCloseTo(203.3438, 3);
    expect((1 - above) * (198 - 5 * inverseMills(a)) + above * 200).toBeCloseTo(196.8478, 3);
  });
});
