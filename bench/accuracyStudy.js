// Accuracy of `compare` on simulated logs with known truth. Seeded: the same seeds give the same table.
//   node bench/accuracyStudy.js [--scale 1] [--only case] [--reduced] [--write]
// Prints the table of docs/accuracy.md; `--write` puts it there. `--scale 0.05` runs a twentieth of the seeds, `--reduced` those that a test runs again.
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { runTrial } from '@pullproof/core';
import { studyCases } from '@pullproof/simulation';

/** Judged from 2,600 rpm to 150 rpm before the end of the pull. */
const fromRpm = 2600;
const toRpm = 6450;

/** Runs one generated trial through the product as a user would. */
export function answer(study) {
  const bytes = new Map([...study.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
  return runTrial(study.trial, 'trial.yaml', (path) => ({ chunks: bytes.get(path), sha256: () => path }));
}

const truthAt = (curve) => new Map(curve.engineSpeedRpm.map((rpm, i) => [rpm, curve.wheelPowerW[i]]));
const judged = (rpm) => rpm >= fromRpm && rpm <= toRpm;

/** Errors, coverage and claims over many seeds of one case. */
export function study(name, seeds, options = {}) {
  const sums = { curve: 0, curvePoints: 0, difference: 0, differencePoints: 0, bias: 0 };
  const held = { simultaneous: 0, points: 0, inside: 0, curvePoints: 0, curveInside: 0 };
  const ends = [];
  let claims = 0;
  let answered = 0;
  let detected = 0;
  for (let seed = 1; seed <= seeds; seed++) {
    const made = studyCases[name](seed, options);
    const result = answer(made);
    const before = truthAt(made.truth.before);
    const after = truthAt(made.truth.after);
    const comparison = result.comparisons[0].wheelPowerW;
    if (comparison.engineSpeedRpm.length === 0) continue;
    answered++;
    let all = true;
    comparison.engineSpeedRpm.forEach((rpm, i) => {
      const trueDifference = after.get(rpm) - before.get(rpm);
      const inside = comparison.low[i] <= trueDifference && trueDifference <= comparison.high[i];
      if (!inside) all = false;
      if (!judged(rpm)) return;
      held.points++;
      if (inside) held.inside++;
      sums.difference += ((comparison.difference[i] - trueDifference) / before.get(rpm)) ** 2;
      sums.differencePoints++;
    });
    if (all) held.simultaneous++;
    for (const [setup, truth] of [
      [result.setups[0], before],
      [result.setups[1], after],
    ]) {
      const curve = setup.curves.wheelPowerW;
      curve.engineSpeedRpm.forEach((rpm, i) => {
        if (!judged(rpm)) return;
        const error = curve.value[i] / truth.get(rpm) - 1;
        sums.curve += error * error;
        sums.bias += error;
        sums.curvePoints++;
        held.curvePoints++;
        // The part of the band that repeating would show: noise and pull-to-pull; the inputs of a simulated trial are exact.
        const half = Math.hypot(curve.parts.noise[i], curve.parts.pullToPull[i]);
        if (Math.abs(curve.value[i] - truth.get(rpm)) <= half) held.curveInside++;
      });
    }
    const regions = result.comparisons[0].regions.filter((region) => region.verdict !== 'no clear change');
    if (regions.length > 0) claims++;
    if (made.truth.halfGainRpm !== null) {
      const gains = regions.filter((region) => region.verdict === 'gain');
      if (gains.length > 0) {
        detected++;
        ends.push(Math.max(...gains.map((region) => region.toRpm)) - made.truth.halfGainRpm);
      }
    }
  }
  return {
    name,
    seeds,
    answered,
    curveRms: Math.sqrt(sums.curve / sums.curvePoints),
    curveBias: sums.bias / sums.curvePoints,
    differenceRms: Math.sqrt(sums.difference / sums.differencePoints),
    simultaneousCoverage: held.simultaneous / answered,
    curveCoverage: held.curveInside / held.curvePoints,
    claims: claims / answered,
    detected,
    endWorst: ends.length === 0 ? null : Math.max(...ends.map(Math.abs)),
    endMean: ends.length === 0 ? null : ends.reduce((sum, value) => sum + value, 0) / ends.length,
  };
}

const plan = [
  { name: 'noiseOnly25Hz', seeds: 200, options: {}, wanted: 'curve 0.4 %, difference 0.5 %' },
  { name: 'coarse10Hz', seeds: 200, options: {}, wanted: 'curve 0.6 %, difference 0.8 %' },
  { name: 'step300', seeds: 200, options: {}, wanted: 'curve 0.6 %, difference 0.8 %' },
  { name: 'pullSpread1pct', seeds: 500, options: {}, wanted: 'bands hold 92–98 %' },
  { name: 'outingLuck', seeds: 2000, options: { gainShare: 0 }, wanted: 'claims at most 6.5 %' },
  {
    name: 'outingLuck',
    label: 'outingLuck, inputs off',
    seeds: 1000,
    options: { gainShare: 0, inputErrors: true },
    wanted: 'claims at most 6.5 %',
  },
  { name: 'pullSpread1pct', label: 'pullSpread1pct, inputs off', seeds: 300, options: { inputErrors: true }, wanted: 'bands hold 92–98 %' },
  { name: 'fadingGain', seeds: 200, options: {}, wanted: 'end within 400 rpm' },
];

/** The table of docs/accuracy.md at a share of its seeds. */
export function tableLines(scale, only) {
  const percent = (value) => `${(100 * value).toFixed(2)} %`;
  const lines = [
    '| case | trials | curve RMS | bias | difference RMS | whole difference inside its band | curve inside its band, point by point | claims | end of the gain: mean, worst | wanted |',
    '| ---- | ------ | --------- | ---- | -------------- | -------------------------------- | ------------------------------------- | ------ | ---------------------------- | ------ |',
  ];
  for (const { name, label = name, seeds, options, wanted } of plan) {
    if (only !== undefined && only !== name) continue;
    const r = study(name, Math.max(3, Math.round(seeds * scale)), options);
    const end = r.endMean === null ? '–' : `${r.endMean.toFixed(0)}, ${r.endWorst.toFixed(0)} rpm (${r.detected} of ${r.answered} seen)`;
    lines.push(
      `| ${label} | ${r.answered} of ${r.seeds} | ${percent(r.curveRms)} | ${percent(r.curveBias)} | ${percent(r.differenceRms)} | ${percent(r.simultaneousCoverage)} | ${percent(r.curveCoverage)} | ${percent(r.claims)} | ${end} | ${wanted} |`,
    );
  }
  return lines;
}

/** Share of the seeds that a test runs again. */
export const reducedScale = 0.02;

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      scale: { type: 'string', default: '1' },
      only: { type: 'string' },
      write: { type: 'boolean', default: false },
      reduced: { type: 'boolean', default: false },
    },
  });
  const lines = tableLines(args.reduced ? reducedScale : Number(args.scale), args.only);
  console.log(lines.join('\n'));
  if (args.write) {
    const path = new URL('../docs/accuracy.md', import.meta.url);
    const name = args.reduced ? 'reduced table' : 'table';
    const marked = new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*(\\n<!-- end of ${name} -->)`);
    writeFileSync(path, readFileSync(path, 'utf8').replace(marked, `$1\n${lines.join('\n')}\n$2`));
  }
}
