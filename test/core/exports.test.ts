import { readFileSync } from 'node:fs';
import * as core from '@pullproof/core';
import { describe, expect, it } from 'vitest';

const listed = readFileSync(new URL('./exports.txt', import.meta.url), 'utf8')
  .split('\n')
  .filter(Boolean);

describe('exports of @pullproof/core', () => {
  it('are those of exports.txt; rewrite that list with: npm run check -- --only exports --update', () => {
    expect(Object.keys(core).sort()).toEqual(listed);
  });

  it('are all there: no name leads to undefined', () => {
    for (const name of listed) expect(Reflect.get(core, name), name).toBeDefined();
  });
});
