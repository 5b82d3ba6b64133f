import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { filesBelow } from '../files.js';
import folders from '../folders.cjs';
import { root, runInstalled } from '../process.js';

const { coreTiers, packageArrows } = folders;

/** Files of core that lie in no folder. */
const besideFolders = ['index.ts', 'version.ts'];

/**
 * Folders that the arrows do not know, and names that say nothing.
 * @returns {string[]}
 */
function unknownFolders() {
  const problems = [];
  const known = new Set(coreTiers.flat());
  for (const entry of readdirSync(path.join(root, 'packages/core/src'), { withFileTypes: true })) {
    if (entry.isDirectory() && !known.has(entry.name)) problems.push(`packages/core/src/${entry.name} has no place in tools/folders.cjs`);
    if (!entry.isDirectory() && !besideFolders.includes(entry.name)) {
      problems.push(`packages/core/src/${entry.name}: only ${besideFolders.join(' and ')} stand beside the folders`);
    }
  }
  for (const entry of readdirSync(path.join(root, 'packages'), { withFileTypes: true })) {
    if (entry.isDirectory() && !(entry.name in packageArrows)) problems.push(`packages/${entry.name} has no place in tools/folders.cjs`);
  }
  for (const file of sourceFiles()) {
    if (/(^|\/)(utils?|helpers?|common)(\.ts$|\/)/i.test(file)) problems.push(`${file}: a name that says nothing; name the idea`);
    if (!/^[a-z][A-Za-z0-9]*(\.d)?\.(js|ts)$/.test(path.basename(file))) problems.push(`${file}: file names are camelCase`);
  }
  return problems;
}

/** @returns {string[]} every source file of the packages, from the root */
function sourceFiles() {
  return Object.keys(packageArrows).flatMap((name) => filesBelow(`packages/${name}/src`, /\.(ts|js)$/));
}

/** Which folder and which package may import which. Needs a build: arrows between packages lead to dist. */
export const arrows = {
  name: 'arrows',
  what: 'imports go one way, through the doors',
  async run() {
    const problems = unknownFolders();
    const sources = Object.keys(packageArrows)
      .flatMap((name) => [`packages/${name}/src`, `packages/${name}/bin`])
      .filter((folder) => existsSync(path.join(root, folder)));
    const { stdout, output } = await runInstalled('depcruise', [
      ...sources,
      'tools',
      '--config',
      '.dependency-cruiser.cjs',
      '--output-type',
      'json',
    ]);
    /** @type {{ modules: { source: string, dependencies: { resolved: string }[] }[], summary: { violations: { from: string, to: string, rule: { name: string }, cycle?: { name: string }[] }[] } }} */
    let seen;
    try {
      seen = JSON.parse(stdout);
    } catch {
      return { passed: 0, failed: 1, report: output };
    }
    for (const { from, to, rule, cycle } of seen.summary.violations) {
      const way = cycle === undefined ? to : cycle.map((step) => step.name).join(' → ');
      problems.push(`${rule.name}: ${from} → ${way}`);
    }
    const cruised = new Set(seen.modules.map((module) => module.source));
    const missed = sourceFiles().filter((file) => !cruised.has(file));
    if (missed.length > 0) problems.push(`never looked at: ${missed.join(', ')}`);
    const between = seen.modules.some(
      ({ source, dependencies }) =>
        /^packages\/(?!core)/.test(source) && dependencies.some(({ resolved }) => resolved.startsWith('packages/core/dist/')),
    );
    if (!between) problems.push('no import between packages was seen: were the packages built (tsc -b)?');
    return { passed: problems.length === 0 ? 1 : 0, failed: problems.length === 0 ? 0 : 1, report: problems.join('\n') };
  },
};
