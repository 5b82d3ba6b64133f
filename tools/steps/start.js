import { readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { root, runProgram } from '../process.js';

/** What a newcomer does first: `npm start` answers on the sample logs and writes the report. Needs a build. */
export const start = {
  name: 'start',
  what: 'npm start answers and writes its report',
  async run() {
    const reportFile = path.join(root, 'out/report.html');
    rmSync(reportFile, { force: true });
    const { exitCode, stdout, output } = await runProgram('npm', ['start', '--silent']);
    const problems = exitCode === 0 ? [] : [`npm start ends with exit code ${exitCode}\n${output}`];
    if (!stdout.includes('report.html')) problems.push(`npm start does not say where the report is\n${output}`);
    if (!/\b(gain|loss|mixed|no clear change|cannot tell)\b/i.test(stdout)) problems.push(`npm start gives no verdict\n${output}`);
    const size = sizeOf(reportFile);
    if (size === null) problems.push('npm start wrote no out/report.html');
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: size === null ? undefined : `report of ${(size / 1e6).toFixed(2)} MB`,
    };
  },
};

/**
 * Bytes of a file that ends as an HTML page; null where there is none.
 * @param {string} file
 * @returns {number | null}
 */
function sizeOf(file) {
  try {
    const bytes = readFileSync(file);
    return bytes.subarray(-200).toString('utf8').includes('</html>') ? bytes.length : null;
  } catch (error) {
    if (/** @type {NodeJS.ErrnoException} */ (error).code === 'ENOENT') return null;
    throw error;
  }
}
