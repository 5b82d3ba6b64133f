import { existsSync } from 'node:fs';
import path from 'node:path';
import { root, runInstalled, runProgram } from '../process.js';

/** Packages that know neither Node nor a browser. */
const purePackages = ['core', 'figures', 'simulation'];

/** Types of packages (which builds them), tests and tools; and that the pure packages see neither Node's types nor the browser's. */
export const types = {
  name: 'types',
  what: 'types of packages, tests and tools',
  async run() {
    const problems = [];
    const build = await runInstalled('tsc', ['-b', '--pretty', 'false']);
    if (build.exitCode !== 0) problems.push(build.output);
    else {
      const joined = await runProgram('node', ['tools/bundle.js']);
      if (joined.exitCode !== 0) problems.push(joined.output);
    }
    for (const project of ['test', 'test/browser', 'tools']) {
      const { exitCode, output } = await runInstalled('tsc', ['-p', project, '--pretty', 'false']);
      if (exitCode !== 0) problems.push(output);
    }
    for (const name of purePackages) {
      if (!existsSync(path.join(root, 'packages', name, 'tsconfig.json'))) {
        problems.push(`packages/${name}/tsconfig.json is missing`);
        continue;
      }
      const listing = await runInstalled('tsc', ['-p', `packages/${name}`, '--listFilesOnly']);
      const files = listing.stdout.split('\n').filter((line) => line !== '');
      if (!files.some((file) => file.endsWith(`packages/${name}/src/index.ts`)))
        problems.push(`packages/${name}: no source listed\n${listing.output}`);
      const foreign = files.filter((file) => /@types\/node\/|lib\.(dom|webworker)/.test(file));
      if (foreign.length > 0) {
        problems.push(
          `packages/${name} must compile without Node's and the browser's types, yet it sees ${foreign.length} such files, first ${foreign[0]}`,
        );
      }
    }
    return { passed: problems.length === 0 ? 1 : 0, failed: problems.length === 0 ? 0 : 1, report: problems.join('\n') };
  },
};
