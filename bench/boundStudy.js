// Error of the torque fit against the Cramér–Rao bound, and against differentiating by a local polynomial. Seeded.
//   node bench/boundStudy.js [--trials 20] [--write]
// The bound: cubic B-spline of log torque with 400-rpm knots, one factor a pull (their mean 1) and its start speed, readings normal with
// variance σ² + q²/12 (q the step), gearing and road load known. `--write` puts the table into docs/accuracy.md.
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { findStretches, parseTrial, readLog, resolveTrial } from '@pullproof/core';
import { makeLog, plainLogger, rpmPerMps, studyAir, studyCar, studyPowerW } from '@pullproof/simulation';
import { bSplineBasis, bSplineValues, cholesky, choleskyInverse } from '../packages/core/dist/maths/index.js';
import { fitTorque, localTorque, setupCurve, torqueGuess } from '../packages/core/dist/power/index.js';
import { preparePulls } from '../packages/core/dist/pulls/preparePulls.js';
import { studyTrialYaml } from '../packages/simulation/dist/studyCar.js';

const usualGear = 3;
const [fromRpm, toRpm] = [2400, 6600];
const judged = (rpm) => rpm >= 2600 && rpm <= 6450;
const usualPulls = 3;
const usualKappa = rpmPerMps(studyCar, usualGear);

/** True wheel power: the study's smooth curve, or the same with waves of 3 % and 1,200 rpm, which smoothing has to follow. */
const truths = {
  smooth: studyPowerW,
  waves: (rpm) => studyPowerW(rpm) * (1 + 0.03 * Math.sin((2 * Math.PI * rpm) / 1200)),
};

/** Rate of engine speed, rpm/s, of the smooth truth where log torque is off by `off(rpm)`; the bound hardly depends on the truth. */
function rateOf(rpm, off, gear) {
  const kappa = rpmPerMps(studyCar, gear);
  const speed = rpm / kappa;
  const overall = studyCar.gearRatios[gear - 1] * studyCar.finalDrive;
  const inertiaKg = studyCar.massKg + (studyCar.wheelInertiaKgM2 + studyCar.engineInertiaKgM2 * overall ** 2) / studyCar.tyreRadiusM ** 2;
  const drag = 0.5 * studyAir.airDensityKgPerM3 * studyCar.dragAreaM2 * speed ** 2;
  const rolling = studyCar.massKg * 9.80665 * studyCar.rollingCoefficient;
  return (kappa * ((studyPowerW(rpm) * Math.exp(off(rpm))) / speed - drag - rolling)) / inertiaKg;
}

/** Engine speed at even instants from `start`. */
function trajectory(start, off, count, stepS, gear) {
  const out = new Float64Array(count);
  let rpm = start;
  const parts = Math.ceil(stepS / 0.02);
  const h = stepS / parts;
  for (let i = 0; i < count; i++) {
    out[i] = rpm;
    for (let k = 0; k < parts; k++) {
      const a = rateOf(rpm, off, gear);
      const b = rateOf(rpm + (h / 2) * a, off, gear);
      const c = rateOf(rpm + (h / 2) * b, off, gear);
      const d = rateOf(rpm + h * c, off, gear);
      rpm += (h / 6) * (a + 2 * b + 2 * c + d);
    }
  }
  return out;
}

/** RMS over the judged engine speeds of the bound on the standard deviation of the mean curve, as a share of power. */
export function bound(channels, { gear = usualGear, pulls = usualPulls } = {}) {
  const basis = bSplineBasis(fromRpm, toRpm, 400);
  const values = new Float64Array(4);
  const size = basis.size + (pulls - 1) + pulls;
  const normal = new Float64Array(size * size);
  const still = () => 0;
  for (const { rateHz, sigmaRpm } of channels) {
    const stepS = 1 / rateHz;
    let count = 1;
    while (trajectory(fromRpm, still, count + 1, stepS, gear)[count] <= toRpm) count++;
    const base = trajectory(fromRpm, still, count, stepS, gear);
    const slope = (off, start = fromRpm, by = 1e-4) => trajectory(start, off, count, stepS, gear).map((rpm, i) => (rpm - base[i]) / by);
    const columns = Array.from({ length: basis.size }, (_, j) =>
      slope((rpm) => {
        const first = bSplineValues(basis, rpm, values);
        return j >= first && j < first + 4 ? 1e-4 * values[j - first] : 0;
      }),
    );
    const scale = slope(() => 1e-4);
    const start = slope(still, fromRpm + 1e-2, 1e-2);
    for (let p = 0; p < pulls; p++) {
      // The last pull's log factor is minus the sum of the others.
      const row = (i) => [
        ...columns.map((column) => column[i]),
        ...Array.from({ length: pulls - 1 }, (_, k) => (p === k ? scale[i] : p === pulls - 1 ? -scale[i] : 0)),
        ...Array.from({ length: pulls }, (_, k) => (p === k ? start[i] : 0)),
      ];
      for (let i = 0; i < count; i++) {
        const own = row(i);
        for (let a = 0; a < size; a++) for (let b = 0; b < size; b++) normal[a * size + b] += (own[a] * own[b]) / sigmaRpm ** 2;
      }
    }
  }
  for (let a = 0; a < size; a++) normal[a * size + a] += 1e-9;
  const covariance = choleskyInverse(cholesky(normal, size), size);
  let sum = 0;
  let points = 0;
  for (let rpm = 2400; rpm <= 6600; rpm += 50) {
    if (!judged(rpm)) continue;
    const first = bSplineValues(basis, rpm, values);
    for (let a = 0; a < 4; a++) for (let b = 0; b < 4; b++) sum += values[a] * values[b] * covariance[(first + a) * size + first + b];
    points++;
  }
  return Math.sqrt(sum / points);
}

function pullsOf(logger, truth, seed) {
  const phases = Array.from({ length: usualPulls }, (_, p) => ({ kind: 'pull', gear: usualGear, fromRpm, toRpm, leadS: 2 + 0.017 * p }));
  const { text } = makeLog({ car: studyCar, around: studyAir, engine: { fullLoadWheelPowerW: truth }, phases, logger, seed, stepS: 0.01 });
  const log = readLog(new TextEncoder().encode(text), { path: 'a.csv' });
  const trial = resolveTrial(parseTrial(studyTrialYaml('bound', [{ name: 'a', runs: [{ log: 'a.csv', outing: 'day' }] }]), 'trial.yaml'));
  const run = { setup: 0, inputs: trial.setups[0].runs[0], log, found: findStretches(log) };
  return preparePulls([run]).pulls.flatMap(({ prepared }) => (prepared === null ? [] : [prepared]));
}

/** Squared relative errors of both estimates on the judged grid. */
function errorsOf(prepared, truth) {
  const local = prepared.flatMap(({ motion }) => localTorque(motion));
  const [fit] = fitTorque([prepared.map(({ motion }) => motion)], [torqueGuess(local)]);
  const curve = setupCurve(fit, prepared);
  const byFit = [];
  const byLocal = [];
  curve.engineSpeedRpm.forEach((rpm, i) => {
    if (!judged(rpm)) return;
    byFit.push(curve.wheelPowerW[i] / truth(rpm) - 1);
    const near = local.filter(({ engineSpeedRpm }) => Math.abs(engineSpeedRpm - rpm) <= 75);
    if (near.length === 0) return;
    const powers = near.map(({ engineSpeedRpm, torqueNm }) => (torqueNm * engineSpeedRpm * Math.PI) / 30 / truth(engineSpeedRpm));
    byLocal.push(powers.reduce((sum, value) => sum + value, 0) / powers.length - 1);
  });
  return { byFit, byLocal };
}

export const cases = [];
for (const truth of ['smooth', 'waves']) {
  for (const rateHz of [10, 25, 50]) {
    for (const [rpmStep, rpmNoise] of [
      [1, 4],
      [25, 0],
    ]) {
      for (const speedStep of [0.01, 1]) cases.push({ truth, rateHz, rpmStep, rpmNoise, speedStep, roadHz: rateHz });
    }
  }
  cases.push({ truth, rateHz: 50, rpmStep: 25, rpmNoise: 0, speedStep: 1, roadHz: 5 });
}

/** One line of the table. */
export function boundCase({ truth, rateHz, rpmStep, rpmNoise, speedStep, roadHz }, trials) {
  // Road speed has noise enough that its step is not met at the same places by every pull.
  const speedNoise = speedStep < 0.1 ? 0.1 : 0;
  const logger = plainLogger({
    rateHz,
    engineSpeed: { noise: rpmNoise, step: rpmStep },
    roadSpeed: { step: speedStep, noise: speedNoise, decimals: speedStep < 0.1 ? 2 : 0, ...(roadHz === rateHz ? {} : { rateHz: roadHz }) },
    timing: { jitterS: 0.2 / rateHz },
  });
  const limit = bound([
    { rateHz, sigmaRpm: Math.sqrt(rpmNoise ** 2 + rpmStep ** 2 / 12) },
    { rateHz: roadHz, sigmaRpm: (usualKappa / 3.6) * Math.sqrt(speedNoise ** 2 + speedStep ** 2 / 12) },
  ]);
  const all = Array.from({ length: trials }, (_, t) => errorsOf(pullsOf(logger, truths[truth], 100 + t), truths[truth]));
  const rms = (values) => Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);
  const fit = all.flatMap(({ byFit }) => byFit);
  return {
    limit,
    fit: rms(fit),
    bias: fit.reduce((sum, value) => sum + value, 0) / fit.length,
    local: rms(all.flatMap(({ byLocal }) => byLocal)),
  };
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: { trials: { type: 'string', default: '20' }, write: { type: 'boolean', default: false } },
  });
  const percent = (value) => `${(100 * value).toFixed(3)} %`;
  const lines = [
    '| truth | rate | engine speed: step, noise | road speed: step, rate | bound | fit RMS | fit over bound | bias | local polynomial RMS | fit better by |',
    '| ----- | ---- | ------------------------- | ---------------------- | ----- | ------- | -------------- | ---- | -------------------- | ------------- |',
  ];
  for (const one of cases) {
    const { limit, fit, bias, local } = boundCase(one, Number(args.trials));
    const { truth, rateHz, rpmStep, rpmNoise, speedStep, roadHz } = one;
    lines.push(
      `| ${truth} | ${rateHz} Hz | ${rpmStep}, ${rpmNoise} rpm | ${speedStep} km/h, ${roadHz} Hz | ${percent(limit)} | ${percent(fit)} | ${(fit / limit).toFixed(2)} | ${percent(bias)} | ${percent(local)} | ${(100 * (1 - fit / local)).toFixed(0)} % |`,
    );
    console.log(lines[lines.length - 1]);
  }
  if (args.write) {
    const path = new URL('../docs/accuracy.md', import.meta.url);
    const marked = /(<!-- bound table -->\n)[\s\S]*(\n<!-- end of bound table -->)/;
    writeFileSync(path, readFileSync(path, 'utf8').replace(marked, `$1\n${lines.join('\n')}\n$2`));
  }
}
