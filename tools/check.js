// The one command that checks everything: node tools/check.js [--only NAME] [--update] [--list]
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { performance } from 'node:perf_hooks';
import { parseArgs } from 'node:util';
import { root } from './process.js';
import { api } from './steps/api.js';
import { arrows } from './steps/arrows.js';
import { examples } from './steps/examples.js';
import { exportLists } from './steps/exports.js';
import { format } from './steps/format.js';
import { licences } from './steps/licences.js';
import { network } from './steps/network.js';
import { notebooks } from './steps/notebooks.js';
import { reference } from './steps/reference.js';
import { references } from './steps/references.js';
import { snippets } from './steps/snippets.js';
import { start } from './steps/start.js';
import { tests } from './steps/tests.js';
import { types } from './steps/types.js';
import { unused } from './steps/unused.js';

/**
 * @typedef {{ update: boolean }} Context  With `update` the committed reports and lists are rewritten instead of compared.
 * @typedef {{ passed: number, failed: number, report: string, note?: string }} Outcome
 * @typedef {{ name: string, what: string, run(context: Context): Promise<Outcome> }} Step
 */

/** In this order: `types` builds what the later ones read. @type {readonly Step[]} */
const steps = [
  format,
  types,
  arrows,
  unused,
  licences,
  network,
  references,
  tests,
  examples,
  snippets,
  start,
  notebooks,
  api,
  exportLists,
  reference,
];

const { values } = parseArgs({
  options: {
    only: { type: 'string', multiple: true },
    update: { type: 'boolean', default: false },
    list: { type: 'boolean', default: false },
  },
});

if (values.list) {
  for (const { name, what } of steps) console.log(`${name.padEnd(10)}${what}`);
} else {
  const unknown = (values.only ?? []).filter((name) => !steps.some((step) => step.name === name));
  if (unknown.length > 0) {
    console.error(`no step is called ${unknown.join(', ')}; there are: ${steps.map(({ name }) => name).join(', ')}`);
    process.exitCode = 2;
  } else {
    await runSteps(
      steps.filter(({ name }) => values.only === undefined || values.only.includes(name)),
      { update: values.update },
    );
  }
}

/**
 * @param {readonly Step[]} chosen
 * @param {Context} context
 */
async function runSteps(chosen, context) {
  const total = { passed: 0, failed: 0 };
  for (const step of chosen) {
    const startMs = performance.now();
    const { passed, failed, report, note } = await outcomeOf(step, context);
    const seconds = ((performance.now() - startMs) / 1000).toFixed(1).padStart(6);
    total.passed += passed;
    total.failed += failed;
    console.log(
      `${failed === 0 ? 'ok    ' : 'FAILED'} ${step.name.padEnd(9)}${seconds} s  ${step.what}${note === undefined ? '' : ` (${note})`}`,
    );
    if (failed > 0) console.log(`\n${report.trim()}\n`);
  }
  mkdirSync(path.join(root, '.tmp'), { recursive: true });
  writeFileSync(path.join(root, '.tmp/check.json'), `${JSON.stringify(total)}\n`);
  console.log(`${total.passed} passed, ${total.failed} failed`);
  process.exitCode = total.failed === 0 && total.passed > 0 ? 0 : 1;
}

/**
 * A step that breaks is a step that failed.
 * @param {Step} step
 * @param {Context} context
 * @returns {Promise<Outcome>}
 */
async function outcomeOf(step, context) {
  try {
    return await step.run(context);
  } catch (error) {
    return { passed: 0, failed: 1, report: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}
