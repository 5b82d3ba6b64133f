// What limits the top end, on simulated trials with a known fault. Seeded: the same seeds give the same tables.
//   node bench/topEndStudy.js [--cases 2016] [--range wide|narrow] [--first 1] [--whole 150] [--again 1008] [--rows FILE] [--write]
// Prints the tables of docs/top-end.md; `--write` puts them there. `--rows` keeps what was said of each case, so that a run that was stopped goes on.
// `--whole`: so many of them also through runTrial, to see that the answer is the same; `--again`: so many also with their deciding channel taken out.
import { appendFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { parseTrial, runTrial } from '@pullproof/core';
import { topEndCase, topEndFaults } from '@pullproof/simulation';
// The steps of runTrial by themselves, so that the bands that this part does not use need not be simulated.
import { pressures } from '../packages/core/dist/answers/pressure/pressureParts.js';
import { topEndAnalysis } from '../packages/core/dist/answers/topEnd/topEndAnalysis.js';
import { gatherEvidence } from '../packages/core/dist/pulls/index.js';

function opener(made) {
  const bytes = new Map([...made.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
  return (path) => ({ chunks: bytes.get(path), sha256: () => path });
}

/** Runs one generated trial through the product as a user would: what it says of the pair, and of the later setup by itself. */
export function wholeAnswer(made) {
  const { topEnd, overall } = runTrial(made.trial, 'trial.yaml', opener(made));
  const { comparisons, setups } = topEnd;
  return { told: { pair: comparisons[0], single: setups[1] }, verdict: overall[0].verdict };
}

/** The same answer by the same steps, from the text of the trial and its logs on, leaving out what it does not rest on. */
export function answer(made) {
  const evidence = gatherEvidence(parseTrial(made.trial, 'trial.yaml'), opener(made));
  const [before, after] = evidence.setups;
  const { found } = evidence.ceilings();
  const expectedRatio = pressures(evidence).answer[0]?.expectedRatio ?? null;
  return {
    pair: topEndAnalysis(after, before, { ceilings: found, expectedRatio }),
    single: topEndAnalysis(after, null, { ceilings: found, expectedRatio: null }),
  };
}

/** Channels that decide each fault. A list in a list: any one of these will do. */
const deciding = {
  'belt-slip': [['rotor-speed'], ['manifold-pressure', 'air-mass-flow']],
  'blower-capacity': [['rotor-speed'], ['manifold-pressure'], ['bypass-duty'], ['throttle'], ['blower-inlet-pressure']],
  'charge-heat': [['intake-temperature'], ['manifold-pressure', 'air-mass-flow']],
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

/** What is taken out of the logs of each fault, and the causes of which one at least must then stand beside the true one. */
const removed = {
  'belt-slip': { channels: ['rotor-speed'], twins: ['blower-capacity'] },
  'blower-capacity': { channels: ['rotor-speed'], twins: ['belt-slip'] },
  'restriction-before': {
    channels: ['blower-inlet-pressure'],
    twins: ['blower-capacity', 'belt-slip', 'bypass-or-leak', 'own-breathing', 'restriction-after'],
  },
  'bypass-or-leak': { channels: ['bypass-duty'], twins: ['blower-capacity', 'belt-slip'] },
  'throttle-closing': { channels: ['throttle'], twins: ['restriction-before', 'blower-capacity'] },
  'torque-limit': { channels: ['knock-retard'], twins: ['spark-knock'] },
  'spark-knock': { channels: ['knock-retard'], twins: ['torque-limit', 'spark-heat'] },
  'spark-heat': { channels: ['charge-temperature', 'manifold-pressure'], twins: ['torque-limit'] },
  'fuel-pressure': { channels: ['fuel-pressure'], twins: ['mixture'] },
};

/** One analysis, judged. Nothing that fades is the right answer where nothing was wrong. */
export function judge(told, fault) {
  const none = fault === 'too-few-data';
  const quiet = told.answer === 'nothing fades' || told.causes.length === 0;
  const own = told.causes.find(({ cause }) => cause === fault);
  return {
    answer: told.answer,
    first: quiet ? 'nothing' : told.causes[0].cause,
    rank: quiet ? (none ? 1 : null) : (own?.rank ?? null),
    leading: told.leading,
    /** A word that rules it out, or a missing name, would be a fault of ours. */
    ruledOut: !quiet && (own === undefined || own.weight === 0),
    spokenAgainst: own?.words === 'the log speaks against it',
  };
}

/** How far power of the later setup truly lies at the end below the largest stretch before it, over the engine speeds that its analysis takes for the end; natural logarithm. */
function trueFall({ laterPowerW }, { endRpm, lowRpm }) {
  const [from, to] = endRpm;
  const meanLog = (start) => {
    const at = Array.from({ length: Math.round((to - from) / 50) + 1 }, (_, i) => Math.log(laterPowerW(start + 50 * i)));
    return at.reduce((sum, value) => sum + value, 0) / at.length;
  };
  let largest = Number.NEGATIVE_INFINITY;
  for (let start = lowRpm[0]; start + to - from < from; start += 50) largest = Math.max(largest, meanLog(start));
  return largest - meanLog(from);
}

/** Everything that the tables need of one case. */
export function studyCase(index, { range, first, whole, again }) {
  const seed = first + index;
  const fault = topEndFaults[index % topEndFaults.length];
  const made = topEndCase(seed, { range, fault });
  const told = answer(made);
  const row = {
    seed,
    fault,
    second: made.second,
    deciding: decidingLogged(made),
    gears: told.pair.observations.some(({ id }) => id === 'sweep-rate') ? 2 : 1,
    pair: judge(told.pair, fault),
    single: judge(told.single, fault),
    fall: told.single.fade.endRpm === null ? null : { truth: trueFall(made, told.single.fade), told: told.single.fade.kind === 'power' },
  };
  if (index < whole) {
    const { told: asTold, verdict } = wholeAnswer(made);
    // Where the comparison cannot tell, or advises against more pulls, the words of the top end bow to it.
    const bows = verdict === 'cannot tell' && told.pair.causes.length > 0;
    row.withheld = bows;
    const plain = (answer) => JSON.stringify({ ...answer, causes: answer.causes.map(({ wouldDecide, ...cause }) => cause), next: [] });
    row.sameAsWhole =
      plain(asTold.single) === plain(told.single) && (bows ? asTold.pair.causes.length === 0 : plain(asTold.pair) === plain(told.pair));
  }
  const without = removed[fault];
  if (index < again && without !== undefined && row.deciding)
    row.without = judge(answer(topEndCase(seed, { range, fault, without: without.channels })).pair, fault);
  return row;
}

const names = {
  'belt-slip': 'belt slip',
  'blower-capacity': 'blower capacity',
  'charge-heat': 'charge heat',
  'restriction-before': 'restriction before',
  'restriction-after': 'restriction after',
  'bypass-or-leak': 'bypass or leak',
  'sensor-ceiling': 'sensor ceiling',
  'throttle-closing': 'throttle closing',
  'torque-limit': 'torque limit',
  'spark-knock': 'spark, knock',
  'spark-heat': 'spark, heat',
  mixture: 'mixture',
  'fuel-pressure': 'fuel pressure',
  'too-few-data': 'too few data',
  nothing: 'nothing fades',
};

const percent = (part, whole) => (whole === 0 ? '–' : `${((100 * part) / whole).toFixed(1)} %`);
const count = (rows, test) => rows.filter(test).length;

/** Rates over some cases. */
export function rates(rows) {
  const decided = rows.filter((row) => row.deciding);
  const alone = rows.filter(({ pair }) => pair.leading.length === 1 && pair.first !== 'nothing');
  return {
    cases: rows.length,
    first: count(rows, ({ pair }) => pair.rank === 1) / rows.length,
    topTwo: count(rows, ({ pair }) => pair.rank !== null && pair.rank <= 2) / rows.length,
    decided: decided.length,
    decidedFirst: count(decided, ({ pair }) => pair.rank === 1) / decided.length,
    decidedTopTwo: count(decided, ({ pair }) => pair.rank !== null && pair.rank <= 2) / decided.length,
    alone: alone.length,
    aloneRight: count(alone, ({ pair }) => pair.rank === 1) / alone.length,
    ruledOut: count(rows, ({ pair }) => pair.ruledOut),
    spokenAgainst: count(rows, ({ pair }) => pair.spokenAgainst),
  };
}

/** The tables of docs/top-end.md. */
export function tables(rows) {
  const line = (cells) => `| ${cells.join(' | ')} |`;
  const ruled = (columns) => line(columns.map(() => '---'));
  const of = (fault) => rows.filter((row) => row.fault === fault);
  const said = [...topEndFaults, 'nothing'];
  const confusion = [
    line(['true cause', ...said.map((cause) => names[cause])]),
    ruled(['', ...said]),
    ...topEndFaults.map((fault) =>
      line([`**${names[fault]}**`, ...said.map((cause) => count(of(fault), ({ pair }) => pair.first === cause) || '·')]),
    ),
  ];
  const rateHead = [
    'true cause',
    'cases',
    'first',
    'first two',
    'cases with its deciding channels',
    'first',
    'first two',
    'named alone',
    'of these right',
    'worst word',
  ];
  const rateLine = (name, own) => {
    const r = rates(own);
    const share = (value) => (Number.isNaN(value) ? '–' : `${(100 * value).toFixed(1)} %`);
    return line([
      name,
      r.cases,
      share(r.first),
      share(r.topTwo),
      r.decided,
      share(r.decidedFirst),
      share(r.decidedTopTwo),
      r.alone,
      share(r.aloneRight),
      r.spokenAgainst,
    ]);
  };
  const rateTable = [
    line(rateHead),
    ruled(rateHead),
    ...topEndFaults.map((fault) => rateLine(names[fault], of(fault))),
    rateLine('**all**', rows),
  ];
  const goneHead = [
    'true cause',
    'taken out',
    'cases',
    'cannot tell',
    'true one named',
    'true one with a look-alike named',
    'another named alone',
  ];
  const gone = (label, fault, own) => {
    const { channels, twins } = removed[fault];
    const named = (row) => row.without.leading.includes(fault);
    return line([
      label,
      channels.join(', ').replaceAll('-', ' '),
      own.length,
      percent(
        count(own, ({ without }) => without.answer === 'cannot tell'),
        own.length,
      ),
      percent(count(own, named), own.length),
      percent(
        count(own, (row) => named(row) && twins.some((twin) => row.without.leading.includes(twin))),
        own.length,
      ),
      percent(
        count(own, (row) => row.without.leading.length === 1 && !named(row)),
        own.length,
      ),
    ]);
  };
  const goneTable = [
    line(goneHead),
    ruled(goneHead),
    ...Object.keys(removed).flatMap((fault) => {
      const own = of(fault).filter(({ without }) => without !== undefined);
      if (fault !== 'belt-slip' && fault !== 'blower-capacity') return [gone(names[fault], fault, own)];
      return [1, 2].map((gears) =>
        gone(
          `${names[fault]}, pulls in ${gears === 1 ? 'one gear' : 'two gears'}`,
          fault,
          own.filter((row) => row.gears === gears),
        ),
      );
    }),
  ];
  const sure = rows.filter(({ single }) => single.answer === 'one cause leads' && single.leading[0] !== 'own-breathing');
  const singleHead = ['what is said of the later setup by itself', 'cases', 'share'];
  const singleLine = (label, test) =>
    line([
      label,
      count(rows, ({ single }) => test(single)),
      percent(
        count(rows, ({ single }) => test(single)),
        rows.length,
      ),
    ]);
  const singleTable = [
    line(singleHead),
    ruled(singleHead),
    singleLine('nothing fades: power holds to the top', ({ answer: told }) => told === 'nothing fades'),
    singleLine('too few data', ({ answer: told }) => told === 'too few data'),
    singleLine('cannot tell', ({ answer: told }) => told === 'cannot tell'),
    singleLine('the engine’s own breathing', ({ answer: told, leading }) => told === 'one cause leads' && leading[0] === 'own-breathing'),
    singleLine('one cause leads', ({ answer: told, leading }) => told === 'one cause leads' && leading[0] !== 'own-breathing'),
    line([
      '… and it is the true one',
      count(sure, (row) => row.single.rank === 1),
      percent(
        count(sure, (row) => row.single.rank === 1),
        sure.length,
      ),
    ]),
  ];
  const falls = rows.filter(({ fall }) => fall !== null).map(({ fall }) => fall);
  const fallHead = ['how far power truly falls from its peak to the end', 'cases', 'told', 'share'];
  const fallLine = (label, above, upTo) => {
    const own = falls.filter(({ truth }) => truth > above && truth <= upTo);
    const told = count(own, (fall) => fall.told);
    return line([label, own.length, told, percent(told, own.length)]);
  };
  const fallTable = [
    line(fallHead),
    ruled(fallHead),
    fallLine('more than 4 %', 0.04, Number.POSITIVE_INFINITY),
    fallLine('2–4 %', 0.02, 0.04),
    fallLine('1–2 %', 0.01, 0.02),
    fallLine('up to 1 %', 0, 0.01),
    fallLine('not at all', Number.NEGATIVE_INFINITY, 0),
  ];
  return { confusion, rates: rateTable, removed: goneTable, single: singleTable, falls: fallTable };
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      cases: { type: 'string', default: '2016' },
      range: { type: 'string', default: 'wide' },
      first: { type: 'string', default: '1' },
      whole: { type: 'string', default: '150' },
      again: { type: 'string', default: '1008' },
      rows: { type: 'string' },
      write: { type: 'boolean', default: false },
    },
  });
  const done =
    args.rows !== undefined && existsSync(args.rows)
      ? readFileSync(args.rows, 'utf8').trim().split('\n').filter(Boolean).map(JSON.parse)
      : [];
  const rows = [...done];
  for (let index = done.length; index < Number(args.cases); index++) {
    const row = studyCase(index, { range: args.range, first: Number(args.first), whole: Number(args.whole), again: Number(args.again) });
    rows.push(row);
    if (args.rows !== undefined) appendFileSync(args.rows, `${JSON.stringify(row)}\n`);
  }
  const made = tables(rows);
  const checked = rows.filter(({ sameAsWhole }) => sameAsWhole !== undefined);
  console.log(
    `${rows.length} cases, ${count(checked, ({ sameAsWhole }) => sameAsWhole)} of ${checked.length} the same by runTrial, ${rates(rows).ruledOut} ruled out`,
  );
  for (const lines of Object.values(made)) console.log(`\n${lines.join('\n')}`);
  if (args.write) {
    const path = new URL('../docs/top-end.md', import.meta.url);
    let text = readFileSync(path, 'utf8');
    for (const [name, lines] of Object.entries(made))
      text = text.replace(new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(\\n<!-- end of ${name} -->)`), `$1\n${lines.join('\n')}\n$2`);
    writeFileSync(path, text);
  }
}
