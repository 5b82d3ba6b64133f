import { runInstalled } from '../process.js';

/** Files, exports and dependencies that nobody uses. */
export const unused = {
  name: 'unused',
  what: 'nothing unused: files, exports, dependencies',
  async run() {
    const { exitCode, output } = await runInstalled('knip', ['--no-progress', '--treat-config-hints-as-errors']);
    return { passed: exitCode === 0 ? 1 : 0, failed: exitCode === 0 ? 0 : 1, report: output };
  },
};
