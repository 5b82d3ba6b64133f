import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { isMap, isSeq, parseDocument } from 'yaml';
import { checkNew, checkRun, must } from './checks.js';
import { hostileText, mutateBytes, mutateText, oneOf, whole } from './mutate.js';
import { changeSamples, changeSlips } from './samples.js';
import { changedTrial } from './trials.js';

/** @typedef {import('./mutate.js').Random} Random */
/** @typedef {import('./material.js').Material} Material */
/** @typedef {import('./kinds.js').Kind} Kind */
/** @typedef {(args: readonly string[], folder: string) => Promise<import('./checks.js').Ran>} Command */

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

const outputs = [
  ...[['--json', '-'], ['--json', 'out.json'], ['--report', 'out.html'], ['--report=deep/out.html'], ['--json=deep/out.json', '--force']],
];
/** Options that each command takes. @type {Readonly<Record<string, readonly string[][]>>} */
const fitting = {
  compare: [
    ...outputs,
    ...[
      ['--correction', 'sae-j1349'],
      ['--correction', 'din-70020'],
      ['--fuel-table', 'out.csv'],
      ['--fuel-axes', 'airflow'],
      ['--fuel-axes=duty'],
    ],
  ],
  check: [
    ...outputs,
    ...[
      ['--summary', 'out.csv'],
      ['--summary', 'sum.json'],
      ['--parquet', 'store'],
      ['--workers', '1'],
      ['--delimiter', 'comma'],
    ],
    ...[
      ['--decimal', 'point'],
      ['--encoding', 'utf-8'],
      ['--time-unit', 'ms'],
      ['--table', '1'],
      ['pass-base.csv'],
      ['*.csv'],
      ['gone.csv'],
    ],
  ],
  forecast: outputs,
  reconcile: outputs,
  plan: [...outputs.slice(0, 2), ['--show', '5%'], ['--show', '4kW'], ['--show', '0.01 %']],
  new: [['--delimiter', 'comma'], ['--time-unit', 's'], ['pulley-north.csv'], ['pass-base.csv']],
};

/** A command as it may be typed, with options that it takes. @param {Random} random @returns {string[]} */
function fittingArguments(random) {
  const name = oneOf(random, Object.keys(fitting));
  const options = Array.from({ length: whole(random, 4) }, () => oneOf(random, fitting[name] ?? []));
  return [name, takeTrials.has(name) ? 'trial.yaml' : 'base-north.csv', ...options.flat()];
}

/** @param {Random} random @returns {string[]} */
function changedArguments(random) {
  const fit = random.uniform();
  const inputs = oneOf(random, [['trial.yaml'], ['trial.yaml'], ['base-north.csv'], ['base-north.csv', 'pass-base.csv'], []]);
  const args = fit < 0.7 ? fittingArguments(random) : [oneOf(random, commands), ...inputs];
  for (let times = fit < 0.4 ? 0 : fit < 0.7 ? 1 : whole(random, 5); times > 0; times--) {
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

/** Files that take the place of sound ones: mostly such as a user may have, else broken ones. @param {Material} material @param {Random} random */
function changedFiles(material, random) {
  /** @type {Map<string, string | Uint8Array>} */
  const changed = new Map();
  const which = random.uniform();
  if (which < 0.5) changed.set('trial.yaml', changedTrial(random, material.trial));
  if (which > 0.3) {
    const [name, text] = oneOf(random, [...material.logs]);
    const kind = random.uniform();
    if (kind < 0.7) changed.set(name, changeSamples(random, text));
    else changed.set(name, kind < 0.9 ? mutateText(random, text, 8) : mutateBytes(random, new TextEncoder().encode(text)));
  }
  if (which > 0.9) {
    changed.set('trial.yaml', material.csvTrialText);
    changed.set('slips.csv', random.uniform() < 0.7 ? changeSlips(random, material.slipsCsv) : mutateText(random, material.slipsCsv));
  }
  return changed;
}

/** Pairs of setups that a trial compares: each asks for as much work as the one of the sound trial. @param {string | undefined} text */
function pairsIn(text) {
  if (text === undefined) return 1;
  const { errors, contents } = parseDocument(text, { version: '1.2' });
  const setups = errors.length === 0 && isMap(contents) ? contents.get('setups') : null;
  return isSeq(setups) ? Math.max(1, 2 * setups.items.length - 3) : 1;
}

/** How far a command came. @param {import('./checks.js').Ran} ran */
function reached({ exit, out }) {
  if (exit === 2) return 'wrong usage';
  if (exit === 1) return 'refused';
  return /\b95 % band\b|"regions": ?\[\s*\{/.test(out) ? 'with a difference' : 'done';
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
        const ran = await command(args, folder);
        checkRun(args, ran, folder);
        for (const [name, content] of sound)
          must(readFileSync(path.join(folder, name), 'utf8') === content || args.includes('--force'), `${name} was written over`);
        return reached(ran);
      },
    },
    trial: {
      usualMs: async ({ changed, args }) => (await usualMs(args[0])) * pairsIn(changed.get('trial.yaml')),
      make: (random) => {
        const changed = changedFiles(material, random);
        const name = oneOf(random, ['compare', 'compare', 'compare', 'forecast', 'reconcile', 'plan', 'check', 'new']);
        const inputs = name === 'check' || name === 'new' ? ['base-north.csv', 'pass-base.csv'] : ['trial.yaml'];
        const report = name === 'new' || name === 'plan' || random.uniform() < 0.5 ? [] : ['--report', 'out.html'];
        const json = name === 'new' ? [] : oneOf(random, [['--json', '-'], ['--json', 'out.json'], []]);
        return { changed, args: [name, ...inputs, ...report, ...json] };
      },
      run: async ({ changed, args }) => {
        fill(changed);
        const ran = await command(args, folder);
        checkRun(args, ran, folder);
        if (args[0] === 'new' && ran.exit === 0) checkNew(ran.out);
        return reached(ran);
      },
    },
    end: () => rmSync(folder, { recursive: true, force: true }),
  };
}
