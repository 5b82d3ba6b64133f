import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import path from 'node:path';
import { runInstalled, scratch } from '../process.js';

/** All tests. A file that cannot be loaded counts as a failure, as does a run without any test. */
export const tests = {
  name: 'tests',
  what: 'tests',
  async run() {
    const resultFile = path.join(scratch, 'tests.json');
    mkdirSync(scratch, { recursive: true });
    rmSync(resultFile, { force: true });
    const { exitCode, output } = await runInstalled(
      'vitest',
      ['run', '--reporter=default', '--reporter=json', `--outputFile.json=${resultFile}`],
      {
        timeoutS: 1500,
      },
    );
    /** @type {{ numPassedTests: number, numFailedTests: number, numPendingTests: number, numTodoTests: number, testResults: { name: string, status: string, message: string, assertionResults: unknown[] }[] }} */
    let result;
    try {
      result = JSON.parse(readFileSync(resultFile, 'utf8'));
    } catch {
      return { passed: 0, failed: 1, report: output };
    }
    const unloadable = result.testResults.filter(
      ({ status, assertionResults }) => status === 'failed' && assertionResults.length === 0,
    ).length;
    const left = result.numPendingTests + result.numTodoTests;
    const passed = result.numPassedTests;
    let failed = result.numFailedTests + unloadable;
    if (failed === 0 && (exitCode !== 0 || passed === 0)) failed = 1;
    return { passed, failed, report: output, note: left === 0 ? `${passed} tests` : `${passed} tests, ${left} left out` };
  },
};
