import { dependencyProblems, productionDependencies } from '../licences.js';

/** Licences of what is shipped, no install scripts, no version known to be vulnerable, a whole lock file. */
export const licences = {
  name: 'licences',
  what: 'licences, install scripts and known weaknesses of dependencies; the lock file',
  async run() {
    const problems = dependencyProblems();
    return {
      passed: problems.length === 0 ? 1 : 0,
      failed: problems.length === 0 ? 0 : 1,
      report: problems.join('\n'),
      note: `${productionDependencies().length} production dependencies`,
    };
  },
};
