// Holds every answer against those of another state of the code: a change of shape or speed must leave them as they are, and one made on purpose shows what it moved.
//   node tools/sameAnswers.js write FOLDER [--code CHECKOUT] [--seeds 20] [--only NAME]
//   node tools/sameAnswers.js compare FOLDER [--code CHECKOUT] [--seeds 20] [--only NAME] [--shown 12]
// `write` keeps the JSON of compare, check, forecast, reconcile and plan on the samples and on trials of the simulation, one file a case; `compare`
// works them out again and prints where they differ. Needs a build. `--code` takes the built core of another checkout.
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { seededRandom, studyCases, topEndCase } from '@pullproof/simulation';
import { parse, stringify } from 'yaml';
import { changeTrial } from '../bench/fuzz/trials.js';
import { root } from './process.js';
import { changedPaths } from './sameAnswers/changedPaths.js';

/** @typedef {{ trial: string, logs: ReadonlyMap<string, string | Uint8Array> }} Trial */
/** @typedef {'compare' | 'forecast' | 'reconcile' | 'plan' | 'check'} Job */
/** @typedef {{ name: string, jobs: readonly Job[], made: () => Trial }} Case */

/** @returns {Trial} */
function samples() {
  const folder = path.join(root, 'sample-logs');
  const names = readdirSync(folder).filter((name) => name.endsWith('.csv'));
  return {
    trial: readFileSync(path.join(folder, 'trial.yaml'), 'utf8'),
    logs: new Map(names.map((name) => [name, readFileSync(path.join(folder, name))])),
  };
}

/** The samples with all in them that the trial file can ask for besides. @returns {Trial} */
function fullSamples() {
  const { trial, logs } = samples();
  const calculated = ['calculated:', '  filling: smooth(manifold_pressure, 0.3 s) / (1 kPa)', ''].join('\n');
  return { trial: `${trial.replace(/^units: .*$/m, 'units: imperial')}\n${calculated}`, logs };
}

/** The samples with other inputs, parts and runs, most of them still a trial. @param {number} seed @returns {Trial} */
function changedSamples(seed) {
  const { trial, logs } = samples();
  return { trial: stringify(changeTrial(seededRandom(seed), parse(trial))), logs };
}

/** @param {number} seeds @returns {Case[]} */
function casesOf(seeds) {
  const each = Array.from({ length: seeds }, (_, i) => i + 1);
  /** @param {number} seed @returns {Job[]} */
  const some = (seed) => (seed <= 2 ? ['compare', 'plan', 'forecast', 'check'] : ['compare']);
  /** @param {string} name @param {(seed: number) => readonly Job[]} jobsOf @param {(seed: number) => Trial} make @returns {Case[]} */
  const seeded = (name, jobsOf, make) => each.map((seed) => ({ name: `${name}-${seed}`, jobs: jobsOf(seed), made: () => make(seed) }));
  return [
    { name: 'samples', jobs: ['compare', 'forecast', 'reconcile', 'plan', 'check'], made: samples },
    { name: 'samples-full', jobs: ['compare', 'plan'], made: fullSamples },
    ...Object.entries(studyCases).flatMap(([name, make]) => seeded(name, some, make)),
    ...seeded('changed', () => ['compare', 'forecast'], changedSamples),
    ...seeded('topEnd', some, topEndCase),
  ];
}

/** @param {Record<string, Function>} core @param {Trial} trial @param {Job} job @param {unknown} formulaParser @returns {unknown} */
function answerOf(core, { trial, logs }, job, formulaParser) {
  /** @param {string} name */
  const open = (name) => {
    const log = logs.get(name);
    if (log === undefined) throw new Error(`no log ${name}`);
    return { chunks: typeof log === 'string' ? new TextEncoder().encode(log) : log, sha256: () => `sha256 of ${name}` };
  };
  try {
    if (job === 'check') return [...logs.keys()].map((name) => core.checkLog?.(core.readLog?.(open(name).chunks, { path: name })));
    if (job === 'compare') return core.runTrial?.(trial, 'trial.yaml', open, { formulaParser });
    if (job === 'plan') return core.planTrial?.(trial, 'trial.yaml', open);
    return core[job === 'forecast' ? 'forecastTrial' : 'reconcileTrial']?.(trial, 'trial.yaml', open);
  } catch (problem) {
    // A refusal is an answer as well.
    return { refused: String(problem) };
  }
}

async function main() {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      code: { type: 'string', default: root },
      seeds: { type: 'string', default: '20' },
      only: { type: 'string', default: '' },
      shown: { type: 'string', default: '12' },
    },
  });
  const [what, folder] = positionals;
  if ((what !== 'write' && what !== 'compare') || folder === undefined) throw new Error('node tools/sameAnswers.js write|compare FOLDER');
  const core = await import(pathToFileURL(path.join(path.resolve(values.code), 'packages/core/dist/index.js')).href);
  const formulaParser = await core.loadFormulaParser();
  mkdirSync(folder, { recursive: true });
  let compared = 0;
  let changed = 0;
  for (const { name, jobs, made } of casesOf(Number(values.seeds))) {
    if (!name.startsWith(values.only)) continue;
    const trial = made();
    for (const job of jobs) {
      const answer = JSON.stringify(answerOf(core, trial, job, formulaParser));
      const file = path.join(folder, `${name}.${job}.json`);
      if (what === 'write') {
        writeFileSync(file, answer);
        continue;
      }
      if (!existsSync(file)) throw new Error(`${file} is not there: write it first`);
      compared++;
      const before = readFileSync(file, 'utf8');
      if (before === answer) continue;
      changed++;
      console.log(`${name} ${job}`);
      for (const line of changedPaths(JSON.parse(before), JSON.parse(answer)).slice(0, Number(values.shown))) console.log(`  ${line}`);
    }
  }
  if (what === 'compare') console.log(`${compared} answers compared, ${changed} differ.`);
  process.exitCode = changed > 0 ? 1 : 0;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await main();
