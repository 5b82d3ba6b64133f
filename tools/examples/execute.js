// Runs the prepared examples of a list one after another and writes what they gave: node execute.js LIST.json RESULTS.json
import { readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { expectValue } from './expectation.js';

const [listFile, resultFile] = process.argv.slice(2);
if (listFile === undefined || resultFile === undefined) throw new Error('usage: node execute.js LIST.json RESULTS.json');

/** @type {{ error: string | null, checks: { line: number, problem: string | null }[] }[]} */
const results = [];
for (const file of JSON.parse(readFileSync(listFile, 'utf8'))) {
  /** @type {{ line: number, problem: string | null }[]} */
  const checks = [];
  Object.assign(globalThis, { __expect: expectValue.bind(null, checks) });
  /** @type {string | null} */
  let error = null;
  try {
    await import(pathToFileURL(file).href);
  } catch (thrown) {
    error = String(thrown);
  }
  results.push({ error, checks });
}
writeFileSync(resultFile, JSON.stringify(results));
