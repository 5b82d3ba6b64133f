import { runNotebooks } from '../notebooks.js';

/** All notebooks from top to bottom, headless, against their golden numbers. Needs a build. `--update` rewrites the numbers. */
export const notebooks = {
  name: 'notebooks',
  what: 'notebooks run and show what they showed before',
  /** @param {import('../check.js').Context} context */
  async run({ update }) {
    const { ran, problems } = await runNotebooks({ update });
    return {
      passed: problems.length === 0 ? ran : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n\n'),
      note: `${ran} notebooks`,
    };
  },
};
