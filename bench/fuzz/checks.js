import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { parseTrial } from '@pullproof/core';

/** What must hold of every answer, whatever went in. */

/** @typedef {{ exit: number, out: string, err: string }} Ran */

/** What must never happen; the message says what did. */
export class Broken extends Error {}

/** @param {boolean} holds @param {string} what */
export function must(holds, what) {
  if (!holds) throw new Broken(what);
}

/** @param {any} error */
export function checkError(error) {
  must(/^[A-Z][A-Z0-9_]+$/.test(error?.code ?? ''), `an error without a code: ${JSON.stringify(error)}`);
  must(error.code !== 'E_INTERNAL' && error.code !== 'E_NOT_FINITE', `a fault of our own: ${error.message}`);
  must(typeof error.message === 'string' && error.message.length > 5, `${error.code} says nothing`);
  must(typeof error.fix === 'string' && error.fix.length > 5, `${error.code} says not what to do`);
  must(typeof error.where === 'object' && error.where !== null, `${error.code} has no place`);
}

/** No number in plain data may be NaN or infinite. @param {unknown} value @param {string} at */
export function checkFinite(value, at) {
  if (typeof value === 'number') must(Number.isFinite(value), `${at} is ${value}`);
  else if (value instanceof Map) for (const [key, inside] of value) checkFinite(inside, `${at}.${key}`);
  else if (typeof value === 'object' && value !== null)
    for (const [key, inside] of Object.entries(value)) checkFinite(inside, `${at}.${key}`);
}

/** A trial file that `new` writes lacks nothing but what it marks. @param {string} text */
export function checkNew(text) {
  let code = '';
  try {
    parseTrial(text, 'trial.yaml');
  } catch (problem) {
    code = /** @type {{ code?: string }} */ (problem).code ?? String(problem);
  }
  must(code === '' || code === 'E_TRIAL_FILL_IN', `new writes a trial that is refused: ${code}`);
}

/** What must hold of every run of the command line. @param {readonly string[]} args @param {Ran} ran @param {string} folder */
export function checkRun(args, { exit, out, err }, folder) {
  must(exit === 0 || exit === 1 || exit === 2, `exit code ${exit}`);
  must(!/\n\s+at \S.*:\d+:\d+/.test(out + err) && !/\| at \S/.test(err), `a stack trace: ${err.slice(0, 500)}`);
  must(
    !/E_INTERNAL|E_NOT_FINITE|UnhandledPromise|TypeError|RangeError|ReferenceError/.test(err),
    `a fault of our own: ${err.slice(0, 500)}`,
  );
  must(!/\(node:\d+\)/.test(err), `a warning of the runtime: ${err.slice(0, 500)}`);
  const shown = err + (jsonTo(args) === '-' ? '' : out);
  must(
    !/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/.test(shown),
    `a control character reaches the terminal: ${JSON.stringify(shown.slice(0, 300))}`,
  );
  const codes = [...err.matchAll(/\[([A-Z][A-Z0-9_]+)\]/g)].map(([, code]) => code);
  if (exit === 0) must(!codes.some((code) => code?.startsWith('E_')), `exit 0 with ${codes.join(' ')}`);
  if (exit === 1) must(codes.length > 0, `exit 1 without a code: ${err.slice(0, 300)}`);
  if (exit === 2) must(/^error: |\[E_STATED\]|\[E_SHOW\]|Usage: /m.test(err), `exit 2 without a word on usage: ${err.slice(0, 300)}`);
  if (jsonTo(args) === '-' && exit !== 2 && out !== '' && !asksForHelp(args)) checkJson(out, exit);
  checkFolder(folder);
}

/** Where the JSON goes: the last that is said counts. @param {readonly string[]} args */
function jsonTo(args) {
  const at = args.findLastIndex((arg) => arg === '--json' || arg.startsWith('--json='));
  return args[at] === '--json' ? args[at + 1] : args[at]?.slice('--json='.length);
}

/** @param {readonly string[]} args */
const asksForHelp = (args) =>
  args.some((arg) => arg === '--help' || arg === '-h' || arg === '--version' || arg === 'help' || arg === 'new');

/** @param {string} text @param {number} exit */
function checkJson(text, exit) {
  must(!/[^"\w](?:NaN|Infinity|undefined)[^"\w]/.test(text.replace(/"(?:[^"\\]|\\.)*"/g, '""')), 'NaN or Infinity in JSON');
  const value = JSON.parse(text);
  must(/^pullproof\/[a-z]+@\d$/.test(value.schema), 'JSON without a schema');
  if (value.schema === 'pullproof/error@1') {
    must(exit !== 0, 'exit 0 with an error in JSON');
    checkError(value.error);
  }
  for (const finding of value.findings ?? []) checkError(finding);
  if (value.schema === 'pullproof/result@1') checkResult(value);
}

/** A band holds its value, a verdict agrees with its band. @param {any} result */
function checkResult({ setups, comparisons }) {
  for (const { name, curves } of setups)
    for (const [quantity, curve] of Object.entries(curves)) checkBand(curve, curve?.value, `${quantity} of ${name}`);
  for (const { before, after, wheelPowerW, regions } of comparisons) {
    checkBand(wheelPowerW, wheelPowerW?.difference, `difference from ${before} to ${after}`);
    for (const { verdict, lowW, highW } of regions) {
      must(verdict !== 'gain' || lowW > 0, `a gain with a band from ${lowW}`);
      must(verdict !== 'loss' || highW < 0, `a loss with a band up to ${highW}`);
    }
  }
}

/** @param {any} curve @param {readonly (number | null)[] | undefined} values @param {string} what */
function checkBand(curve, values, what) {
  if (curve === null || curve === undefined || values === undefined) return;
  const { engineSpeedRpm, low, high } = curve;
  values.forEach((value, i) => {
    must(engineSpeedRpm[i] > (engineSpeedRpm[i - 1] ?? 0), `engine speeds of the ${what} do not rise`);
    if (value !== null && low[i] !== null) must(low[i] <= value, `${what}: ${value} below its band from ${low[i]}`);
    if (value !== null && high[i] !== null) must(high[i] >= value, `${what}: ${value} above its band up to ${high[i]}`);
  });
  must(
    low.length === values.length && high.length === values.length && engineSpeedRpm.length === values.length,
    `${what}: lists of unlike length`,
  );
}

/** Whole outputs only, and nothing beside them. @param {string} folder */
function checkFolder(folder) {
  for (const name of readdirSync(folder)) {
    must(!name.endsWith('.tmp'), `a temporary file is left: ${name}`);
    const file = path.join(folder, name);
    if (name === 'out.json') checkJson(readFileSync(file, 'utf8'), 1);
    if (name !== 'out.html') continue;
    const text = readFileSync(file, 'utf8');
    // --json may have been given this name.
    if (text.startsWith('{')) checkJson(text, 1);
    else must(text.endsWith('<!-- written by pullproof -->\n'), 'half a report');
  }
  must(existsSync(path.join(folder, 'link.json')), 'the link is gone');
}
