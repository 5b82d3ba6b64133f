// The product's commands beside the script that an owner would otherwise write (pandas and scipy), and beside readers that only read; cold and warm, in turn, in one run.
// Besides, once: a script that does the same work as `compare`, the torque fitted through the equation of motion and a bootstrap of 200; it takes a minute or more.
//   node bench/commandSpeed.js [--runs 7] [--warm 9] [--rival 1] [--write]
// Needs a build (npm run build) and Debian's python3-pandas and python3-scipy. `--write` puts the table into docs/speed.md.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { cpus, loadavg, tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { makeTrial } from './commandSpeed/makeTrial.js';

const { values: args } = parseArgs({
  options: {
    runs: { type: 'string', default: '7' },
    warm: { type: 'string', default: '9' },
    rival: { type: 'string', default: '1' },
    write: { type: 'boolean', default: false },
  },
});
const here = path.dirname(fileURLToPath(import.meta.url));
const command = path.join(here, '../packages/cli/bin/pullproof.js');
const script = path.join(here, 'commandSpeed/script.py');
const rival = path.join(here, 'commandSpeed/rival.py');
const repeat = path.join(here, 'commandSpeed/repeat.js');
const python = '/usr/bin/python3';

function ran([program, ...rest], cwd) {
  const { status, stdout, stderr } = spawnSync(program, rest, { cwd, encoding: 'utf8' });
  if (status !== 0) throw new Error(`${program} ${rest.join(' ')}: ${stderr}`);
  return { stdout };
}

/** Seconds of a whole process: wall and processor time. */
function timed(line) {
  return JSON.parse(ran([python, path.join(here, 'commandSpeed/timed.py'), ...line], folder).stdout);
}

function median(numbers) {
  return [...numbers].sort((a, b) => a - b)[numbers.length >> 1];
}

const folder = mkdtempSync(path.join(tmpdir(), 'command-speed-'));
try {
  makeTrial(folder);
  const node = process.execPath;
  const once = (job) => [node, repeat, job, '1', 'before.csv'];
  /** Each is held against the script on as many logs. */
  const scripts = { one: [python, script, 'curve.csv', 'before.csv'], two: [python, script, 'curves.csv', 'before.csv', 'after.csv'] };
  const jobs = [
    [
      '`compare`, two logs, JSON and report',
      'two',
      [node, command, 'compare', 'trial.yaml', '--json', 'r.json', '--report', 'r.html'],
      'compare',
      'trial.yaml',
    ],
    ['`check`, one log', 'one', [node, command, 'check', 'before.csv'], 'check', 'before.csv'],
    ['papaparse 5.7.1, one log, reading only', 'one', once('papaparse'), 'papaparse', 'before.csv'],
    ['uDSV 0.7.3, one log, reading only', 'one', once('udsv'), 'udsv', 'before.csv'],
    ['DuckDB 1.5.6, one log, reading only', 'one', once('duckdb'), 'duckdb', 'before.csv'],
  ];
  const times = new Map([...jobs.map(([label]) => [label, []]), ['one', []], ['two', []]]);
  const ratios = new Map(jobs.map(([label]) => [label, []]));
  const load = [];
  for (let run = 0; run <= Number(args.runs); run++) {
    load.push(loadavg()[0]);
    const base = { one: timed(scripts.one), two: timed(scripts.two) };
    const own = jobs.map(([, , line]) => timed(line));
    // The first round only fills the caches of the disk.
    if (run === 0) continue;
    for (const key of ['one', 'two']) times.get(key).push(base[key]);
    for (const [i, [label, against]] of jobs.entries()) {
      times.get(label).push(own[i]);
      ratios.get(label).push({ wall: own[i].wall / base[against].wall, cpu: own[i].cpu / base[against].cpu });
    }
    console.error(`round ${run}: ${own.map(({ wall }, i) => (wall / base[jobs[i][1]].wall).toFixed(2)).join(' ')}`);
  }
  const same = Array.from({ length: Number(args.rival) }, () => timed([python, rival, 'same.csv', 'before.csv', 'after.csv']));
  const warm = new Map(
    jobs.map(([label, , , job, file]) => {
      const seconds = JSON.parse(ran([node, repeat, job, args.warm, file], folder).stdout);
      return [label, median(seconds.slice(Math.min(2, seconds.length - 1)))];
    }),
  );
  const versions = ran(
    [python, '-c', 'import sys, pandas, scipy; print(sys.version.split()[0], pandas.__version__, scipy.__version__)'],
    folder,
  )
    .stdout.trim()
    .split(' ');
  const shown = (seconds) => seconds.toFixed(2);
  const both = (runs) => ['wall', 'cpu'].map((key) => shown(median(runs.map((run) => run[key])))).join(' | ');
  const ratioTo = (own, other) =>
    ['wall', 'cpu'].map((key) => (median(own.map((run) => run[key])) / median(other.map((run) => run[key]))).toFixed(3)).join(' | ');
  const size = statSync(path.join(folder, 'before.csv')).size;
  const lines = [
    `Two logs of ten minutes, 50 rows a second, 24 columns (30,000 rows, ${(size / 1e6).toFixed(1)} MB each). Cold: whole processes in turn, median of ${args.runs} rounds; the ratio is that of each round to the script in the same round, median. Warm: the same job again in one process, median from the third time on. ${cpus().length} cores (${cpus()[0].model.trim()}), load of the machine while measured ${Math.min(...load).toFixed(1)} to ${Math.max(...load).toFixed(1)}, Node ${process.versions.node}, Python ${versions[0]}, pandas ${versions[1]}, scipy ${versions[2]}.`,
    '',
    '| job | cold, wall s | processor s | wall over the script | processor over the script | warm, s |',
    '|---|---|---|---|---|---|',
    `| the script, two logs | ${both(times.get('two'))} | 1 | 1 | |`,
    `| the script, one log | ${both(times.get('one'))} | 1 | 1 | |`,
    ...(same.length === 0
      ? []
      : [
          `| the same work as a script: torque fitted through the motion, bootstrap of 200, two logs | ${both(same)} | | | |`,
          `| \`compare\` over that script | ${ratioTo(times.get(jobs[0][0]), same)} | | | |`,
        ]),
    ...jobs.map(([label]) => `| ${label} | ${both(times.get(label))} | ${both(ratios.get(label))} | ${shown(warm.get(label))} |`),
  ];
  console.log(lines.join('\n'));
  if (args.write) {
    const page = path.join(here, '../docs/speed.md');
    const [head, , tail] = readFileSync(page, 'utf8').split(/<!-- commands -->|<!-- end of commands -->/);
    writeFileSync(page, `${head}<!-- commands -->\n${lines.join('\n')}\n<!-- end of commands -->${tail}`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
