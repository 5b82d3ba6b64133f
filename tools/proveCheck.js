// Proves that every step of the check can fail: plants one fault at a time in a copy of the checkout and asks the step.
// node tools/proveCheck.js [--only STEP]
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { faults } from './faults.js';
import { root, runProgram } from './process.js';

const { values } = parseArgs({ options: { only: { type: 'string', multiple: true } } });
const chosen = faults.filter(({ step }) => values.only === undefined || values.only.includes(step));

const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-proof-'));
const notCopied = new Set(['.git', '.tmp', 'out'].map((name) => path.join(root, name)));
cpSync(root, folder, { recursive: true, verbatimSymlinks: true, filter: (source) => !notCopied.has(source) });

/** @param {readonly string[]} steps */
async function check(steps) {
  const only = steps.flatMap((step) => ['--only', step]);
  return runProgram(process.execPath, ['tools/check.js', ...only], { cwd: folder, timeoutS: 1700 });
}

/**
 * Plants one fault, asks the step, and puts everything back.
 * @param {import('./faults.js').Fault} fault
 */
async function prove({ step, needs = [], plant, says }) {
  /** @type {Map<string, string | null>} what stood where the fault was planted; null where nothing stood */
  const before = new Map();
  const aside = path.join(folder, '.aside');
  mkdirSync(aside, { recursive: true });
  /** @type {[string, string][]} */
  const moved = [];
  /** @type {string[]} */
  const added = [];
  plant({
    read: (file) => readFileSync(path.join(folder, file), 'utf8'),
    write(file, text) {
      const target = path.join(folder, file);
      if (!before.has(file)) before.set(file, existsSync(target) ? readFileSync(target, 'utf8') : null);
      const made = mkdirSync(path.dirname(target), { recursive: true });
      if (made !== undefined) added.push(made);
      writeFileSync(target, text);
    },
    remove(file) {
      const kept = path.join(aside, String(moved.length));
      cpSync(path.join(folder, file), kept, { recursive: true });
      rmSync(path.join(folder, file), { recursive: true });
      moved.push([file, kept]);
    },
  });
  const { exitCode, output } = await check([...needs, step]);
  for (const [file, text] of before) {
    if (text === null) rmSync(path.join(folder, file), { force: true });
    else writeFileSync(path.join(folder, file), text);
  }
  for (const made of added) rmSync(made, { recursive: true, force: true });
  for (const [file, kept] of moved) {
    rmSync(path.join(folder, file), { recursive: true, force: true });
    cpSync(kept, path.join(folder, file), { recursive: true });
  }
  rmSync(aside, { recursive: true, force: true });
  if (step === 'types' || needs.includes('types')) await check(['types']);
  return { found: exitCode === 1 && says.test(output), output };
}

/** What each step prints when nothing is planted: a fault that it already prints proves nothing. @type {Map<string, string>} */
const untouched = new Map();

let missed = 0;
try {
  for (const fault of chosen) {
    // All tests take long, and the faults planted for that step put their own in their place.
    if (!untouched.has(fault.step)) untouched.set(fault.step, fault.step === 'tests' ? '' : (await check([fault.step])).output);
    if (fault.says.test(untouched.get(fault.step) ?? '')) {
      missed += 1;
      console.log(`UNCLEAR ${fault.step.padEnd(8)} ${fault.what}: the step says so without it; mend that first`);
      continue;
    }
    const { found, output } = await prove(fault);
    console.log(`${found ? 'found ' : 'MISSED'} ${fault.step.padEnd(9)} ${fault.what}`);
    if (!found) {
      missed += 1;
      console.log(output.slice(0, 2000));
    }
  }
  console.log(`${chosen.length - missed} of ${chosen.length} planted faults were found`);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
process.exitCode = missed === 0 && chosen.length > 0 ? 0 : 1;
