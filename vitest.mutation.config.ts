import base from './vitest.config.js';

const folder = process.env.MUTATED;
if (folder === undefined) throw new Error('say which folder of core is mutated: MUTATED=air npx stryker run');

/** For mutation testing: the folder's own quick tests, without the studies, in one worker. */
export default {
  ...base,
  test: { ...base.test, include: [`test/core/${folder}/**/*.test.ts`], exclude: ['**/*.study.test.ts'], maxWorkers: 1 },
};
