import { readFileSync } from 'node:fs';
import { parseTrial, resolveTrial, trialJsonSchema } from '@pullproof/core';
import { expect, test } from 'vitest';

const document = readFileSync(new URL('../../../docs/trial-file.md', import.meta.url), 'utf8');
const example = /```yaml\n(.*?)```/s.exec(document)![1]!;

function keysOf(schema: unknown): string[] {
  if (typeof schema !== 'object' || schema === null) return [];
  const { properties } = schema as { properties?: object };
  return [...(properties === undefined ? [] : Object.keys(properties)), ...Object.values(schema).flatMap(keysOf)];
}

test('the example of docs/trial-file.md is a trial file', () => {
  expect(() => resolveTrial(parseTrial(example, 'trial.yaml'))).not.toThrow();
});

test('docs/trial-file.md shows every key', () => {
  const keys = [...new Set(keysOf(trialJsonSchema()))];
  expect(keys.length).toBeGreaterThan(80);
  const missing = keys.filter((key) => !new RegExp(`(^|[^\\w-])${key}:`, 'm').test(document));
  expect(missing).toEqual([]);
});
