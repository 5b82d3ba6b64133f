import { describe, expect, it } from 'vitest';
import { difference } from '../../tools/examples/expectation.js';
import { examplesOfMarkdown, examplesOfSource, examplesWithoutCode } from '../../tools/examples/extract.js';
import { instrument } from '../../tools/examples/instrument.js';
import { readPattern } from '../../tools/examples/pattern.js';

describe('what stands behind an arrow', () => {
  it.each<[unknown, string]>([
    [3, '3'],
    [1.20412, '1.204'],
    [-0.0449, '-0.04'],
    [1.5e-5, '1.5e-5'],
    [99810.3, '≈ 99810'],
    [1013.25, '1013.25 hPa'],
    [Number.NaN, 'NaN'],
    [undefined, 'undefined'],
    [null, 'null'],
    ['gain', "'gain'"],
    [true, 'true'],
    [[1, 2.004], '[1, 2.00]'],
    [new Float64Array([1, 2]), 'Float64Array(2) [1, 2]'],
    [[1, 2, 3], '[1, 2, ...]'],
    [{ a: 1, b: [2] }, '{ a: 1, b: [2] }'],
    [{ a: 1, b: 2 }, '{ a: 1, … }'],
    [-Infinity, '-Infinity'],
  ])('%j meets `%s`', (value, text) => {
    expect(difference(value, readPattern(text))).toBeNull();
  });

  it.each<[unknown, string]>([
    [3.4, '3'],
    [1.2041, '1.205'],
    [1.2046, '1.204'],
    [Number.NaN, '1.0'],
    [1, 'NaN'],
    [0, 'null'],
    ['loss', "'gain'"],
    ['3', '3'],
    [[1, 2, 3], '[1, 2]'],
    [[1], '[1, 2, ...]'],
    [{ a: 1, b: 2 }, '{ a: 1 }'],
    [{ a: 1 }, '{ a: 1, b: 2 }'],
    [99811, '≈ 99810'],
    [1, 'throws E_EMPTY'],
  ])('%j does not meet `%s`', (value, text) => {
    expect(difference(value, readPattern(text))).not.toBeNull();
  });

  it.each(['about 3', '[1, 2', '{ a }', 'f(3)'])('refuses to guess `%s`', (text) => {
    expect(() => readPattern(text)).toThrow(/cannot read/);
  });
});

describe('instrumenting an example', () => {
  it('compares expressions, declarations, printed values and values on the next line', () => {
    const { assertions, code } = instrument('const a = 1; // => 1\na + 1; // => 2\nconsole.log(a); // => 1\n[a,\n a];\n// => [1, 1]\n');
    expect(assertions).toBe(4);
    expect(code.split('\n')).toHaveLength(7);
  });

  it('refuses an arrow behind nothing', () => {
    expect(() => instrument('// => 3\n')).toThrow(/without an expression/);
  });
});

describe('finding examples', () => {
  const source =
    '/**\n * Doubles.\n * ```ts\n * not(an, example);\n * ```\n * @example\n * ```ts\n * double(2); // => 4\n * ```\n * @returns it\n */\n';

  it('takes the block below @example and says where it starts', () => {
    expect(examplesOfSource('double.ts', source)).toEqual([
      { file: 'double.ts', firstLine: 8, language: 'ts', code: 'double(2); // => 4', leftOut: null },
    ]);
  });

  it('notices an @example without a block', () => {
    expect(examplesWithoutCode(source)).toEqual([]);
    expect(examplesWithoutCode('/**\n * @example double(2)\n */')).toEqual([2]);
  });

  it('takes shell and TypeScript of a document, and the reason of what is left out', () => {
    const text = '# A\n\n<!-- not run: installs -->\n```sh\nnpm ci\n```\n\n```ts\n1; // => 1\n```\n\n```yaml\na: 1\n```\n';
    expect(examplesOfMarkdown('a.md', text)).toEqual([
      { file: 'a.md', firstLine: 5, language: 'sh', code: 'npm ci', leftOut: 'installs' },
      { file: 'a.md', firstLine: 9, language: 'ts', code: '1; // => 1', leftOut: null },
    ]);
  });

  it('sees a block inside a list', () => {
    expect(examplesOfMarkdown('a.md', '1. Do:\n\n   ```sh\n   true\n   ```\n')[0]?.code).toBe('true');
  });

  it('refuses a block without an end', () => {
    expect(() => examplesOfMarkdown('a.md', '```ts\n1;\n')).toThrow(/no end/);
  });
});
