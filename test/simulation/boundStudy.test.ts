import { expect, it } from 'vitest';

interface Study {
  readonly cases: readonly { readonly truth: string; readonly rateHz: number; readonly rpmStep: number; readonly speedStep: number }[];
  readonly boundCase: (
    one: object,
    trials: number,
  ) => { readonly limit: number; readonly fit: number; readonly bias: number; readonly local: number };
}

// docs/accuracy.md has every case with more trials.
it('the torque fit stays within 1.3 of the bound and beats the local polynomial by a quarter where data are coarse', async () => {
  const { cases, boundCase } = (await import(new URL('../../bench/boundStudy.js', import.meta.url).href)) as Study;
  const coarse = cases.filter(({ rpmStep, speedStep, rateHz }) => rpmStep === 25 && speedStep === 1 && rateHz === 10);
  expect(coarse).toHaveLength(2);
  for (const one of coarse) {
    const { limit, fit, bias, local } = boundCase(one, 6);
    expect(fit / limit, one.truth).toBeLessThan(1.3);
    expect(fit / local, one.truth).toBeLessThan(0.75);
    expect(Math.abs(bias), one.truth).toBeLessThan(limit);
    expect(limit).toBeGreaterThan(0.001);
    expect(limit).toBeLessThan(0.02);
  }
}, 120_000);
