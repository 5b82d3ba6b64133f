const folder = process.env.MUTATED;

/** Mutation testing of one folder of core by its own tests, on demand: MUTATED=air npx stryker run. */
export default {
  testRunner: 'vitest',
  vitest: { configFile: 'vitest.mutation.config.ts', related: false },
  plugins: ['@stryker-mutator/vitest-runner'],
  coverageAnalysis: 'perTest',
  // What runs once when a module is loaded (tables, constants) would need every test for each mutant.
  ignoreStatic: true,
  mutate: [`packages/core/src/${folder}/*.ts`, '!**/index.ts', '!**/*.d.ts'],
  ignorePatterns: ['/out', '/docs', '/bench', '/notebooks', '**/dist'],
  reporters: ['clear-text', 'json'],
  jsonReporter: { fileName: `.tmp/mutation/${folder}.json` },
  clearTextReporter: { allowColor: false, logTests: false, reportTests: false },
  tempDirName: '.tmp/stryker',
  concurrency: 1,
  timeoutMS: 10_000,
};
