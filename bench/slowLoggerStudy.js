// What `compare` makes of a phone on the diagnostic port: rates × satellite speed × gear × engine, simulated, with known truth. Seeded.
//   node bench/slowLoggerStudy.js [--seeds 2] [--from 1] [--rate 3] [--satellite none] [--gain 0.05] [--tell] [--write]
// One row for each rate and satellite: trials without a change, and with +5 %. `--from` chooses other seeds than those that the code was built on.
import { readFileSync, writeFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { runTrial } from '@pullproof/core';
import { satellites, slowCars, slowTrial } from '@pullproof/simulation';

const rates = [10, 5, 3, 2, 1.5, 1];
const gears = [2, 3];

/** Runs one generated trial through the product as a user would. */
export function answer(made) {
  const bytes = new Map([...made.logs].map(([path, text]) => [path, new TextEncoder().encode(text)]));
  return runTrial(made.trial, 'trial.yaml', (path) => ({ chunks: bytes.get(path), sha256: () => path }));
}

/** What became of one trial. */
export function outcome(one, seed) {
  const made = slowTrial(one, seed);
  const result = answer(made);
  const [{ verdict, sentence, reasons }] = result.overall;
  const regions = result.comparisons[0].regions.map((region) => region.verdict);
  const curves = result.setups.flatMap(({ curves: { wheelPowerW } }, i) => {
    if (wheelPowerW === undefined) return [];
    const points = wheelPowerW.engineSpeedRpm.flatMap((rpm, k) => {
      const truth = made.truthW(rpm) * (i === 0 ? 1 : 1 + one.gainShare);
      const { value, low, high, parts } = wheelPowerW;
      if (rpm > made.toRpm - 150) return [];
      const inside = low[k] <= truth && truth <= high[k];
      return [
        {
          error: value[k] / truth - 1,
          inside,
          half: (high[k] - low[k]) / 2 / truth,
          repeat: Math.hypot(parts.noise[k], parts.pullToPull[k]) / truth,
        },
      ];
    });
    return points.length === 0 ? [] : [points];
  });
  const all = curves.flat();
  return {
    verdict,
    sentence,
    reasons,
    refused: verdict === 'cannot tell' || curves.length < 2,
    falseClaim:
      one.gainShare === 0
        ? regions.some((r) => r !== 'no clear change') && verdict !== 'cannot tell'
        : regions.includes('loss') && verdict !== 'cannot tell',
    found: verdict === 'gain' || (verdict !== 'cannot tell' && regions.includes('gain') && !regions.includes('loss')),
    rms: all.length === 0 ? null : Math.sqrt(all.reduce((sum, { error }) => sum + error ** 2, 0) / all.length),
    bias: all.length === 0 ? null : all.reduce((sum, { error }) => sum + error, 0) / all.length,
    points: all.length,
    inside: all.filter(({ inside }) => inside).length,
    insideRepeat: all.filter(({ error, repeat }) => Math.abs(error) <= repeat).length,
    half: all.reduce((sum, { half }) => sum + half, 0),
    findings: result.findings.map(({ code }) => code),
    result,
  };
}

/** All outcomes of a rate with a satellite speed. */
export function outcomes(rateHz, satellite, { seeds, from, gains, more = {} }) {
  return gears.flatMap((gear) =>
    Object.keys(slowCars).flatMap((engine) =>
      gains.flatMap((gainShare) =>
        Array.from({ length: seeds }, (_, k) => {
          const one = { rateHz, satellite, gear, engine, gainShare, ...more };
          const { result: _result, ...rest } = outcome(one, from + k);
          return { ...one, seed: from + k, ...rest };
        }),
      ),
    ),
  );
}

const median = (values) => values.toSorted((a, b) => a - b)[values.length >> 1] ?? Number.NaN;
const percent = (part, whole, digits = 0) => (whole === 0 ? '–' : `${((100 * part) / whole).toFixed(digits)} %`);

/** Figures of a row. */
export function figures(all) {
  const null0 = all.filter(({ gainShare }) => gainShare === 0);
  const gained = all.filter(({ gainShare }) => gainShare > 0);
  const count = (list, what) => list.filter((one) => one[what]).length;
  const points = all.reduce((sum, one) => sum + one.points, 0);
  return {
    trials: [null0.length, gained.length],
    falseClaims: count(null0, 'falseClaim'),
    losses: count(gained, 'falseClaim'),
    refused: count(all, 'refused'),
    found: count(gained, 'found'),
    rms: median(all.filter(({ rms }) => rms !== null).map(({ rms }) => rms)),
    bias: median(all.filter(({ bias }) => bias !== null).map(({ bias }) => bias)),
    inside: all.reduce((sum, one) => sum + one.inside, 0) / points,
    insideRepeat: all.reduce((sum, one) => sum + one.insideRepeat, 0) / points,
    half: all.reduce((sum, one) => sum + one.half, 0) / points,
  };
}

const heads = [
  'readings a second',
  'satellite speed',
  'trials',
  'false claims',
  'refused',
  '+5 % found',
  'power, RMS median',
  'bias median',
  'curve inside its margin',
  'inside margin of repeats alone',
  'margin',
];

function line(rateHz, satellite, f) {
  const all = f.trials[0] + f.trials[1];
  return `| ${[
    rateHz,
    satellite,
    all,
    percent(f.falseClaims, f.trials[0], 1),
    percent(f.refused, all, 1),
    percent(f.found, f.trials[1]),
    `${(100 * f.rms).toFixed(2)} %`,
    `${(100 * f.bias).toFixed(2)} %`,
    `${(100 * f.inside).toFixed(1)} %`,
    `${(100 * f.insideRepeat).toFixed(1)} %`,
    `±${(100 * f.half).toFixed(1)} %`,
  ].join(' | ')} |`;
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values: args } = parseArgs({
    options: {
      seeds: { type: 'string', default: '2' },
      from: { type: 'string', default: '1' },
      rate: { type: 'string' },
      satellite: { type: 'string' },
      gain: { type: 'string' },
      more: { type: 'string', default: '{}' },
      tell: { type: 'boolean', default: false },
      write: { type: 'boolean', default: false },
    },
  });
  const lines = [`| ${heads.join(' | ')} |`, `|${heads.map(() => ' --- ').join('|')}|`];
  console.log(lines.join('\n'));
  for (const rateHz of rates.filter((rate) => args.rate === undefined || args.rate.split(',').includes(String(rate)))) {
    for (const satellite of Object.keys(satellites).filter(
      (name) => args.satellite === undefined || args.satellite.split(',').includes(name),
    )) {
      const gains = args.gain === undefined ? [0, 0.05] : [Number(args.gain)];
      const all = outcomes(rateHz, satellite, { seeds: Number(args.seeds), from: Number(args.from), gains, more: JSON.parse(args.more) });
      lines.push(line(rateHz, satellite, figures(all)));
      console.log(lines.at(-1));
      if (args.tell) {
        for (const one of all) {
          const { engine, gear, gainShare, seed, verdict, sentence, rms, bias, findings } = one;
          console.log(
            `   ${engine} ${gear} ${gainShare} #${seed}: ${one.refused ? 'REFUSED ' : ''}${one.falseClaim ? 'FALSE ' : ''}${verdict} rms ${(100 * rms).toFixed(2)} bias ${(100 * bias).toFixed(2)} | ${one.refused || one.falseClaim ? sentence : ''} ${[...new Set(findings)].filter((code) => !/ASSUMED/.test(code)).join(' ')}`,
          );
        }
      }
    }
  }
  if (args.write) {
    const place = new URL('../docs/slow-loggers.md', import.meta.url);
    const marked = /(<!-- table -->\n)[\s\S]*(\n<!-- end of table -->)/;
    writeFileSync(place, readFileSync(place, 'utf8').replace(marked, `$1\n${lines.join('\n')}\n$2`));
  }
}
