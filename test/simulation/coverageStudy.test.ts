import { expect, it } from 'vitest';

interface Counts {
  readonly trials: number;
  readonly absoluteWhole: number;
  readonly differenceWhole: number;
  readonly difference: Readonly<Record<string, readonly [tried: number, held: number]>>;
}

interface Study {
  readonly cases: readonly { readonly name: string }[];
  readonly countCase: (one: { readonly name: string }, from: number, trials: number) => Counts;
  readonly added: (a: Counts, b: Counts) => Counts;
  readonly sharesOf: (counts: Counts) => { readonly trials: number; readonly differenceSimultaneous: number };
}

const study = (await import(new URL('../../bench/coverageStudy.js', import.meta.url).href)) as Study;
const one = study.cases.find(({ name }) => name === 'clean25, 1 %, 3 pulls, one outing')!;

// Of 8 trials with bands that hold 95 %, fewer than 5 hold in 4 of 10,000 tries (binomial); the seeds are fixed.
it('the study of coverage counts trials in which the bands hold, and most do', () => {
  const counts = study.countCase(one, 5001, 8);
  expect(counts.trials).toBe(8);
  expect(counts.absoluteWhole).toBeGreaterThanOrEqual(5);
  expect(counts.differenceWhole).toBeGreaterThanOrEqual(5);
  expect(counts.difference['4500']![0]).toBe(8);
}, 60_000);

it('parts of a case add up to the case', () => {
  const whole = study.countCase(one, 7, 4);
  expect(study.added(study.countCase(one, 7, 1), study.countCase(one, 8, 3))).toEqual({
    ...whole,
    // Sums of the same numbers in another order.
    width: expect.closeTo((whole as unknown as { width: number }).width, 12),
  });
  expect(study.sharesOf(whole).differenceSimultaneous).toBe(whole.differenceWhole / 4);
}, 60_000);
