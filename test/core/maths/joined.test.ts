import { expect, test } from 'vitest';
import { joined } from '../../../packages/core/src/maths/index.js';

test('lists stand one behind the other, empty ones leave no gap', () => {
  expect([...joined([Float64Array.of(1, Number.NaN), new Float64Array(0), Float64Array.of(3)])]).toEqual([1, Number.NaN, 3]);
  expect(joined([])).toHaveLength(0);
});
