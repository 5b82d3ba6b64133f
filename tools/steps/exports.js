import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { root } from '../process.js';

/** Packages whose list of exports is held, one name a line, in test/PACKAGE/exports.txt. */
const held = ['core', 'figures', 'report', 'cli', 'notebook'];

/** Names that the built packages export when run, against the committed lists. Needs a build. `--update` rewrites the lists. */
export const exportLists = {
  name: 'exports',
  what: 'exports as in test/*/exports.txt',
  /** @param {import('../check.js').Context} context */
  async run({ update }) {
    const problems = [];
    let count = 0;
    for (const name of held) {
      const listFile = path.join('test', name, 'exports.txt');
      const built = pathToFileURL(path.join(root, 'packages', name, 'dist/index.js')).href;
      const names = Object.keys(await import(built)).sort();
      count += names.length;
      if (names.length === 0) problems.push(`packages/${name} exports nothing`);
      if (update) writeFileSync(path.join(root, listFile), `${names.join('\n')}\n`);
      const listed = existsSync(path.join(root, listFile))
        ? readFileSync(path.join(root, listFile), 'utf8').split('\n').filter(Boolean)
        : [];
      for (const gone of listed.filter((item) => !names.includes(item))) problems.push(`packages/${name} no longer exports ${gone}`);
      for (const added of names.filter((item) => !listed.includes(item)))
        problems.push(`packages/${name} exports ${added}, which ${listFile} does not list`);
    }
    const failed = problems.length > 0;
    const hint = failed ? ['If that is meant: npm run check -- --only exports --update'] : [];
    return { passed: failed ? 0 : 1, failed: failed ? 1 : 0, report: [...problems, ...hint].join('\n'), note: `${count} names` };
  },
};
