import { describe, expect, it } from 'vitest';
import { isAccepted } from '../../tools/licences.js';

describe('licence expressions (SPDX)', () => {
  it.each(['MIT', '(MIT OR GPL-3.0-only)', 'Apache-2.0 AND MIT', '(BSD-2-Clause OR MIT)'])('%s is accepted', (expression) => {
    expect(isAccepted(expression)).toBe(true);
  });

  it.each(['', 'GPL-3.0-only', 'MIT AND GPL-3.0-only', 'SEE LICENSE IN x', 'UNLICENSED'])('`%s` is not', (expression) => {
    expect(isAccepted(expression)).toBe(false);
  });
});
