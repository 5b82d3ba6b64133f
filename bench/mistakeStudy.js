// What ordinary mistakes do to a verdict: each kind of mistake is made in simulated trials that are sound without it, with and without a gain.
//   node bench/mistakeStudy.js [--seeds 3] [--from 1] [--only pulley] [--sound 0] [--show] [--rows rows.jsonl] [--write]
// `--show` prints the sentence of every answer; `--rows` keeps what is done and goes on there; `--write` puts the table into docs/mistakes.md.
import { createHash } from 'node:crypto';
import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { runTrial } from '@pullproof/core';
import { driven } from './mistakes/driven.js';
import { entered } from './mistakes/entered.js';
import { judge } from './mistakes/judge.js';
import { recorded } from './mistakes/recorded.js';
import { made, soundSpec } from './mistakes/soundTrial.js';
import { tables } from './mistakes/tables.js';

/** Every kind of mistake, in groups. */
export const groups = { entered, recorded, driven };
export const kinds = Object.values(groups).flat();
const none = { name: 'no mistake', change: () => {}, says: [] };
const gains = [0, 0.05];

function answer(spec) {
  const { text, logs } = made(spec);
  const open = (path) => ({ chunks: logs.get(path), sha256: () => createHash('sha256').update(logs.get(path)).digest('hex') });
  return runTrial(text, 'trial.yaml', open);
}

const sounds = new Map();
function soundAnswer(seed) {
  if (!sounds.has(seed)) {
    sounds.clear();
    sounds.set(seed, answer(soundSpec(seed, 0)));
  }
  return sounds.get(seed);
}

/** The answer to one trial with one mistake, by the mistake's name; without a mistake where the name is empty. */
export function answerTo(name, seed, gain) {
  const spec = soundSpec(seed, gain);
  (name === '' ? none : kinds.find((kind) => kind.name === name)).change(spec);
  return answer(spec);
}

/** One trial with one mistake, judged. */
export function mistaken(kind, seed, gain) {
  const spec = soundSpec(seed, gain);
  kind.change(spec);
  const truth = spec.truth ?? (spec.swapped ? -gain : gain);
  try {
    return { kind: kind.name, seed, gain, ...judge(answer(spec), { kind, truth: spec.swapped ? 0 : truth, sound: soundAnswer(seed) }) };
  } catch (problem) {
    if (problem.code === undefined) throw problem;
    return {
      kind: kind.name,
      seed,
      gain,
      verdict: 'refused',
      reasons: [problem.code],
      named: true,
      false: false,
      why: null,
      contradictions: [],
      sentence: problem.message,
    };
  }
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      seeds: { type: 'string', default: '3' },
      from: { type: 'string', default: '1' },
      only: { type: 'string', default: '' },
      sound: { type: 'string', default: '0' },
      show: { type: 'boolean', default: false },
      rows: { type: 'string' },
      write: { type: 'boolean', default: false },
    },
  });
  const rows =
    args.rows !== undefined && existsSync(args.rows)
      ? readFileSync(args.rows, 'utf8').trim().split('\n').filter(Boolean).map(JSON.parse)
      : [];
  const done = new Set(rows.map(({ kind, seed, gain }) => `${kind} ${seed} ${gain}`));
  const first = Number(args.from);
  const chosen = kinds.filter(({ name }) => name.includes(args.only));
  const work = [];
  for (let seed = first; seed < first + Number(args.seeds); seed++)
    for (const kind of chosen) for (const gain of gains) work.push([kind, seed, gain]);
  for (let seed = first; seed < first + Number(args.sound); seed++) for (const gain of gains) work.push([none, seed, gain]);
  for (const [kind, seed, gain] of work) {
    if (done.has(`${kind.name} ${seed} ${gain}`)) continue;
    const row = mistaken(kind, seed, gain);
    rows.push(row);
    if (args.rows !== undefined) appendFileSync(args.rows, `${JSON.stringify(row)}\n`);
    if (args.show)
      console.log(
        `${row.false ? 'FALSE' : '  ok '} ${row.named ? 'named' : '     '} ${kind.name}, seed ${seed}, ${100 * gain} %: ${row.verdict} [${row.reasons}] ${row.why ?? ''} {${row.contradictions}} ${row.sentence}`,
      );
  }
  const made = tables(rows, groups);
  for (const lines of Object.values(made)) console.log(`\n${lines.join('\n')}`);
  if (args.write) {
    const path = new URL('../docs/mistakes.md', import.meta.url);
    let text = readFileSync(path, 'utf8');
    for (const [name, lines] of Object.entries(made))
      text = text.replace(new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(\\n<!-- end of ${name} -->)`), `$1\n${lines.join('\n')}\n$2`);
    writeFileSync(path, text);
  }
}
