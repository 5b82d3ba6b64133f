// What each property of a log does to the answer: error against the Cramér–Rao bound, bias, coverage of the band of the difference, false claims,
// and how often a change is seen. Each case varies one thing about a usual log (bench/factorCases.js). Seeded, and goes on where it was stopped.
//   node bench/factorStudy.js [--trials 80] [--power-trials 100] [--dir .tmp/factors] [--only text] [--write]
// `--write` puts the tables into docs/accuracy.md and the figures' data into bench/factorResults.json; node bench/accuracyPicture.js draws them.
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { studyPowerW } from '@pullproof/simulation';
import { answer } from './accuracyStudy.js';
import { bound } from './boundStudy.js';
import { channelsOf, factorCases, factorTrial, powerCases } from './factorCases.js';

const judged = (rpm) => rpm >= 2600 && rpm <= 6450;
const geometricMean = (values) => Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);

const noSums = { trials: 0, answered: 0, points: 0, curve: 0, bias: 0, difference: 0, half: 0, held: 0, gains: 0, losses: 0 };

/** Adds one trial. Curves are judged by the power that their pulls had; the band and the claims by the setups' own. */
function add(sums, one, seed) {
  sums.trials++;
  const { trial, logs, factors } = factorTrial(one, seed);
  const { setups, comparisons } = answer({ trial, logs });
  const comparison = comparisons[0];
  const { engineSpeedRpm, difference, low, high } = comparison.wheelPowerW;
  const complete = setups.every(({ name, pulls }) => pulls.filter(({ used }) => used).length === factors[name].length);
  if (engineSpeedRpm.length === 0 || !complete) return;
  sums.answered++;
  const before = geometricMean(factors.before);
  const after = geometricMean(factors.after) * (1 + one.gainShare);
  let held = true;
  let [half, points] = [0, 0];
  engineSpeedRpm.forEach((rpm, i) => {
    const powerW = studyPowerW(rpm);
    if (!(low[i] <= one.gainShare * powerW && one.gainShare * powerW <= high[i])) held = false;
    if (!judged(rpm)) return;
    points++;
    half += (high[i] - low[i]) / 2 / powerW;
    sums.difference += (difference[i] / powerW - (after - before)) ** 2;
  });
  sums.points += points;
  sums.half += half;
  if (held) sums.held++;
  const curve = setups[0].curves.wheelPowerW;
  let [square, bias, count] = [0, 0, 0];
  curve.engineSpeedRpm.forEach((rpm, i) => {
    if (!judged(rpm)) return;
    const error = curve.value[i] / (studyPowerW(rpm) * before) - 1;
    square += error * error;
    bias += error;
    count++;
  });
  sums.curve += square / count;
  sums.bias += bias / count;
  const verdicts = comparison.regions.map(({ verdict }) => verdict);
  if (verdicts.includes('gain')) sums.gains++;
  if (verdicts.includes('loss')) sums.losses++;
}

/** A case's sums over seeds 1 to `trials`; from and to its file, so that a run goes on where it was stopped. */
export function sumsOf(one, trials, file = null) {
  const stored = file !== null && existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : null;
  const sums = stored !== null && JSON.stringify(stored.one) === JSON.stringify(one) ? stored.sums : { ...noSums };
  while (sums.trials < trials) {
    add(sums, one, sums.trials + 1);
    if (file !== null && (sums.trials % 10 === 0 || sums.trials === trials)) {
      writeFileSync(`${file}.part`, JSON.stringify({ one, sums }));
      renameSync(`${file}.part`, file);
    }
  }
  return sums;
}

/** Figures of a case. */
export function figuresOf(one, sums) {
  const { trials, answered, points, gains, losses } = sums;
  const limit = bound(channelsOf(one), one);
  const curve = Math.sqrt(sums.curve / answered);
  return {
    factor: one.factor,
    name: one.name,
    trials,
    answered,
    bound: limit,
    curve,
    overBound: curve / limit,
    bias: sums.bias / answered,
    difference: Math.sqrt(sums.difference / points),
    differenceBound: Math.SQRT2 * limit,
    half: sums.half / points,
    held: sums.held / answered,
    gains: gains / answered,
    losses: losses / answered,
  };
}

const percent = (value, digits = 2) => `${(100 * value).toFixed(digits)} %`;

function factorLines(rows) {
  return [
    '| what is varied | to | trials | bound | curve RMS | over bound | bias | difference RMS | bound of the difference | half-width of its band | difference inside its band | false claims |',
    '| -------------- | -- | ------ | ----- | --------- | ---------- | ---- | -------------- | ----------------------- | ---------------------- | -------------------------- | ------------ |',
    ...rows.map(
      (r) =>
        `| ${r.factor} | ${r.name} | ${r.answered} of ${r.trials} | ${percent(r.bound)} | ${percent(r.curve)} | ${r.overBound.toFixed(2)} | ${percent(r.bias)} | ${percent(r.difference)} | ${percent(r.differenceBound)} | ${percent(r.half)} | ${percent(r.held, 1)} | ${percent(r.gains + r.losses, 1)} |`,
    ),
  ];
}

function powerLines(rows) {
  const sizes = [...new Set(powerCases.map(({ gainShare }) => gainShare))];
  const pulls = [...new Set(powerCases.map((one) => one.pulls))];
  return [
    `| pulls of each setup | ${sizes.map((size) => (size === 0 ? 'no change' : `${100 * size} %`)).join(' | ')} | trials each |`,
    `| ------------------- | ${sizes.map(() => '---').join(' | ')} | ----------- |`,
    ...pulls.map((count) => {
      const own = rows.filter((row) => row.pulls === count);
      return `| ${count} | ${own.map((row) => percent(row.gainShare === 0 ? row.gains + row.losses : row.gains, 0)).join(' | ')} | ${own[0].trials} |`;
    }),
  ];
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      trials: { type: 'string', default: '80' },
      'power-trials': { type: 'string', default: '100' },
      dir: { type: 'string', default: '.tmp/factors' },
      only: { type: 'string' },
      write: { type: 'boolean', default: false },
    },
  });
  mkdirSync(args.dir, { recursive: true });
  const run = (cases, trials, label) =>
    cases.flatMap((one, index) => {
      if (args.only !== undefined && !`${one.factor} ${one.name}`.includes(args.only)) return [];
      const figures = figuresOf(one, sumsOf(one, trials, `${args.dir}/${label}-${index}.json`));
      console.log(JSON.stringify(figures));
      return [{ ...figures, pulls: one.pulls, gainShare: one.gainShare }];
    });
  const factors = run(factorCases, Number(args.trials), 'factor');
  const power = run(powerCases, Number(args['power-trials']), 'power');
  if (args.write) {
    const results = new URL('factorResults.json', import.meta.url);
    writeFileSync(results, `${JSON.stringify({ factors, power }, null, 1)}\n`);
    const path = new URL('../docs/accuracy.md', import.meta.url);
    let text = readFileSync(path, 'utf8');
    for (const [name, lines] of [
      ['factor table', factorLines(factors)],
      ['power table', powerLines(power)],
    ]) {
      const marked = new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*(\\n<!-- end of ${name} -->)`);
      if (!marked.test(text)) throw new Error(`docs/accuracy.md has no place for the ${name}`);
      text = text.replace(marked, (_, start, end) => `${start}\n${lines.join('\n')}\n${end}`);
    }
    writeFileSync(path, text);
  }
}
