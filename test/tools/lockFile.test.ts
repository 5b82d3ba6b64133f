import { describe, expect, it } from 'vitest';
import { isBelow, knownVulnerable, lockedPackages, lockProblems, vulnerableProblems } from '../../tools/lockFile.js';

describe('versions', () => {
  // Source: order of versions as in Semantic Versioning 2.0.0, clause 11.
  it.each([
    ['15.1.9', '15.2.0', true],
    ['15.2.0', '15.2.0', false],
    ['15.10.0', '15.2.0', false],
    ['9.9.9', '10.0.0', true],
    ['15.2.0-rc.1', '15.2.0', true],
    ['15.2.0', '15.2.0-rc.1', false],
  ])('%s below %s: %s', (version, other, expected) => {
    expect(isBelow(version, other)).toBe(expected);
  });

  it('what is no version is an error', () => {
    expect(() => isBelow('latest', '1.0.0')).toThrow('latest is not a version');
  });
});

describe('the lock file', () => {
  it('is whole, and nothing in it is known to be vulnerable', () => {
    const locked = lockedPackages();
    expect(locked.length).toBeGreaterThan(200);
    expect(lockProblems(locked)).toEqual([]);
    expect(vulnerableProblems(locked)).toEqual([]);
  });

  it('every range of the list is about a package in it, and finds the last version before the cure', () => {
    const names = new Set(lockedPackages().map(([folder]) => folder.replace(/^.*node_modules\//, '')));
    for (const { name, below, from } of knownVulnerable()) {
      expect(names.has(name), name).toBe(true);
      expect(vulnerableProblems([[`node_modules/${name}`, { version: `${below}-0` }]]), name).toHaveLength(1);
      expect(vulnerableProblems([[`node_modules/${name}`, { version: below }]]), name).toEqual([]);
      if (from !== undefined)
        expect(vulnerableProblems([[`node_modules/other/node_modules/${name}`, { version: from }]]), name).toHaveLength(1);
    }
  });
});
