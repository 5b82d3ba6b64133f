import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** Tests read the packages' sources, so that no build stands between a change and its test, and every error class exists once. */
function source(name: string): string {
  return fileURLToPath(new URL(`packages/${name}/src/index.ts`, import.meta.url));
}

export default defineConfig({
  resolve: {
    alias: {
      '@pullproof/core': source('core'),
      '@pullproof/figures': source('figures'),
      '@pullproof/notebook': source('notebook'),
      '@pullproof/report': source('report'),
      '@pullproof/simulation': source('simulation'),
    },
  },
  test: {
    include: ['test/**/*.test.ts'],
    testTimeout: 60_000,
    pool: 'threads',
    maxWorkers: 2,
  },
});
