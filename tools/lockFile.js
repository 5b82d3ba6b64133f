import { readFileSync } from 'node:fs';
import path from 'node:path';
import { root } from './process.js';

/**
 * @typedef {{ version?: string, dev?: boolean, devOptional?: boolean, optional?: boolean, link?: boolean, resolved?: string, integrity?: string, hasInstallScript?: boolean, dependencies?: Record<string, string>, devDependencies?: Record<string, string>, optionalDependencies?: Record<string, string>, workspaces?: readonly string[], [field: string]: unknown }} Locked
 * @typedef {{ name: string, from?: string, below: string, source: string }} Vulnerable
 */

/** @returns {[string, Locked][]} what package-lock.json holds, by folder */
export function lockedPackages() {
  const lock = JSON.parse(readFileSync(path.join(root, 'package-lock.json'), 'utf8'));
  if (lock.lockfileVersion !== 3) throw new Error('package-lock.json is not of version 3');
  return Object.entries(lock.packages);
}

/** Name of a package by its folder. @param {string} folder */
const nameOf = (folder) => folder.slice(folder.lastIndexOf('node_modules/') + 'node_modules/'.length);

/**
 * What stands against the lock file: addresses, install scripts, packages without a checksum, and needs that nothing in it meets.
 * @param {readonly [string, Locked][]} locked @returns {string[]}
 */
export function lockProblems(locked) {
  const folders = new Map(locked);
  const problems = [];
  for (const [folder, entry] of locked) {
    const place = `package-lock.json: ${folder}`;
    if (entry.resolved !== undefined && /^[a-z+]+:\/\//i.test(entry.resolved)) problems.push(`${place} carries an address`);
    if (entry.hasInstallScript === true) problems.push(`${place} has an install script`);
    const fetched = folder.includes('node_modules/') && entry.link !== true;
    if (fetched && !/^sha512-[A-Za-z0-9+/]{86}==$/.test(entry.integrity ?? '')) problems.push(`${place} has no checksum`);
    const needs = [
      ...Object.keys(entry.dependencies ?? {}),
      ...(folder.includes('node_modules/') ? [] : Object.keys(entry.devDependencies ?? {})),
    ];
    for (const need of needs) {
      // What an optional package needs may be missing on this system, but never in the lock file.
      if (!isMet(folders, folder, need)) problems.push(`${place} needs ${need}, which is not in the lock file`);
    }
  }
  for (const [folder, entry] of locked.filter(([name]) => !name.includes('node_modules/')))
    problems.push(...manifestProblems(folder, entry));
  return problems;
}

/** The lock file repeats the needs of our own packages; both must say the same. @param {string} folder @param {Locked} entry @returns {string[]} */
function manifestProblems(folder, entry) {
  const file = path.join(root, folder, 'package.json');
  const manifest = JSON.parse(readFileSync(file, 'utf8'));
  return ['dependencies', 'devDependencies', 'optionalDependencies']
    .filter((kind) => JSON.stringify(sorted(manifest[kind])) !== JSON.stringify(sorted(entry[kind])))
    .map((kind) => `package-lock.json: ${kind} of ${folder === '' ? 'the root' : folder} differ from its package.json`);
}

/** @param {any} needs */
const sorted = (needs) => Object.entries(needs ?? {}).sort(([a], [b]) => (a < b ? -1 : 1));

/** Looks for a package as Node does: beside the one that needs it, then further up. @param {ReadonlyMap<string, Locked>} folders @param {string} from @param {string} need */
function isMet(folders, from, need) {
  for (let at = from; ; at = at.slice(0, Math.max(0, at.lastIndexOf('/')))) {
    if (!at.endsWith('node_modules') && folders.has(`${at === '' ? '' : `${at}/`}node_modules/${need}`)) return true;
    if (at === '') return false;
  }
}

/** @returns {readonly Vulnerable[]} versions known to be vulnerable, from the committed list */
export function knownVulnerable() {
  return JSON.parse(readFileSync(path.join(root, 'tools/knownVulnerable.json'), 'utf8')).packages;
}

/**
 * Locked packages whose version is known to be vulnerable.
 * @param {readonly [string, Locked][]} locked @param {readonly Vulnerable[]} [known] @returns {string[]}
 */
export function vulnerableProblems(locked, known = knownVulnerable()) {
  return locked.flatMap(([folder, { version, link }]) =>
    version === undefined || link === true || !folder.includes('node_modules/')
      ? []
      : known
          .filter(
            (one) => one.name === nameOf(folder) && isBelow(version, one.below) && !(one.from !== undefined && isBelow(version, one.from)),
          )
          .map(({ name, below, source }) => `${name} ${version} is known to be vulnerable below ${below}: ${source}`),
  );
}

/** True when one version comes before another; a pre-release comes before its release. @param {string} version @param {string} other */
export function isBelow(version, other) {
  const parts = (/** @type {string} */ text) => (/^(\d+)\.(\d+)\.(\d+)(-?)/.exec(text) ?? []).slice(1);
  const [a, b] = [parts(version), parts(other)];
  if (a.length === 0 || b.length === 0) throw new Error(`${a.length === 0 ? version : other} is not a version`);
  for (let i = 0; i < 3; i++) if (a[i] !== b[i]) return Number(a[i]) < Number(b[i]);
  return a[3] === '-' && b[3] === '';
}
