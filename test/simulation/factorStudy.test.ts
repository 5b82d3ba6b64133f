import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

interface Case {
  readonly factor: string;
  readonly name: string;
}
interface Figures extends Case {
  readonly trials: number;
  readonly answered: number;
  readonly overBound: number;
  readonly bound: number;
  readonly bias: number;
  readonly held: number;
  readonly gains: number;
  readonly losses: number;
}
interface Cases {
  readonly factorCases: readonly Case[];
  readonly powerCases: readonly Case[];
}
interface Study {
  readonly sumsOf: (one: Case, trials: number) => { readonly trials: number; readonly answered: number };
  readonly figuresOf: (one: Case, sums: object) => Figures;
}

const at = (name: string): string => new URL(`../../bench/${name}`, import.meta.url).href;
const { factorCases, powerCases } = (await import(at('factorCases.js'))) as Cases;
const { sumsOf, figuresOf } = (await import(at('factorStudy.js'))) as Study;
const written = readFileSync(new URL('../../docs/accuracy.md', import.meta.url), 'utf8');
const results = JSON.parse(readFileSync(new URL('../../bench/factorResults.json', import.meta.url), 'utf8')) as {
  readonly factors: readonly Figures[];
  readonly power: readonly Figures[];
};

// The tables have many more trials. Regression, not truth: what a handful of trials may differ by.
it('the usual log and one with an unknown grade come out as the table of docs/accuracy.md says', () => {
  for (const name of ['–', 'nothing tells it']) {
    const one = factorCases.find((candidate) => candidate.name === name)!;
    const few = figuresOf(one, sumsOf(one, 6));
    const many = results.factors.find((row) => row.factor === one.factor && row.name === name)!;
    expect(few.answered).toBe(6);
    expect(few.bound).toBeCloseTo(many.bound, 9);
    expect(few.overBound / many.overBound, name).toBeGreaterThan(0.6);
    expect(few.overBound / many.overBound, name).toBeLessThan(1.6);
    expect(Math.abs(few.bias - many.bias), name).toBeLessThan(few.bound);
    expect(few.losses + few.gains, name).toBeLessThan(0.5);
  }
}, 120_000);

it('the tables and the picture have every case of the study', () => {
  expect(results.factors.map(({ factor, name }) => `${factor} ${name}`)).toEqual(
    factorCases.map(({ factor, name }) => `${factor} ${name}`),
  );
  expect(results.power.map(({ name }) => name)).toEqual(powerCases.map(({ name }) => name));
  for (const { factor, name, answered, trials, overBound } of results.factors) {
    expect(written, `${factor} ${name}`).toContain(`| ${factor} | ${name} | ${answered} of ${trials} |`);
    expect(written).toContain(`| ${overBound.toFixed(2)} |`);
  }
});
