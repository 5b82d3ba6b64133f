import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

interface Study {
  readonly tableLines: (scale: number) => string[];
  readonly reducedScale: number;
}

it('the reduced table of docs/accuracy.md is what the study gives', async () => {
  const { tableLines, reducedScale } = (await import(new URL('../../bench/accuracyStudy.js', import.meta.url).href)) as Study;
  const written = readFileSync(new URL('../../docs/accuracy.md', import.meta.url), 'utf8');
  const committed = /<!-- reduced table -->\s*([\s\S]*?)\s*<!-- end of reduced table -->/.exec(written)![1]!;
  const cells = (lines: readonly string[]) => lines.map((line) => line.split('|').map((cell) => cell.trim())).filter((_, i) => i !== 1);
  expect(cells(committed.split('\n'))).toEqual(cells(tableLines(reducedScale)));
}, 240_000);
