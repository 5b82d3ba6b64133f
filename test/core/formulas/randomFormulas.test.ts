import { compileFormulas, type FormulaParser, loadFormulaParser, PullproofError } from '@pullproof/core';
import fc from 'fast-check';
import { evaluate } from 'mathjs/number';
import { beforeAll, describe, expect, it } from 'vitest';

let parser: FormulaParser;
beforeAll(async () => {
  parser = await loadFormulaParser();
});

/** Formulas of plain numbers alone, as text. */
const plain = fc.letrec<{ formula: string }>((tie) => ({
  formula: fc.oneof(
    { maxDepth: 5, withCrossShrink: true },
    fc.double({ min: 0.001, max: 1000, noNaN: true }).map((value) => value.toPrecision(6)),
    fc.tuple(tie('formula'), fc.constantFrom('+', '-', '*', '/', '^'), tie('formula')).map(([a, sign, b]) => `${a} ${sign} ${b}`),
    tie('formula').map((a) => `(${a})`),
    tie('formula').map((a) => `-${a}`),
    fc
      .tuple(fc.constantFrom('abs', 'sqrt', 'exp', 'log', 'log10', 'sin', 'cos', 'tan'), tie('formula'))
      .map(([name, a]) => `${name}(${a})`),
    // The library takes neighbouring numbers for equal in min and max, so these get whole ones.
    fc.tuple(fc.constantFrom('min', 'max'), fc.nat(9), fc.nat(9)).map(([name, a, b]) => `${name}(-${a + 1}, ${b})`),
  ),
})).formula;

/** Text that looks like formulas, and formulas with something in them that does not belong. */
const words = fc.constantFrom(
  ...['manifold_pressure', 'engine_speed', 'throttle', 'time', 'gear', 'constructor', '__proto__', 'prototype', 'this', 'import', 'eval'],
  ...[
    'evaluate',
    'parse',
    'f',
    'e',
    'i',
    'pi',
    'Infinity',
    'NaN',
    'undefined',
    'true',
    'in',
    'to',
    'mod',
    'not',
    'and',
    'end',
    'createUnit',
  ],
  ...[
    '+',
    '-',
    '*',
    '/',
    '^',
    '(',
    ')',
    ',',
    '.',
    ':',
    ';',
    '=',
    '==',
    '<',
    '>',
    '[',
    ']',
    '{',
    '}',
    '?',
    '!',
    '"',
    "'",
    '`',
    '\\',
    '#',
    '%',
  ],
  ...['&', '|', '~', '@', '$', '..', '.*', './', '=>', '->', '\n', '\t', ' ', '\u0000', '\u202e', '\u2028', '\ud800', 'µ', '°'],
  ...[
    '5 kPa',
    '20 degC',
    '720 deg',
    '0.4 s',
    '45 %',
    '1e308',
    '1e-308',
    '0',
    '007',
    '1:1000000',
    'rate(',
    'smooth(',
    'sqrt(',
    'min(',
    'max(',
  ],
);
const hostile = fc.oneof(
  fc.array(words, { maxLength: 40 }).map((parts) => parts.join('')),
  fc.array(words, { maxLength: 40 }).map((parts) => parts.join(' ')),
  fc.string({ unit: 'binary', maxLength: 200 }),
  fc.string({ unit: 'grapheme', maxLength: 1200 }),
  fc.tuple(words, fc.integer({ min: 1, max: 1500 })).map(([word, times]) => word.repeat(times)),
  fc.tuple(plain, fc.nat(200), words).map(([formula, at, word]) => formula.slice(0, at) + word + formula.slice(at)),
);

/** Longest that reading one formula may take; seen are a few milliseconds. */
const patienceMs = 500;

function timed<T>(work: () => T): T {
  const start = performance.now();
  const made = work();
  expect(performance.now() - start).toBeLessThan(patienceMs);
  return made;
}

/** Value of a formula of numbers, or the problem that it was refused with. */
function outcome(formula: string): number | null | PullproofError {
  try {
    return timed(() => compileFormulas({ it: formula }, parser)[0]!.compiled.constant);
  } catch (cause) {
    if (cause instanceof PullproofError) return cause;
    throw cause;
  }
}

it('the parser is shown the shape only: one letter for every name and number', () => {
  const shown: string[] = [];
  const spy: FormulaParser = {
    parse: (shape) => {
      shown.push(shape);
      return parser.parse(shape);
    },
  };
  compileFormulas({ a: 'min(manifold_pressure, 5 kPa) / barometric_pressure', b: '-a ^ 2 + rate(throttle, 0.4 s) * 1 s' }, spy);
  expect(shown).toEqual([`x  (x                , x    ) / x                  `, `-x ^ x + x   (x       , x    ) * x  `]);
  for (const text of ['constructor', 'import("x")', 'time = 1', 'f(x) = x', '"text"'])
    expect(() => compileFormulas({ a: text }, spy)).toThrow(PullproofError);
  expect(shown).toHaveLength(2);
});

describe('random formulas', () => {
  it('have the value that the library works out by itself, 4,000 of them', () => {
    let values = 0;
    fc.assert(
      fc.property(plain, (formula) => {
        const made = outcome(formula);
        // An independent way: the library evaluates the very text; ours only asks it for the shape.
        const other: unknown = evaluate(formula);
        if (made instanceof PullproofError) {
          expect(made.what).toMatch(/no finite value|more than 250|1,?\d+ characters/);
          return;
        }
        values++;
        expect(typeof other).toBe('number');
        expect(made).toBe(other);
      }),
      { numRuns: 4000, seed: 20260501 },
    );
    expect(values).toBeGreaterThan(2000);
  }, 60_000);

  it('are read or refused with a place, never anything else, 6,000 of them', () => {
    let refused = 0;
    const before = Object.getOwnPropertyNames(Object.prototype).length;
    fc.assert(
      fc.property(hostile, (formula) => {
        const made = outcome(formula);
        if (!(made instanceof PullproofError)) return;
        refused++;
        expect(made.code).toBe('E_FORMULA');
        const { character } = made.where;
        expect(Number.isInteger(character) && character! >= 1 && character! <= Math.max(formula.length, 0) + 1).toBe(true);
        expect(made.what).toMatch(/^At character \d+/);
        expect(made.fix).not.toBe('');
      }),
      { numRuns: 6000, seed: 20260502 },
    );
    expect(refused).toBeGreaterThan(5000);
    expect(Object.getOwnPropertyNames(Object.prototype)).toHaveLength(before);
  }, 60_000);
});
