// How often the 95 % bands hold the truth, over many simulated trials a case. Seeded: the same seeds give the same table.
//   node bench/coverageStudy.js [--trials 2000] [--only clean25] [--from 1] [--processes 1] [--write]
// `--write` puts the counts into docs/accuracy-coverage.json, and the table that they make into docs/accuracy.md.
// Whatever the trial file enters or leaves out is off by a draw from the spread that the product states for it, in every trial anew: mass, fuel, inertia,
// drag area, rolling, air density, wind, grade, scale of the speed channel. The luck of an outing is drawn from the spread that is assumed for it.
import { spawn } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { parseTrial, resolveTrial, runTrial } from '@pullproof/core';
import { makeLog, plainLogger, seededRandom, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { assumedRepeatability } from '../packages/core/dist/power/index.js';
import { studyTrialYaml } from '../packages/simulation/dist/studyCar.js';

const [fromRpm, toRpm, gear] = [2400, 6600, 3];
const gain = 0.03;
/** Of a road speed that is the car's own channel; stated in the budget as the spread of the speed scale. */
const speedScaleSpread = 0.013;

const loggers = {
  clean25: { label: '25 Hz, 4 rpm of noise, steps of 0.1 km/h', rateHz: 25 },
  coarse10: { label: '10 Hz, steps of 25 rpm and 1 km/h', rateHz: 10, coarse: true },
  coarse25: { label: '25 Hz, steps of 25 rpm and 1 km/h', rateHz: 25, coarse: true },
};

/** Every case: a logger, the standard deviation of a pull's factor, pulls of each setup, one outing or two. */
export const cases = [
  ...Object.keys(loggers).flatMap((logger) => [0.003, 0.01, 0.03].map((spread) => ({ logger, spread, pulls: 3, outings: 1 }))),
  ...Object.keys(loggers).map((logger) => ({ logger, spread: 0.01, pulls: 3, outings: 2 })),
  { logger: 'clean25', spread: 0.003, pulls: 5, outings: 1 },
  { logger: 'clean25', spread: 0.01, pulls: 5, outings: 1 },
  { logger: 'coarse25', spread: 0.01, pulls: 5, outings: 2 },
].map((one) => ({
  ...one,
  name: `${one.logger}, ${100 * one.spread} %, ${one.pulls} pulls, ${one.outings === 1 ? 'one outing' : 'two outings'}`,
}));

function loggerOf({ logger }, gainOfSpeed) {
  const { rateHz, coarse = false } = loggers[logger];
  return plainLogger({
    rateHz,
    engineSpeed: coarse ? { noise: 0, step: 25 } : {},
    roadSpeed: { gain: gainOfSpeed, ...(coarse ? { step: 1, decimals: 0 } : {}) },
    // The logger's clock and the car's are not in step.
    timing: { jitterS: 0.1 / rateHz },
  });
}

/** One trial with its truth. */
function trialOf(one, seed) {
  const random = seededRandom(seed);
  const outings = one.outings === 1 ? ['saturday', 'saturday'] : ['saturday', 'sunday'];
  const names = ['before', 'after'];
  const setups = names.map((name, i) => ({ name, runs: [{ log: `${name}.csv`, outing: outings[i] }] }));
  const text = studyTrialYaml('Coverage', setups);
  const runs = resolveTrial(parseTrial(text, 'trial.yaml')).setups.map(({ runs: [run] }) => run);
  const [{ massKg, massOwnSpreadKg, dragAreaM2, rollingCoefficient, rotating, windMps, grade, airDensityKgPerM3 }] = runs;
  const off = ({ spread }) => spread * random.normal();
  const sharedMassKg = Math.sqrt(massKg.spread ** 2 - massOwnSpreadKg ** 2) * random.normal();
  const car = {
    ...studyCar,
    dragAreaM2: studyCar.dragAreaM2 + off(dragAreaM2),
    rollingCoefficient: studyCar.rollingCoefficient + off(rollingCoefficient),
    wheelInertiaKgM2: studyCar.wheelInertiaKgM2 + off(rotating.wheelsKgM2),
    engineInertiaKgM2: studyCar.engineInertiaKgM2 + off(rotating.engineKgM2),
  };
  const logger = loggerOf(one, 1 + speedScaleSpread * random.normal());
  const days = new Map(
    [...new Set(outings)].map((outing) => [
      outing,
      {
        luck: 1 + assumedRepeatability.outingToOuting * random.normal(),
        around: {
          airDensityKgPerM3: studyAir.airDensityKgPerM3 + off(airDensityKgPerM3),
          headwindMps: off(windMps),
          grade: off(grade),
        },
      },
    ]),
  );
  const logs = new Map(
    names.map((name, i) => {
      const { luck, around } = days.get(outings[i]);
      const { text: log } = makeLog({
        car: { ...car, massKg: studyCar.massKg + sharedMassKg + massOwnSpreadKg * random.normal() },
        around,
        engine: { fullLoadWheelPowerW: (rpm) => studyPowerW(rpm) * (i === 0 ? 1 : 1 + gain) },
        phases: Array.from({ length: one.pulls }, () => {
          return { kind: 'pull', gear, fromRpm, toRpm, scale: luck * (1 + one.spread * random.normal()), leadS: 1 };
        }),
        logger,
        seed: Math.floor(random.uniform() * 2 ** 48),
        stepS: 0.02,
      });
      return [`${name}.csv`, new TextEncoder().encode(log)];
    }),
  );
  return { text, logs };
}

const inside = ({ low, high }, i, truth) => low[i] <= truth && truth <= high[i];

/** Counts of one case over the trials `from` to `from + trials − 1`. */
export function countCase(one, from, trials) {
  const counts = { trials: 0, absolute: {}, absoluteWhole: 0, difference: {}, differenceWhole: 0, width: 0 };
  const tally = (at, rpm, held) => {
    at[rpm] ??= [0, 0];
    at[rpm][0]++;
    if (held) at[rpm][1]++;
  };
  for (let seed = from; seed < from + trials; seed++) {
    const { text, logs } = trialOf(one, seed);
    const result = runTrial(text, 'trial.yaml', (path) => ({ chunks: logs.get(path), sha256: () => path }));
    const curve = result.setups[0].curves.wheelPowerW;
    const comparison = result.comparisons[0].wheelPowerW;
    if (curve === undefined || comparison.engineSpeedRpm.length === 0) continue;
    counts.trials++;
    let whole = true;
    curve.engineSpeedRpm.forEach((rpm, i) => {
      tally(counts.absolute, rpm, inside(curve, i, studyPowerW(rpm)));
      if (!inside(curve.wholeCurve, i, studyPowerW(rpm))) whole = false;
    });
    if (whole) counts.absoluteWhole++;
    whole = true;
    comparison.engineSpeedRpm.forEach((rpm, i) => {
      const truth = gain * studyPowerW(rpm);
      tally(counts.difference, rpm, inside(comparison.eachSpeed, i, truth));
      if (!inside(comparison, i, truth)) whole = false;
    });
    if (whole) counts.differenceWhole++;
    const middle = comparison.engineSpeedRpm.indexOf(4500);
    counts.width += (comparison.high[middle] - comparison.low[middle]) / 2 / studyPowerW(4500);
  }
  return counts;
}

/** Counts of two parts of one case together. */
export function added(a, b) {
  const sum = structuredClone(a);
  for (const key of ['trials', 'absoluteWhole', 'differenceWhole', 'width']) sum[key] += b[key];
  for (const key of ['absolute', 'difference']) {
    for (const [rpm, [tried, held]] of Object.entries(b[key])) {
      sum[key][rpm] ??= [0, 0];
      sum[key][rpm][0] += tried;
      sum[key][rpm][1] += held;
    }
  }
  return sum;
}

/** Shares of a case: whole curves, and points (mean and extremes over engine speeds that nearly every trial has). */
export function sharesOf({ trials, absolute, absoluteWhole, difference, differenceWhole, width }) {
  const points = (counts) => {
    const usual = Object.entries(counts).filter(([, [tried]]) => tried >= 0.9 * trials);
    const shares = usual.map(([, [tried, held]]) => held / tried);
    return { mean: shares.reduce((sum, share) => sum + share, 0) / shares.length, least: Math.min(...shares), most: Math.max(...shares) };
  };
  return {
    trials,
    absolutePointwise: points(absolute),
    absoluteSimultaneous: absoluteWhole / trials,
    differencePointwise: points(difference),
    differenceSimultaneous: differenceWhole / trials,
    halfWidthOfDifference: width / trials,
  };
}

/** The table of docs/accuracy.md. */
export function coverageLines(results) {
  const percent = (share) => (100 * share).toFixed(1);
  const points = ({ mean, least, most }) => `${percent(mean)} (${percent(least)}–${percent(most)})`;
  return [
    '| case | trials | curve, each engine speed | whole curve | difference, each engine speed | whole difference | half-width of the whole difference’s band |',
    '| ---- | ------ | ------------------------ | ----------- | ----------------------------- | ---------------- | ----------------------------------------- |',
    ...results.map(
      ({ name, ...shares }) =>
        `| ${name} | ${shares.trials} | ${points(shares.absolutePointwise)} | ${percent(shares.absoluteSimultaneous)} | ${points(shares.differencePointwise)} | ${percent(shares.differenceSimultaneous)} | ${(100 * shares.halfWidthOfDifference).toFixed(2)} % |`,
    ),
  ];
}

/** Puts the results into the documentation. */
export function writeCoverage(results, from) {
  const place = (name) => new URL(`../docs/${name}`, import.meta.url);
  const about = 'Counts of bench/coverageStudy.js: shares of trials in which a 95 % band holds the truth.';
  writeFileSync(place('accuracy-coverage.json'), `${JSON.stringify({ about, from, results }, null, 2)}\n`);
  const marked = /(<!-- coverage table -->\n)[\s\S]*(\n<!-- end of coverage table -->)/;
  const text = readFileSync(place('accuracy.md'), 'utf8');
  writeFileSync(place('accuracy.md'), text.replace(marked, `$1\n${coverageLines(results).join('\n')}\n$2`));
}

function inProcess(name, from, trials) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [process.argv[1], '--part', name, '--from', String(from), '--trials', String(trials)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let text = '';
    child.stdout.on('data', (chunk) => {
      text += chunk;
    });
    child.on('close', (code) => (code === 0 ? resolve(JSON.parse(text)) : reject(new Error(`${name}: exit ${code}`))));
  });
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      trials: { type: 'string', default: '2000' },
      from: { type: 'string', default: '1' },
      only: { type: 'string', default: '' },
      part: { type: 'string' },
      processes: { type: 'string', default: '1' },
      write: { type: 'boolean', default: false },
    },
  });
  const [trials, from, processes] = [Number(args.trials), Number(args.from), Number(args.processes)];
  if (args.part !== undefined) {
    process.stdout.write(
      JSON.stringify(
        countCase(
          cases.find(({ name }) => name === args.part),
          from,
          trials,
        ),
      ),
    );
  } else {
    const results = [];
    for (const one of cases.filter(({ name }) => name.includes(args.only))) {
      let counts;
      if (processes === 1) counts = countCase(one, from, trials);
      else {
        const share = Math.ceil(trials / processes);
        const parts = Array.from({ length: processes }, (_, k) =>
          inProcess(one.name, from + k * share, Math.min(share, trials - k * share)),
        );
        counts = (await Promise.all(parts)).reduce(added);
      }
      results.push({ name: one.name, ...sharesOf(counts) });
      console.log(coverageLines(results.slice(-1))[2]);
    }
    if (args.write) writeCoverage(results, from);
  }
}
