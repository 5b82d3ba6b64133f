import { readFileSync } from 'node:fs';
import { version } from '@pullproof/core';
import { expect, it } from 'vitest';

it.each(['', 'packages/core/', 'packages/figures/', 'packages/report/', 'packages/cli/', 'packages/simulation/'])(
  'version is that of %spackage.json',
  (folder) => {
    const manifest = JSON.parse(readFileSync(new URL(`../../${folder}package.json`, import.meta.url), 'utf8')) as { version: string };
    expect(manifest.version).toBe(version);
  },
);
