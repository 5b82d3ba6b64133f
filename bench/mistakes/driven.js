// Mistakes in how, where and in what state the car is driven, with nothing entered about it.
import { runsOf, worldsOf } from './soundTrial.js';

const worlds = (setup, change) => (spec) => {
  for (const world of worldsOf(spec, setup)) change(world, spec);
};
const resampled = (rate) => (text) => {
  const lines = text.trimEnd().split('\n');
  const rows = lines.slice(1).map((line) => line.split(',').map(Number));
  const out = [];
  let i = 0;
  for (let t = rows[0][0]; t < rows.at(-1)[0]; t += 1 / rate) {
    while (rows[i + 1][0] < t) i++;
    const u = (t - rows[i][0]) / (rows[i + 1][0] - rows[i][0]);
    out.push([t.toFixed(3), ...rows[i].slice(1).map((a, c) => (a + u * (rows[i + 1][c + 1] - a)).toFixed(3))].join(','));
  }
  return `${[lines[0], ...out].join('\n')}\n`;
};
const smoothed = (seconds) => (text) => {
  const lines = text.trimEnd().split('\n');
  const rows = lines.slice(1).map((line) => line.split(',').map(Number));
  const state = [...rows[0]];
  const out = rows.map((row, i) => {
    const dt = i === 0 ? 0 : row[0] - rows[i - 1][0];
    const keep = Math.exp(-dt / seconds);
    return row
      .map((value, c) => {
        if (c > 0) state[c] = keep * state[c] + (1 - keep) * value;
        return (c === 0 ? value : state[c]).toFixed(3);
      })
      .join(',');
  });
  return `${[lines[0], ...out].join('\n')}\n`;
};
const channel = (match, add) => (world) => {
  const old = world.channels;
  world.channels = (list) => old(list).map((one) => (one.source === match ? { ...one, ...add } : one));
};
/** Engine speed runs ahead of the car's along each pull. */
const slipping = (growth) => (world) => {
  world.slip = growth;
};
const unsaid =
  (...keys) =>
  (spec) => {
    for (const { runs } of spec.trial.setups) for (const run of runs) for (const key of keys) delete run[key];
  };

export const driven = [
  { name: 'a passenger of 80 kg in one setup, not entered', change: worlds('after', (w) => (w.extraKg += 80)), says: [], knowable: false },
  {
    name: 'larger tires in one setup, wheel speed logged',
    change: worlds('after', (w) => {
      w.car.tyreRadiusM *= 1.04;
      w.speedGain /= 1.04;
    }),
    says: [],
    knowable: false,
  },
  {
    name: 'clutch slip that grows along the pulls of one setup',
    change: worlds('after', slipping(0.06)),
    says: ['slip', 'DRIVE_SLIPS', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'clutch slip that shrinks along the pulls of one setup',
    change: worlds('after', slipping(-0.06)),
    says: ['slip', 'DRIVE_SLIPS', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'pulls of one setup in another gear',
    change: worlds('after', (w) => {
      for (const pull of w.pulls) pull.gear = 4;
    }),
    says: [],
    harmless: true,
  },
  {
    name: 'pulls of one setup from higher up',
    change: worlds('after', (w) => {
      for (const pull of w.pulls) pull.fromRpm = 3600;
    }),
    says: [],
    harmless: true,
  },
  {
    name: 'wind of 6 m/s in one setup, entered by nobody',
    change: (spec) => {
      unsaid('wind', 'direction')(spec);
      worlds('after', (w) => (w.headwindMps = 6))(spec);
      worlds('before', (w) => (w.headwindMps = 0))(spec);
    },
    says: ['wind', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'tailwind of 6 m/s in one setup, entered by nobody',
    change: (spec) => {
      unsaid('wind', 'direction')(spec);
      worlds('after', (w) => (w.headwindMps = -6))(spec);
      worlds('before', (w) => (w.headwindMps = 0))(spec);
    },
    says: ['wind', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'uphill one way and downhill the other, direction not told',
    change: (spec) => {
      unsaid('grade', 'direction')(spec);
      worlds('after', (w) => (w.grade = -0.01))(spec);
      worlds('before', (w) => (w.grade = 0.01))(spec);
    },
    says: ['grade', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'one setup logged on a day 12 °C hotter',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) {
        const w = spec.worlds.get(run.log);
        w.temperatureC += 12;
        run.air.temperature = `${w.temperatureC.toFixed(1)} degC`;
        run.outing = 'august';
        run.when = `2026-08-01T1${run.log.length % 9}:00`;
      }
    },
    says: ['AIR_COULD_EXPLAIN', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
    air: true,
  },
  {
    name: 'one setup logged on a day 12 °C hotter, nothing entered',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) {
        const w = spec.worlds.get(run.log);
        w.temperatureC += 12;
        run.outing = 'august';
        run.when = `2026-08-01T1${run.log.length % 9}:00`;
      }
      unsaid('air')(spec);
    },
    says: ['AIR_COULD_EXPLAIN', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'air-temperature'],
    air: true,
  },
  {
    name: 'pedal at 85 % in one setup',
    change: worlds('after', (w) => {
      w.power *= 0.93;
      const old = w.text;
      w.text = (text) =>
        old(text)
          .split('\n')
          .map((line, i) => {
            if (i === 0 || line === '') return line;
            const cells = line.split(',');
            cells[3] = Math.min(85, Number(cells[3])).toFixed(1);
            cells[4] = Math.min(86, Number(cells[4])).toFixed(1);
            return cells.join(',');
          })
          .join('\n');
    }),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'pedal', 'part-throttle'],
  },
  {
    name: 'engine twice as hot at the start of one setup’s pulls',
    change: worlds('after', (w) => (w.cruiseS = 2.5)),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
    harmless: true,
  },
  {
    name: 'a smoothed log in one setup',
    change: worlds('after', (w) => {
      const old = w.text;
      w.text = (text) => smoothed(0.4)(old(text));
    }),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'logger', 'RESAMPLED'],
    harmless: true,
  },
  {
    name: 'a log resampled to 100 Hz in one setup',
    change: worlds('after', (w) => {
      const old = w.text;
      w.text = (text) => resampled(100)(old(text));
    }),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'logger', 'RESAMPLED'],
    harmless: true,
  },
  {
    name: 'road speed that lags 0.4 s in one setup',
    change: worlds('after', channel('speedMps', { lagS: 0.4 })),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'logger', 'lag'],
    harmless: true,
  },
  { name: 'one setup at 4 rows a second', change: worlds('after', (w) => (w.rateHz = 4)), says: [], harmless: true },
  {
    name: 'brakes that drag in one setup',
    change: worlds('after', (w) => (w.car.rollingCoefficient += 0.008)),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'coast-down'],
  },
  {
    name: 'roof box in one setup',
    change: worlds('after', (w) => (w.car.dragAreaM2 += 0.2)),
    says: ['EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN', 'coast-down'],
  },
];
