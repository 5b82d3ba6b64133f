import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { examplesOfMarkdown } from '../examples/extract.js';
import { makeWorkFolder, runShell } from '../examples/runShell.js';
import { runTypeScript } from '../examples/runTypeScript.js';
import { filesBelow } from '../files.js';
import { root } from '../process.js';

/** Snippets of TypeScript and shell in README, DEVELOPERS and docs. Needs a build. */
export const snippets = {
  name: 'snippets',
  what: 'snippets of the documents run, links lead to files',
  async run() {
    const problems = [];
    let ran = 0;
    let leftOut = 0;
    const documents = ['README.md', 'DEVELOPERS.md', 'SECURITY.md', 'CHANGELOG.md', ...filesBelow('docs', /(?<!\.api)\.md$/)];
    for (const file of documents) {
      const text = readFileSync(path.join(root, file), 'utf8');
      problems.push(...deadLinks(file, text));
      const all = examplesOfMarkdown(file, text);
      const found = all.filter((example) => example.leftOut === null);
      leftOut += all.length - found.length;
      if (found.length === 0) continue;
      ran += found.length;
      const label = `snippets/${file.replace(/\W+/g, '-')}`;
      const cwd = makeWorkFolder(label);
      for (const example of found.filter(({ language }) => language === 'sh')) problems.push(...(await runShell(example, cwd)));
      const typeScript = found.filter(({ language }) => language === 'ts');
      if (typeScript.length > 0) problems.push(...(await runTypeScript(typeScript, { label: `${label}-ts`, cwd })).problems);
    }
    if (ran === 0) problems.push('no snippet was found to run in the documents');
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${ran} run, ${leftOut} left out with a reason`,
    };
  },
};

/**
 * Links and pictures of a document that lead to no file of the checkout.
 * @param {string} file
 * @param {string} text
 * @returns {string[]}
 */
function deadLinks(file, text) {
  return [...text.matchAll(/\]\(([^)\s]+)\)/g)]
    .map((link) => link[1] ?? '')
    .filter((target) => !/^([a-z]+:|#)/.test(target))
    .filter((target) => !existsSync(path.resolve(root, path.dirname(file), target.replace(/#.*$/, ''))))
    .map((target) => `${file}: a link leads nowhere: ${target}`);
}
