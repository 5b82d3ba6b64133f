// What limits the top end, on simulated trials with a known fault. Seeded: the same seeds give the same tables.
//   node bench/topEndStudy.js [--cases 2000] [--range wide|narrow] [--first 1] [--write] [--list]
// Prints the tables of docs/top-end.md; `--write` puts them there.
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { parseTrial, resolveTrial, runTrial } from '@pullproof/core';
import { topEndCase, topEndFaults } from '@pullproof/simulation';
import { expectedRatioOf } from '../packages/core/dist/trial/comparePressure.js';
// The steps of runTrial by themselves, so that the bands that this part does not use need not be simulated.
import { measuredRoad } from '../packages/core/dist/trial/measuredRoad.js';
import { preparePulls } from '../packages/core/dist/trial/preparePulls.js';
import { pressureParts } from '../packages/core/dist/trial/pressureParts.js';
import { fitSetups, openRun } from '../packages/core/dist/trial/runTrial.js';
import { topEndAnalysis } from '../packages/core/dist/trial/topEndAnalysis.js';

function opener(made) {
  const bytes = new Map([...made.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
  return (path) => ({ chunks: bytes.get(path), sha256: () => path });
}

/** Runs one generated trial through the product as a user would. */
export function wholeAnswer(made) {
  return runTrial(made.trial, 'trial.yaml', opener(made)).topEnd.comparisons[0];
}

/** The same answer by the same steps, from the text of the trial and its logs on, leaving out what it does not rest on. */
export function answer(made) {
  const open = opener(made);
  const opened = new Map();
  const trial = resolveTrial(parseTrial(made.trial, 'trial.yaml'));
  const loaded = trial.setups.flatMap(({ runs }, setup) => runs.map((inputs) => ({ setup, inputs, ...openRun(inputs, open, opened) })));
  const road = measuredRoad(loaded, trial, 'trial.yaml');
  const { pulls } = preparePulls(road.runs, road.grades);
  const [before, after] = fitSetups(
    trial.setups.map(({ name }) => name),
    road.runs,
    pulls,
  );
  const { found } = pressureParts([before, after]);
  return topEndAnalysis(after, before, { ceilings: found, expectedRatio: expectedRatioOf(before, after, found) });
}

/** Channels that decide each fault, and what may not be told from it without them. A list in a list: any one of these. */
const deciding = {
  'belt-slip': [['rotor-speed'], ['manifold-pressure', 'air-mass-flow']],
  'blower-capacity': [['rotor-speed'], ['manifold-pressure'], ['bypass-duty'], ['throttle'], ['blower-inlet-pressure']],
  'charge-heat': [['charge-temperature', 'intake-temperature'], ['spark-advance'], ['manifold-pressure']],
  'restriction-before': [['blower-inlet-pressure'], ['throttle']],
  'restriction-after': [['exhaust-pressure', 'manifold-pressure']],
  'bypass-or-leak': [['manifold-pressure'], ['bypass-duty']],
  'sensor-ceiling': [['manifold-pressure']],
  'throttle-closing': [['throttle']],
  'torque-limit': [['spark-advance'], ['knock-retard'], ['charge-temperature']],
  'spark-knock': [['knock-retard']],
  'spark-heat': [['spark-advance'], ['charge-temperature'], ['knock-retard']],
  mixture: [['lambda'], ['fuel-pressure']],
  'fuel-pressure': [['fuel-pressure']],
  'too-few-data': [],
};

export const decidingLogged = ({ fault, logged }) => deciding[fault].every((any) => any.some((channel) => logged.has(channel)));

/** One case, judged. Nothing that fades is the right answer where nothing was wrong. */
export function judge(made) {
  const told = answer(made);
  const ranked = told.causes.map(({ cause }) => cause);
  const none = made.fault === 'too-few-data';
  const quiet = told.answer === 'nothing fades' || (told.causes.length === 0 && told.leading[0] === 'too-few-data');
  const rank = quiet ? (none ? 1 : Number.POSITIVE_INFINITY) : ranked.indexOf(made.fault) + 1;
  const own = told.causes.find(({ cause }) => cause === made.fault);
  return {
    told,
    rank: rank === 0 ? Number.POSITIVE_INFINITY : rank,
    first: quiet ? 'too-few-data' : ranked[0],
    tied: told.leading.length > 1,
    named: told.leading.includes(made.fault) || (none && quiet),
    // Its name must stand among the causes, and no word may rule it out.
    ruledOut: !none && !quiet && (own === undefined || own.weight === 0),
    spokenAgainst: own?.words === 'the log speaks against it',
    points: own?.points ?? null,
  };
}

/** The whole study. */
export function study(cases, range, first = 1, progress = () => {}) {
  const confusion = new Map(topEndFaults.map((fault) => [fault, new Map()]));
  const rows = topEndFaults.map((fault) => ({
    fault,
    cases: 0,
    first: 0,
    second: 0,
    deciding: 0,
    decidingFirst: 0,
    decidingTop2: 0,
    alone: 0,
    aloneRight: 0,
    named: 0,
    ruledOut: 0,
    against: 0,
  }));
  const list = [];
  for (let i = 0; i < cases; i++) {
    const seed = first + i;
    const made = topEndCase(seed, { range, fault: topEndFaults[i % topEndFaults.length] });
    const judged = judge(made);
    const row = rows.find(({ fault }) => fault === made.fault);
    const has = decidingLogged(made);
    row.cases++;
    if (judged.rank === 1) row.first++;
    if (judged.rank <= 2) row.second++;
    if (has) {
      row.deciding++;
      if (judged.rank === 1) row.decidingFirst++;
      if (judged.rank <= 2) row.decidingTop2++;
    }
    if (!judged.tied) {
      row.alone++;
      if (judged.rank === 1) row.aloneRight++;
    }
    if (judged.named) row.named++;
    if (judged.ruledOut) row.ruledOut++;
    if (judged.spokenAgainst) row.against++;
    const told = confusion.get(made.fault);
    told.set(judged.first, (told.get(judged.first) ?? 0) + 1);
    list.push({ seed, made, judged, has });
    progress(i + 1);
  }
  return { rows, confusion, list };
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      cases: { type: 'string', default: '2100' },
      range: { type: 'string', default: 'wide' },
      first: { type: 'string', default: '1' },
      write: { type: 'boolean', default: false },
      list: { type: 'boolean', default: false },
    },
  });
  const t0 = performance.now();
  const { rows, confusion, list } = study(Number(args.cases), args.range, Number(args.first));
  console.error(`${((performance.now() - t0) / 1000).toFixed(0)} s`);
  for (const r of rows)
    console.log(
      r.fault.padEnd(20),
      `n ${r.cases} first ${(r.first / r.cases).toFixed(2)} top2 ${(r.second / r.cases).toFixed(2)} | deciding ${r.deciding}: first ${(r.decidingFirst / r.deciding).toFixed(2)} top2 ${(r.decidingTop2 / r.deciding).toFixed(2)} | alone ${r.alone} right ${(r.aloneRight / r.alone).toFixed(2)} | named ${(r.named / r.cases).toFixed(2)} | ruled out ${r.ruledOut} against ${r.against}`,
    );
  const sum = (key) => rows.reduce((total, row) => total + row[key], 0);
  console.log(
    `all: first ${(sum('first') / sum('cases')).toFixed(3)} top2 ${(sum('second') / sum('cases')).toFixed(3)} deciding first ${(sum('decidingFirst') / sum('deciding')).toFixed(3)} top2 ${(sum('decidingTop2') / sum('deciding')).toFixed(3)} of ${sum('deciding')}`,
  );
  for (const [fault, told] of confusion)
    console.log(
      fault.padEnd(20),
      [...told]
        .sort((a, b) => b[1] - a[1])
        .map(([cause, n]) => `${cause} ${n}`)
        .join(', '),
    );
  if (args.list)
    for (const { seed, made, judged, has } of list.filter(({ judged }) => judged.rank > 2 || judged.rank > 1))
      console.log(
        seed,
        made.fault,
        made.second,
        'size',
        made.size.toFixed(3),
        has ? 'D' : '-',
        'rank',
        judged.rank,
        'points',
        judged.points?.toFixed(1),
        '|',
        judged.told.answer,
        judged.told.fade.kind,
        judged.told.fade.fade?.toFixed(3),
        '|',
        judged.told.causes
          .slice(0, 3)
          .map((c) => `${c.cause} ${c.points.toFixed(1)}`)
          .join(' '),
      );
}
