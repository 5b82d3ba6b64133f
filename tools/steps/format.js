import { runInstalled } from '../process.js';

/** Formatting and lint of every file that is ours. */
export const format = {
  name: 'format',
  what: 'formatting and lint',
  async run() {
    const { exitCode, output } = await runInstalled('biome', ['check', '--error-on-warnings', '--max-diagnostics=40', '.']);
    return { passed: exitCode === 0 ? 1 : 0, failed: exitCode === 0 ? 0 : 1, report: output };
  },
};
