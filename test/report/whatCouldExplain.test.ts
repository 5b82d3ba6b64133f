import { readFileSync } from 'node:fs';
import { runTrial } from '@pullproof/core';
import { renderReport } from '@pullproof/report';
import { expect, it } from 'vitest';

it('what changed where power did not says so, and what is judged in one place names it', () => {
  const folder = new URL('../../sample-logs/', import.meta.url);
  const result = runTrial(readFileSync(new URL('trial.yaml', folder), 'utf8'), 'trial.yaml', (path) => ({
    chunks: readFileSync(new URL(path, folder)),
    sha256: () => path,
  }));
  const words = renderReport(result)
    .replace(/<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ');
  expect(words).toContain('power did not change there');
  expect(words).toMatch(/partly −\d+\.?\d* kW From 5,[56]\d0 to 6,550 rpm: /);
});
