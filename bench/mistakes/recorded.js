// Mistakes in how a log is recorded, exported, converted or listed.
import { runsOf, worldsOf } from './soundTrial.js';

/** Rows of a log as lists of cells, changed and put together again. */
const table = (change) => (text) => {
  const lines = text.trimEnd().split('\n');
  const head = lines[0].split(',');
  const rows = lines.slice(1).map((line) => line.split(','));
  const made = change({ head, rows, at: (name) => head.findIndex((cell) => cell.startsWith(name)) }) ?? { head, rows };
  return `${[made.head ?? head, ...(made.rows ?? rows)].map((cells) => cells.join(',')).join('\n')}\n`;
};
const column = (name, number, header) =>
  table(({ head, rows, at }) => {
    const i = at(name);
    if (header !== undefined) head[i] = header;
    for (const row of rows) if (row[i] !== '') row[i] = number(Number(row[i]));
  });
const without = (...names) =>
  table(({ head, rows, at }) => {
    const gone = new Set(names.map(at));
    return { head: head.filter((_, i) => !gone.has(i)), rows: rows.map((row) => row.filter((_, i) => !gone.has(i))) };
  });
const texts = (setups, change) => (spec) => {
  for (const setup of setups)
    for (const world of worldsOf(spec, setup)) {
      const old = world.text;
      world.text = (text) => change(old(text));
    }
};
const both = ['before', 'after'];
const again = (text, change) => table(({ rows, head, at }) => change({ rows, head, at }))(text);

/** A copy of the first log of `before`, changed, listed once more. */
const copied =
  (into, change, keep = {}) =>
  (spec) => {
    const [original] = runsOf(spec, 'before');
    const log = `more-${into}.csv`;
    spec.worlds.set(log, (read) => change(read(original.log)));
    const list = runsOf(spec, into);
    const run = { ...structuredClone(original), ...keep, log };
    list.push(run);
  };
const shifted = (text) =>
  again(text, ({ rows, at }) => {
    const t = at('Time');
    for (const row of rows) row[t] = (Number(row[t]) + 37.25).toFixed(3);
  });
const inMiles = (text) =>
  again(text, ({ rows, head, at }) => {
    const v = at('Road speed');
    head[v] = 'Road speed (mph)';
    for (const row of rows) row[v] = (Number(row[v]) / 1.609344).toFixed(1);
  });
const cut = (text) =>
  again(text, ({ rows, head }) => ({ head, rows: rows.slice(Math.floor(rows.length * 0.12), Math.floor(rows.length * 0.97)) }));
const appended = (text) =>
  again(text, ({ rows, head, at }) => {
    const t = at('Time');
    const last = Number(rows.at(-1)[t]);
    const step = Number(rows[1][t]) - Number(rows[0][t]);
    return {
      head,
      rows: [...rows, ...rows.map((row) => row.map((cell, i) => (i === t ? (Number(cell) + last + step).toFixed(3) : cell)))],
    };
  });
const asIs = (text) => text;
const repeats = ['W_REPEATED_RECORDING', 'W_SAME_FILE', 'SAME_FILE'];

export const recorded = [
  {
    name: 'one log listed three times in a setup',
    change: (spec) => {
      const list = runsOf(spec, 'before');
      list.push(structuredClone(list[0]), structuredClone(list[0]));
    },
    says: repeats,
  },
  {
    name: 'one pull listed three times is all a setup has',
    change: (spec) => {
      const [setup] = spec.trial.setups;
      for (const world of spec.worlds.values()) world.pulls.length = 1;
      setup.runs = [setup.runs[0], structuredClone(setup.runs[0]), structuredClone(setup.runs[0])];
    },
    says: repeats,
  },
  { name: 'a copy under another name', change: copied('before', asIs), says: repeats },
  { name: 'a copy with its clock shifted', change: copied('before', shifted), says: repeats },
  { name: 'a copy exported in mph', change: copied('before', inMiles), says: repeats },
  { name: 'a copy cut at both ends', change: copied('before', cut), says: repeats },
  {
    name: 'a log appended to itself',
    change: (spec) => {
      const [run] = runsOf(spec, 'before');
      spec.worlds.get(run.log).text = appended;
    },
    says: repeats,
  },
  {
    name: 'the same log in both setups',
    change: (spec) => {
      spec.trial.setups[1].runs = structuredClone(spec.trial.setups[0].runs);
      spec.truth = 0;
    },
    says: repeats,
  },
  {
    name: 'a log of before listed in after too',
    change: (spec) => {
      runsOf(spec, 'after').push(structuredClone(runsOf(spec, 'before')[0]));
    },
    says: repeats,
    blurs: true,
  },
  { name: 'a shifted copy of before in after', change: copied('after', shifted), says: repeats, blurs: true },
  { name: 'a cut copy in mph of before in after', change: copied('after', (text) => cut(inMiles(text))), says: repeats, blurs: true },

  {
    name: 'mph named km/h in both setups',
    change: texts(
      both,
      column('Road speed', (v) => (v / 1.609344).toFixed(1)),
    ),
    says: ['speed-unit', 'SPEED_IN_DOUBT'],
  },
  {
    name: 'mph named km/h in one setup',
    change: texts(
      ['after'],
      column('Road speed', (v) => (v / 1.609344).toFixed(1)),
    ),
    says: ['speed-unit', 'SPEED_IN_DOUBT'],
  },
  {
    name: 'km/h named mph in one setup',
    change: texts(
      ['after'],
      column('Road speed', (v) => v.toFixed(1), 'Road speed (mph)'),
    ),
    says: ['speed-unit', 'SPEED_IN_DOUBT'],
  },
  {
    name: 'mph named km/h, gearing not told',
    change: (spec) => {
      for (const key of ['gear-ratios', 'final-drive', 'tyre-radius']) delete spec.trial.car[key];
      texts(
        ['after'],
        column('Road speed', (v) => (v / 1.609344).toFixed(1)),
      )(spec);
    },
    says: ['speed-unit', 'SPEED_IN_DOUBT'],
  },
  {
    name: 'speedometer recalibrated by 4 % between setups',
    change: texts(
      ['after'],
      column('Road speed', (v) => (v * 1.04).toFixed(1)),
    ),
    says: ['speed-scale'],
  },
  {
    name: 'speedometer recalibrated by 8 %, gearing not told',
    change: (spec) => {
      for (const key of ['gear-ratios', 'final-drive', 'tyre-radius']) delete spec.trial.car[key];
      texts(
        ['after'],
        column('Road speed', (v) => (v * 1.08).toFixed(1)),
      )(spec);
    },
    says: ['speed-scale'],
  },
  {
    name: 'speedometer reads 6 % high in both',
    change: texts(
      both,
      column('Road speed', (v) => (v * 1.06).toFixed(1)),
    ),
    says: ['speed-scale', 'tyre-radius', 'final-drive'],
    harmless: true,
  },
  {
    name: 'engine speed halved in one setup',
    change: texts(
      ['after'],
      column('Engine speed', (v) => (v / 2).toFixed(0)),
    ),
    says: ['engine-speed'],
  },
  {
    name: 'engine speed halved in both',
    change: texts(
      both,
      column('Engine speed', (v) => (v / 2).toFixed(0)),
    ),
    says: ['engine-speed'],
  },
  {
    name: 'engine speed doubled in one setup',
    change: texts(
      ['after'],
      column('Engine speed', (v) => (v * 2).toFixed(0)),
    ),
    says: ['engine-speed'],
  },
  {
    name: 'engine speed doubled in both',
    change: texts(
      both,
      column('Engine speed', (v) => (v * 2).toFixed(0)),
    ),
    says: ['engine-speed'],
  },
  {
    name: 'engine speed four times in both, gearing not told',
    change: (spec) => {
      for (const key of ['gear-ratios', 'final-drive', 'tyre-radius']) delete spec.trial.car[key];
      texts(
        both,
        column('Engine speed', (v) => (v * 4).toFixed(0)),
      )(spec);
    },
    says: ['engine-speed'],
  },
  {
    name: 'time written at half its length in both',
    change: texts(
      both,
      column('Time', (t) => (t / 2).toFixed(3)),
    ),
    says: ['time-scale'],
  },
  {
    name: 'time written at half its length in one setup',
    change: texts(
      ['after'],
      column('Time', (t) => (t / 2).toFixed(3)),
    ),
    says: ['time-scale', 'TOO_LARGE', 'DIFFERENCE_TOO_LARGE'],
  },
  {
    name: 'time written twice as long in one setup',
    change: texts(
      ['after'],
      column('Time', (t) => (t * 2).toFixed(3)),
    ),
    says: ['time-scale', 'TOO_LARGE', 'DIFFERENCE_TOO_LARGE'],
  },
  {
    name: 'time in tenths of a second named seconds',
    change: texts(
      both,
      column('Time', (t) => (t * 10).toFixed(2)),
    ),
    says: ['time-scale'],
  },
  {
    name: 'clock 4 % fast in one setup',
    change: texts(
      ['after'],
      column('Time', (t) => (t * 0.96).toFixed(3)),
    ),
    says: ['time-scale'],
    knowable: false,
  },
  {
    name: 'log of another car in one setup',
    change: (spec) =>
      texts(
        ['after'],
        column('Road speed', (v) => (v * 1.19).toFixed(1)),
      )(spec),
    says: ['speed-scale', 'other-car', 'gear-ratios', 'speed-unit'],
  },

  {
    name: 'manifold pressure through another sensor’s scale in one setup',
    change: texts(
      ['after'],
      column('Manifold', (p) => (p * 1.2).toFixed(1)),
    ),
    says: ['pressure-scale', 'W_IMPLAUSIBLE', 'W_BAROMETER_DISAGREES'],
  },
  {
    name: 'manifold pressure gauge named absolute',
    change: texts(
      ['after'],
      column('Manifold', (p) => (p - 99).toFixed(1)),
    ),
    says: ['W_PRESSURE_REFERENCE', 'pressure-reference', 'W_IMPLAUSIBLE'],
    harmless: true,
  },
  {
    name: 'barometer in mmHg named kPa',
    change: texts(
      both,
      column('Barometric', (p) => (p * 7.50062).toFixed(1)),
    ),
    says: ['barometer', 'W_IMPLAUSIBLE', 'station-pressure'],
    harmless: true,
  },
  {
    name: 'intake temperature in °F named °C',
    change: texts(
      both,
      column('Intake', (t) => (1.8 * t + 32).toFixed(1)),
    ),
    says: ['air-temperature', 'W_IMPLAUSIBLE', 'intake-unit'],
    harmless: true,
  },

  {
    name: 'narrowband voltage as lambda',
    change: texts(
      both,
      column('Lambda', (l) => (l < 0.985 ? 0.86 + 0.02 * (0.9 - l) : l > 1.015 ? 0.08 : 0.45 + 0.3 * Math.sin(97 * l)).toFixed(3)),
    ),
    says: ['W_NARROWBAND'],
    lean: true,
    warning: true,
  },
  {
    name: 'narrowband voltage as lambda, lean engine',
    change: (spec) => {
      for (const world of spec.worlds.values()) world.lambdaShift = 1.2;
      texts(
        both,
        column('Lambda', (l) => (l < 0.985 ? 0.86 + 0.02 * (0.9 - l) : l > 1.015 ? 0.08 : 0.45 + 0.3 * Math.sin(97 * l)).toFixed(3)),
      )(spec);
    },
    says: ['W_NARROWBAND'],
    lean: true,
    warning: true,
  },
  {
    name: 'air-fuel ratio of a 14.7 gauge taken by 16.5',
    change: (spec) => {
      spec.trial.car.targets['gauge-stoich'] = 16.5;
      for (const world of spec.worlds.values()) world.lambdaShift = 1.13;
      texts(
        both,
        column('Lambda', (l) => (14.7 * l).toFixed(2), 'AFR'),
      )(spec);
    },
    says: ['lambda-scale'],
    lean: true,
    warning: true,
  },
  {
    name: 'lambda reads 12 % rich',
    change: (spec) => {
      for (const world of spec.worlds.values()) world.lambdaShift = 1.12;
      texts(
        both,
        column('Lambda', (l) => (l / 1.12).toFixed(3)),
      )(spec);
    },
    says: ['lambda-scale'],
    lean: true,
    warning: true,
  },
  {
    name: 'idle log listed among the pulls',
    change: (spec) => {
      const [run] = runsOf(spec, 'after');
      spec.worlds.set('idle.csv', {
        ...spec.worlds.get(run.log),
        pulls: [],
        idleS: 40,
        coast: false,
        seed: 7 + spec.worlds.get(run.log).seed,
      });
      runsOf(spec, 'after').push({ ...structuredClone(run), log: 'idle.csv' });
    },
    says: [],
    harmless: true,
  },
  {
    name: 'no pedal, throttle or pressure logged',
    change: texts(both, without('Pedal', 'Throttle', 'Manifold')),
    says: [],
    harmless: true,
  },
];
