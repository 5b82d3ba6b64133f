import { readFileSync } from 'node:fs';
import { forecastTrial, planTrial, reconcileTrial, runTrial } from '@pullproof/core';
import { expect, it } from 'vitest';

const folder = new URL('../../../sample-logs/', import.meta.url);
const text = readFileSync(new URL('trial.yaml', folder), 'utf8');
const open = (path: string) => ({ chunks: readFileSync(new URL(path, folder)), sha256: () => path });

/** Every text in plain data. */
function textsIn(value: unknown): string[] {
  if (typeof value === 'string') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(textsIn) : [];
}

it.each([
  ['compare', true, () => runTrial(text, 'trial.yaml', open)],
  ['forecast', true, () => forecastTrial(text, 'trial.yaml', open)],
  ['reconcile', true, () => reconcileTrial(text, 'trial.yaml', open)],
  ['plan', false, () => planTrial(text, 'trial.yaml', open)],
])('every engine speed in a sentence of %s has its thousands set apart', (_, spoken, answer) => {
  const texts = textsIn(answer());
  expect(texts.filter((one) => /(?<!per )\d{4,}(?:\.\d+)?(?: ?rpm|[–-]\d{4,}|,? to \d{4,} rpm)/.test(one))).toEqual([]);
  expect(texts.some((one) => /\d,\d{3} rpm/.test(one))).toBe(spoken);
});
