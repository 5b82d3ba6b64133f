import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import {
  checkLog,
  compileFormulas,
  loadFormulaParser,
  PullproofError,
  parseTrial,
  readLog,
  resolveTrial,
  slipsFromCsv,
} from '@pullproof/core';
import { stringify } from 'yaml';
import { hostileText, mutateBytes, mutateData, mutateText, oneOf, whole } from './mutate.js';

/** @typedef {import('./mutate.js').Random} Random */
/** @typedef {import('./material.js').Material} Material */
/** @typedef {{ exit: number, out: string, err: string }} Ran */
/** @typedef {(args: readonly string[], folder: string) => Promise<Ran>} Command */
/** @typedef {{ make: (random: Random) => unknown, run: (made: any) => unknown | Promise<unknown>, usualMs?: (made: any) => Promise<number> }} Kind  `usualMs`: what the same job takes with sound inputs. */

/** What must never happen; the message says what did. */
export class Broken extends Error {}

/** @param {boolean} holds @param {string} what */
function must(holds, what) {
  if (!holds) throw new Broken(what);
}

/** Runs a reader: it gives a value, or the one error that Pullproof throws on purpose. @template T @param {() => T} read @returns {T | null} */
function refusedOr(read) {
  try {
    return read();
  } catch (problem) {
    if (!(problem instanceof PullproofError)) throw problem;
    checkError({ code: problem.code, message: problem.what, where: problem.where, fix: problem.fix });
    return null;
  }
}

/** @param {any} error */
function checkError(error) {
  must(/^[A-Z][A-Z0-9_]+$/.test(error?.code ?? ''), `an error without a code: ${JSON.stringify(error)}`);
  must(error.code !== 'E_INTERNAL' && error.code !== 'E_NOT_FINITE', `a fault of our own: ${error.message}`);
  must(typeof error.message === 'string' && error.message.length > 5, `${error.code} says nothing`);
  must(typeof error.fix === 'string' && error.fix.length > 5, `${error.code} says not what to do`);
  must(typeof error.where === 'object' && error.where !== null, `${error.code} has no place`);
}

/** No number in plain data may be NaN or infinite. @param {unknown} value @param {string} at */
function checkFinite(value, at) {
  if (typeof value === 'number') must(Number.isFinite(value), `${at} is ${value}`);
  else if (value instanceof Map) for (const [key, inside] of value) checkFinite(inside, `${at}.${key}`);
  else if (typeof value === 'object' && value !== null)
    for (const [key, inside] of Object.entries(value)) checkFinite(inside, `${at}.${key}`);
}

/** A trial as changed text, or as changed data written out. @param {Random} random @param {any} trial @returns {string} */
function changedTrial(random, trial) {
  const kind = random.uniform();
  const data = kind < 0.45 ? trial : mutateData(random, trial);
  const text = random.uniform() < 0.5 ? JSON.stringify(data, null, 1) : stringify(data);
  return kind < 0.45 || kind > 0.9 ? mutateText(random, text) : text;
}

/**
 * The readers, each fed with changed texts.
 * @param {Material} material @returns {Promise<Record<'formula' | 'yaml' | 'slips' | 'log', Kind>>}
 */
export async function readerKinds(material) {
  const parser = await loadFormulaParser();
  const file = parseTrial(material.trialText, 'trial.yaml');
  const logBytes = new TextEncoder().encode(material.smallLog);
  return {
    formula: {
      make: (random) => {
        const one = mutateText(random, oneOf(random, material.formulas), 6);
        return random.uniform() < 0.8
          ? { one }
          : { one, [random.uniform() < 0.5 ? 'two' : hostileText(random)]: mutateText(random, 'one * 2', 3) };
      },
      run: (formulas) => {
        const made = refusedOr(() => compileFormulas(formulas, parser));
        for (const { compiled, unit } of made ?? []) {
          checkFinite(compiled.constant ?? 0, 'constant');
          must(unit !== '', 'a formula without a unit');
        }
      },
    },
    yaml: {
      make: (random) => changedTrial(random, random.uniform() < 0.1 ? material.trial : oneOf(random, material.smallTrials)),
      run: (text) => {
        const made = refusedOr(() => parseTrial(text, 'trial.yaml'));
        if (made === null) return;
        checkFinite(made, 'trial');
        refusedOr(() => checkFinite(resolveTrial(made).setups, 'setups'));
      },
    },
    slips: {
      make: (random) =>
        mutateText(random, random.uniform() < 0.3 ? material.slipsCsv.replaceAll(',', oneOf(random, [';', '\t'])) : material.slipsCsv),
      run: (text) =>
        checkFinite(
          refusedOr(() => slipsFromCsv(text, 'slips.csv', file)),
          'slips',
        ),
    },
    log: {
      make: (random) =>
        random.uniform() < 0.6 ? new TextEncoder().encode(mutateText(random, material.smallLog)) : mutateBytes(random, logBytes),
      run: (bytes) => {
        const log = refusedOr(() => readLog(bytes, { path: 'log.csv' }));
        if (log !== null)
          checkFinite(
            refusedOr(() => checkLog(log)),
            'check',
          );
      },
    },
  };
}

const commands = ['compare', 'check', 'forecast', 'reconcile', 'plan', 'new', 'help', 'comparee', ''];
/** Commands for which the trial that is changed is sound. */
const takeTrials = new Set(['compare', 'forecast', 'reconcile', 'plan']);
const options = [
  ...['--json', '--report', '--force', '--fuel-table', '--fuel-axes', '--correction', '--show', '--delimiter', '--decimal', '--encoding'],
  ...[
    '--summary',
    '--parquet',
    '--workers',
    '--time-unit',
    '--rate',
    '--table',
    '--help',
    '--version',
    '--',
    '-',
    '--jsonn',
    '-x',
    '--json=-',
    '--json=out.json',
  ],
];
const values = [
  ...[
    '-',
    'out.json',
    'out.html',
    'out.csv',
    'trial.yaml',
    'base-north.csv',
    'pulley-north.csv',
    'slips.csv',
    'folder',
    'folder/',
    'link.json',
    'gone.csv',
  ],
  ...[
    'deep/out.json',
    'store',
    '*.csv',
    '**/*',
    '2',
    'CON',
    'NUL.html',
    '',
    ' ',
    'sae-j1349',
    'pressure',
    'airflow,rpm',
    '3%',
    '5hp',
    '-3%',
    'NaN',
    'comma',
    'semicolon',
    'point',
    'tab',
  ],
  ...['utf-8', 'latin1', 'ms', 's', '25', '0', '-1', '1e400', '25 Hz', 'a\u0000b', '\u001b[31mred'],
];

/** @param {Random} random @returns {string[]} */
function changedArguments(random) {
  const inputs = oneOf(random, [['trial.yaml'], ['trial.yaml'], ['base-north.csv'], ['base-north.csv', 'pass-base.csv'], []]);
  const args = [oneOf(random, commands), ...inputs];
  for (let times = whole(random, 5); times > 0; times--) {
    const at = whole(random, args.length + 1);
    const kind = random.uniform();
    if (kind < 0.4) args.splice(at, 0, oneOf(random, options), oneOf(random, values));
    else if (kind < 0.55) args.splice(at, 0, oneOf(random, options));
    else if (kind < 0.7) args.splice(at, 0, oneOf(random, values));
    else if (kind < 0.8) args.splice(at, 1);
    else if (kind < 0.9) args.splice(at, 0, hostileText(random));
    else if (args[at] !== undefined) args[at] = mutateText(random, args[at], 1);
  }
  // A name that leads out of the folder would have the tool write where it runs.
  return args.map((arg) =>
    arg
      .replaceAll('..', '.')
      .replace(/^(--[a-z-]+=)?[/\\]+/, '$1')
      .slice(0, 20_000),
  );
}

/**
 * The whole command line: changed arguments over sound files, and changed trials, logs and slips with sound arguments.
 * @param {Material} material @param {Command} command @returns {Record<'arguments' | 'trial', Kind> & { end: () => void }}
 */
export function commandKinds(material, command) {
  const folder = mkdtempSync(path.join(tmpdir(), 'pullproof-fuzz-'));
  /** @type {ReadonlyMap<string, string | Uint8Array>} */
  const sound = new Map([...material.logs, ['trial.yaml', material.trialText], ['slips.csv', material.slipsCsv]]);
  /** @param {ReadonlyMap<string, string | Uint8Array>} changed */
  const fill = (changed) => {
    rmSync(folder, { recursive: true, force: true });
    mkdirSync(path.join(folder, 'folder'), { recursive: true });
    for (const [name, content] of [...sound, ...changed]) writeFileSync(path.join(folder, name), content);
    symlinkSync('trial.yaml', path.join(folder, 'link.json'));
  };
  /** @type {Map<string, number>} */
  const usual = new Map();
  const usualMs = async (/** @type {string} */ name) => {
    const known = usual.get(name);
    if (known !== undefined) return known;
    fill(new Map());
    const start = process.cpuUsage();
    if (commands.includes(name)) {
      const { exit, err } = await command([name, 'trial.yaml'], folder);
      must(exit === 0 || !takeTrials.has(name), `${name} does not take what is sound: ${err}`);
    }
    const { user, system } = process.cpuUsage(start);
    usual.set(name, (user + system) / 1000);
    return (user + system) / 1000;
  };
  return {
    arguments: {
      usualMs: (args) => usualMs(args.find((/** @type {string} */ arg) => commands.includes(arg)) ?? ''),
      make: (random) => changedArguments(random),
      run: async (/** @type {string[]} */ args) => {
        fill(new Map());
        checkRun(args, await command(args, folder), folder);
        for (const [name, content] of sound)
          must(readFileSync(path.join(folder, name), 'utf8') === content || args.includes('--force'), `${name} was written over`);
      },
    },
    trial: {
      usualMs: ({ args }) => usualMs(args[0]),
      make: (random) => {
        /** @type {Map<string, string | Uint8Array>} */
        const changed = new Map();
        const which = random.uniform();
        if (which < 0.5) changed.set('trial.yaml', changedTrial(random, material.trial));
        if (which > 0.4) {
          const [name, text] = oneOf(random, [...material.logs]);
          changed.set(name, random.uniform() < 0.6 ? mutateText(random, text, 8) : mutateBytes(random, new TextEncoder().encode(text)));
        }
        if (which > 0.9) {
          changed.set('trial.yaml', material.csvTrialText);
          changed.set('slips.csv', mutateText(random, material.slipsCsv));
        }
        const name = oneOf(random, ['compare', 'compare', 'compare', 'forecast', 'reconcile', 'plan', 'check', 'new']);
        const inputs = name === 'check' || name === 'new' ? ['base-north.csv', 'pass-base.csv'] : ['trial.yaml'];
        const report = name === 'new' || name === 'plan' || random.uniform() < 0.5 ? [] : ['--report', 'out.html'];
        const json = name === 'new' ? [] : oneOf(random, [['--json', '-'], ['--json', 'out.json'], []]);
        return { changed, args: [name, ...inputs, ...report, ...json] };
      },
      run: async ({ changed, args }) => {
        fill(changed);
        checkRun(args, await command(args, folder), folder);
      },
    },
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** What must hold of every run of the command line. @param {readonly string[]} args @param {Ran} ran @param {string} folder */
function checkRun(args, { exit, out, err }, folder) {
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

/** @param {readonly string[]} args */
const jsonTo = (args) => (args.includes('--json=-') ? '-' : args.includes('--json') ? args[args.lastIndexOf('--json') + 1] : undefined);

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
}

/** Whole outputs only, and nothing beside them. @param {string} folder */
function checkFolder(folder) {
  for (const name of readdirSync(folder)) {
    must(!name.endsWith('.tmp'), `a temporary file is left: ${name}`);
    const file = path.join(folder, name);
    if (name === 'out.json') checkJson(readFileSync(file, 'utf8'), 1);
    if (name === 'out.html') must(readFileSync(file, 'utf8').endsWith('<!-- written by pullproof -->\n'), 'half a report');
  }
  must(existsSync(path.join(folder, 'link.json')), 'the link is gone');
}
