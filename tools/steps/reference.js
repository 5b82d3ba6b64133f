import { existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { root, runInstalled } from '../process.js';
import { questions } from '../reference/groupByQuestion.js';

const folder = 'out/api';

/** Pages of the public surface, grouped by question. A link that leads nowhere, a type that is used and not shown, a parameter that is not there: each is a failure. */
export const reference = {
  name: 'reference',
  what: `pages of the public surface in ${folder}`,
  async run() {
    rmSync(path.join(root, folder), { recursive: true, force: true });
    const { exitCode, output } = await runInstalled('typedoc', ['--options', 'tools/reference/typedoc.json'], { timeoutS: 300 });
    const problems = exitCode === 0 ? missingQuestions() : [output];
    const pages = existsSync(path.join(root, folder))
      ? readdirSync(path.join(root, folder), { recursive: true }).filter((file) => String(file).endsWith('.html')).length
      : 0;
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${pages} pages`,
    };
  },
};

/**
 * Questions under which nothing stands: then the grouping did not happen, or a folder is gone.
 * @returns {string[]}
 */
function missingQuestions() {
  const modules = path.join(root, folder, 'modules');
  if (!existsSync(modules)) return [`${folder} has no pages`];
  const text = readdirSync(modules)
    .map((file) => readFileSync(path.join(modules, file), 'utf8'))
    .join('\n');
  return [...new Set(Object.values(questions))]
    .filter((question) => !text.includes(`data-key="section-${question}"`))
    .map((question) => `nothing stands under the question: ${question}`);
}
