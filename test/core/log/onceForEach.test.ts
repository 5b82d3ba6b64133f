import { expect, test } from 'vitest';
import { onceForEach } from '../../../packages/core/src/log/index.js';

test('works each answer out once, also where the answer is nothing', () => {
  let calls = 0;
  const sizeOf = onceForEach((list: readonly number[]) => {
    calls++;
    return list.length === 0 ? undefined : list.length;
  });
  const [empty, two] = [[], [1, 2]];
  expect([sizeOf(two), sizeOf(empty), sizeOf(two), sizeOf(empty)]).toEqual([2, undefined, 2, undefined]);
  expect(calls).toBe(2);
  // Another object with the same content is another question.
  expect(sizeOf([1, 2])).toBe(2);
  expect(calls).toBe(3);
});
