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
  // Where a loss is judged moves with the verdict: its engine speeds are those of the result.
  const judged = result.comparisons
    .flatMap(({ changedBesides }) => changedBesides)
    .filter(({ couldExplain, couldExplainW }) => couldExplain === 'partly' && (couldExplainW ?? 0) < 0);
  expect(judged.length).toBeGreaterThan(0);
  for (const { spanRpm } of judged) {
    const [from, to] = spanRpm!.map((rpm) => rpm.toLocaleString('en-US'));
    expect(words).toMatch(new RegExp(`partly −\\d+\\.?\\d* kW From ${from} to ${to} rpm: `));
  }
});
