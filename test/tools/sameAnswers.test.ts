import { describe, expect, it } from 'vitest';
import { changedPaths } from '../../tools/sameAnswers/changedPaths.js';

describe('changedPaths', () => {
  it('finds nothing in equal answers', () => {
    expect(changedPaths({ a: [1, { b: null }] }, { a: [1, { b: null }] })).toEqual([]);
  });

  it('names the path once for all places of a list, how often, and the largest change', () => {
    expect(changedPaths({ a: [{ w: 100 }, { w: 200 }, { w: 5 }] }, { a: [{ w: 101 }, { w: 250 }, { w: 5 }] })).toEqual([
      '.a[].w: 2, by up to 0.25 of it; 100 → 101',
    ]);
  });

  it('sees what came, went, or changed its kind or length', () => {
    expect(changedPaths({ gone: 1, list: [1, 2] }, { come: 'x', list: [1] })).toEqual([
      '.gone: 1; 1 → left out',
      '.list: 1; [1,2] → [1]',
      '.come: 1; left out → "x"',
    ]);
    expect(changedPaths(null, 3)).toEqual(['the whole: 1; null → 3']);
  });
});
