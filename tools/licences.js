// Lists the licences of what Pullproof is made of and what is known against it, from the checkout alone: node tools/licences.js
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { knownVulnerable, lockedPackages, lockProblems, vulnerableProblems } from './lockFile.js';
import { root } from './process.js';

/** Licences that a product under Apache-2.0 may be built from without further duties than to keep their notice. */
const accepted = new Set([
  'MIT',
  'ISC',
  'BSD-2-Clause',
  'BSD-3-Clause',
  '0BSD',
  'Apache-2.0',
  'Unlicense',
  'CC0-1.0',
  'Python-2.0',
  'BlueOak-1.0.0',
]);

/** @typedef {{ name: string, version: string, licence: string, folder: string }} Used */

/**
 * Production dependencies with their licences.
 * @returns {Used[]}
 */
export function productionDependencies() {
  return lockedPackages()
    .filter(([folder, { dev, devOptional, link }]) => folder.includes('node_modules/') && !dev && !devOptional && !link)
    .filter(([folder, { optional }]) => !optional || existsSync(path.join(root, folder)))
    .map(([folder]) => {
      const file = path.join(root, folder, 'package.json');
      if (!existsSync(file)) throw new Error(`${folder} is not installed: run npm ci first`);
      const { name, version, license, licenses } = JSON.parse(readFileSync(file, 'utf8'));
      const licence =
        typeof license === 'string'
          ? license
          : (license?.type ?? licenses?.map((/** @type {{ type: string }} */ l) => l.type).join(' OR ') ?? '');
      return { name, version, licence, folder };
    });
}

/**
 * True when at least one of the choices a licence expression gives is accepted. Joined terms (AND) must all be.
 * @param {string} expression
 */
export function isAccepted(expression) {
  const choices = expression.replace(/^\(|\)$/g, '').split(/ OR /i);
  return choices.some((choice) => choice.split(/ AND /i).every((term) => accepted.has(term.trim())));
}

/**
 * What stands against the dependencies: unknown licences, install scripts, versions known to be vulnerable, a lock file that is not whole.
 * @returns {string[]}
 */
export function dependencyProblems() {
  const used = productionDependencies();
  const problems = used.length === 0 ? ['no production dependency was found'] : [];
  for (const { name, version, licence } of used) {
    if (!isAccepted(licence)) problems.push(`${name} ${version}: licence \`${licence || 'none stated'}\` is not one of those accepted`);
  }
  for (const { name, folder } of used) {
    const { scripts = {} } = JSON.parse(readFileSync(path.join(root, folder, 'package.json'), 'utf8'));
    for (const script of ['preinstall', 'install', 'postinstall'])
      if (script in scripts) problems.push(`${name} has the install script ${script}`);
    if (existsSync(path.join(root, folder, 'binding.gyp'))) problems.push(`${name} compiles on install (binding.gyp)`);
  }
  const locked = lockedPackages();
  problems.push(...lockProblems(locked), ...vulnerableProblems(locked));
  return problems;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const { name, version, licence } of productionDependencies()) console.log(`${name} ${version}: ${licence}`);
  console.log(
    `${lockedPackages().length} packages in the lock file, ${knownVulnerable().length} ranges of versions known to be vulnerable`,
  );
  const problems = dependencyProblems();
  for (const problem of problems) console.error(problem);
  process.exitCode = problems.length === 0 ? 0 : 1;
}
