// How often the estimate beyond a sensor's end holds the truth, and how often a boost limit is taken for one. Invented pulls of packages/simulation. Seeded.
//   node bench/ceilingStudy.js [--logs 500] [--first 500001]
import { parseArgs } from 'node:util';
import { readLog } from '@pullproof/core';
import { boostPulls, seededRandom } from '@pullproof/simulation';
import { logCeilings } from '../packages/core/dist/pulls/logCeilings.js';
import { findStretches } from '../packages/core/dist/stretches/index.js';

/** A log as text: pulls one after the other, each from a standing start of the clock of its own. */
export function boostLogText(pulls, endPa = Number.POSITIVE_INFINITY, duty = false) {
  const rows = [`Time (s),Engine speed (rpm),Road speed (km/h),Pedal (%),Manifold pressure (kPa abs)${duty ? ',Wastegate duty (%)' : ''}`];
  pulls.forEach((pull, number) => {
    pull.timeS.forEach((t, i) => {
      const rpm = pull.engineSpeedRpm[i];
      const kpa = Math.min(pull.readPa[i], endPa) / 1000;
      const cells = [(t + 40 * number).toFixed(3), rpm.toFixed(0), (rpm / 40).toFixed(2), '100', kpa.toFixed(4)];
      if (duty) cells.push((100 * pull.duty[i]).toFixed(1));
      rows.push(cells.join(','));
    });
  });
  return `${rows.join('\n')}\n`;
}

/** A log with its pulls, as the trial looks through it for ceilings. */
export function ceilingSource(text, pulls, path, setup, stationPressurePa) {
  const log = readLog(new TextEncoder().encode(text), { path });
  const spans = pulls.map(({ timeS }, number) => ({ startS: 40 * number, endS: 40 * number + timeS.at(-1) }));
  return { log, signals: findStretches(log).signals, pulls: spans, setup, stationPressurePa, sensorKey: '' };
}

/** One invented car: a setup whose sensor ends below its boost, beside an earlier one that stays below. */
export function ceilingCase(seed) {
  const made = boostPulls(seed);
  const random = seededRandom(seed + 7e6);
  const top = ({ pulls }) => Math.max(...pulls.flatMap(({ truePa }) => [...truePa]));
  // The earlier setup stays below the end in most cases; in some it reaches it too, and then nothing carries the shape.
  const lowest = 0.985 * top(made.before);
  const endPa = Math.round((lowest + (0.98 * top(made.after) - lowest) * random.uniform()) / made.quantumPa) * made.quantumPa;
  const sources = [
    ceilingSource(boostLogText(made.before.pulls, endPa), made.before.pulls, 'before.csv', 'before', made.stationPa),
    ceilingSource(boostLogText(made.after.pulls, endPa), made.after.pulls, 'after.csv', 'after', made.stationPa),
  ];
  return { made, endPa, ...logCeilings(sources) };
}

/** Coverage of the estimates by what makes the boost. */
export function study(logs, first = 1) {
  const rows = new Map();
  for (let seed = first; seed < first + logs; seed++) {
    const { made, results, findings } = ceilingCase(seed);
    const row = rows.get(made.maker) ?? {
      logs: 0,
      found: 0,
      limit: 0,
      estimated: 0,
      points: 0,
      inside: 0,
      below: 0,
      above: 0,
      halfShare: 0,
      errorShare: 0,
    };
    rows.set(made.maker, row);
    row.logs++;
    if (findings.some(({ code }) => code === 'BOOST_LIMITED')) row.limit++;
    const result = results.find(({ log, side }) => log === 'after.csv' && side === 'upper');
    if (result === undefined) continue;
    row.found++;
    const estimate = result.modelEstimate;
    if (estimate === null) continue;
    row.estimated++;
    estimate.engineSpeedRpm.forEach((rpm, i) => {
      const [value, low, high] = [estimate.value[i], estimate.low[i], estimate.high[i]];
      if (value === null) return;
      const truthPa = made.after.meanPa(rpm);
      row.points++;
      // The mean may lie below the end by what a count hides.
      if (truthPa < low - made.quantumPa / 2) row.below++;
      else if (truthPa > high) row.above++;
      else row.inside++;
      row.halfShare += (high - low) / 2 / value;
      row.errorShare += Math.abs(truthPa - value) / value;
      if (value < result.value - 1) throw new Error(`seed ${seed}: an estimate below the end`);
    });
  }
  return rows;
}

/** How often boost that is held by its control is taken for a sensor's end, with its duty logged and without. */
export function limitStudy(logs, first = 1) {
  const told = { logs: 0, ceiling: 0, possible: 0, limit: 0, ceilingWithDuty: 0, possibleWithDuty: 0, limitWithDuty: 0 };
  for (let seed = first; seed < first + logs; seed++) {
    const made = boostPulls(seed, 'boost control');
    told.logs++;
    for (const duty of [false, true]) {
      const source = ceilingSource(boostLogText(made.after.pulls, undefined, duty), made.after.pulls, 'after.csv', 'after', made.stationPa);
      const { results, findings } = logCeilings([source]);
      const end = duty ? 'WithDuty' : '';
      if (results.some(({ verdict }) => verdict === 'certain')) told[`ceiling${end}`]++;
      else if (results.length > 0) told[`possible${end}`]++;
      if (findings.some(({ code }) => code === 'BOOST_LIMITED')) told[`limit${end}`]++;
    }
  }
  return told;
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values } = parseArgs({ options: { logs: { type: 'string', default: '500' }, first: { type: 'string', default: '500001' } } });
  const [logs, first] = [Number(values.logs), Number(values.first)];
  const total = { points: 0, inside: 0 };
  for (const [maker, row] of study(logs, first)) {
    total.points += row.points;
    total.inside += row.inside;
    const share = (n) => `${((100 * n) / row.points).toFixed(1)} %`;
    console.log(maker, row, `inside ${share(row.inside)}, half-width ${share(row.halfShare)}, error ${share(row.errorShare)}`);
  }
  console.log(`inside ${((100 * total.inside) / total.points).toFixed(1)} % of ${total.points}`);
  console.log(limitStudy(Math.round(logs / 5), first));
}
