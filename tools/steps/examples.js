import { readFileSync } from 'node:fs';
import path from 'node:path';
import { examplesOfSource, examplesWithoutCode } from '../examples/extract.js';
import { runTypeScript } from '../examples/runTypeScript.js';
import { filesBelow, packageNames } from '../files.js';
import { root } from '../process.js';

/** Examples in docblocks: compiled and run against the built packages. Needs a build. */
export const examples = {
  name: 'examples',
  what: 'docblock examples run and give what they say',
  async run() {
    const found = [];
    const problems = [];
    for (const file of packageNames().flatMap((name) => filesBelow(`packages/${name}/src`, /\.ts$/))) {
      const text = readFileSync(path.join(root, file), 'utf8');
      for (const line of examplesWithoutCode(text)) problems.push(`${file} line ${line}: an @example without a block of \`\`\`ts`);
      found.push(...examplesOfSource(file, text));
    }
    if (found.length === 0) problems.push('no @example was found in packages/*/src');
    const run = await runTypeScript(found, { label: 'examples' });
    problems.push(...run.problems);
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${found.length} examples, ${run.assertions} values compared`,
    };
  },
};
