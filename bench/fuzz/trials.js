import { stringify } from 'yaml';
import { mutateData, mutateText, oneOf, whole } from './mutate.js';

/** Changes to a trial that leave it a trial: other numbers, other units, other parts that may stand there, so that most get past the reader. */

/** @typedef {import('./mutate.js').Random} Random */

/** Parts that a car, a setup, a run or the trial may have besides or instead; null takes one out. @type {Readonly<Record<'trial' | 'car' | 'setup' | 'run' | 'slip', readonly Record<string, unknown>[]>>} */
const parts = {
  trial: [
    { units: 'imperial' },
    { units: null, title: null },
    {
      calculated: {
        filling: 'smooth(manifold_pressure, 0.3 s) / (1 kPa)',
        'filling-again': 'log(filling) / max(filling, 2) - sqrt(filling - 150)',
      },
    },
    { calculated: { flow: 'air_mass_flow * 3', slope: 'rate(engine_speed, 0.2 s) ^ 2' } },
    { slips: null },
    { title: 'x'.repeat(30_000) },
    { title: '<img src=x onerror=alert(1)>\u0007\u202e\u2028 $\\\\href{javascript:1}{a}$' },
    { calculated: { far: 'manifold_pressure * 1e300 * 1e10', 'far-away': 'exp(far / (1 Pa)) - exp(700) / 1e-9' } },
  ],
  car: [
    { 'drag-area': 'from coast-downs' },
    { 'drag-area': 'from coast-downs', 'rolling-coefficient': 'from coast-downs' },
    { 'rolling-coefficient': null, 'drag-area': null },
    { tyre: '245/45R17', 'tyre-radius': null },
    { 'tyre-radius': null },
    { transmission: 'automatic', 'lock-up': 'yes' },
    { transmission: 'automatic', 'lock-up': 'no' },
    { transmission: 'dual-clutch', driven: 'all' },
    { driven: 'front' },
    { 'boost-control': 'none', blower: null },
    { 'boost-control': 'controlled', blower: null },
    { 'fuel-type': { ethanol: '85 %' } },
    { 'fuel-type': null, 'fuel-density': null },
    { 'rotating-factor': { 2: 1.12, 3: 1.07 }, 'wheel-inertia': null, 'engine-inertia': null },
    { 'wheel-inertia': null, 'engine-inertia': null },
    { 'volumetric-efficiency': '92 %', 'drivetrain-efficiency': '87 %', 'specific-consumption': '330 g/kWh' },
    { 'mass-without-fuel': '1440 kg', weighed: null },
    { weighed: null },
    { 'gear-ratios': [1.45] },
    { 'gear-ratios': null, 'final-drive': null },
    { 'final-drive': null },
    {
      injectors: { count: 6, flow: '40 lb/h', 'at-pressure': '43.5 psi', rail: 'fixed', 'rail-pressure': '58 psi', 'dead-time': '0.9 ms' },
    },
    { injectors: null },
    { targets: { lambda: 0.9, 'leanest-lambda': 0.8, 'gauge-stoich': 14.7, 'lambda-delay': '400 ms' } },
    { targets: null },
    { launch: null },
    { redline: '4200 rpm' },
    { tank: null, weighed: { mass: '1467 kg', driver: 'in' } },
    { displacement: null, cylinders: null },
    { name: 'Ä <b>"car"</b> \u202e' },
  ],
  setup: [
    { 'map-sensor': { logged: { 'at-0V': '10 kPa', 'at-5V': '260 kPa' }, fitted: { 'at-0V': '1.1 kPa', 'at-5V': '315.6 kPa' } } },
    { 'map-sensor': { logged: { 'at-0V': '-11 kPa', 'at-5V': '180 kPa' }, fitted: { 'at-0V': '-11 kPa', 'at-5V': '150 kPa' } } },
    { driver: '40 kg', cargo: '150 kg' },
    { 'tyre-radius': '0.33 m' },
    { 'fuel-type': { ethanol: '30 %' } },
    { 'blower-pulley': null },
    { calibration: 'another' },
    { name: '"><script>alert(1)</script>\u001b[31m\u202e' },
    { name: 'constructor' },
    { runs: [] },
    { runs: null },
    { changes: { fasteners: [{ where: 'x', size: '3/8-16', class: 'grade 5', torque: '30 lb ft' }], notes: ['=1+1'] } },
  ],
  run: [
    { outing: null },
    { outing: 'another' },
    { direction: 'south' },
    { direction: null },
    { wind: '6 m/s' },
    { wind: '-25 mph' },
    { wind: null, grade: null },
    { grade: '-4 %' },
    { air: null },
    { air: { temperature: '72 degF', altimeter: '29.98 inHg', elevation: '6100 ft', 'dew-point': '50 degF' } },
    { air: { temperature: '-20 degC', pressure: '70 kPa' } },
    { when: null },
    { when: '2026-05-18' },
    { when: '1970-01-01T00:00' },
    { when: '9999-12-31T23:59:59' },
    { outing: '<b>__proto__</b>' },
    { from: '6 s', to: '1 s' },
    { from: '1 s' },
    { from: '1 s', to: '6 s' },
    { to: '9 s' },
    { from: '5 min', to: '6 min' },
    { 'fuel-in-tank': '50 %' },
    { 'fuel-in-tank': null },
    { reading: { 'max-gap': '0.02 s' } },
    { reading: { rate: '20 Hz' } },
    { reading: { 'time-unit': 'ms' } },
    { channels: { Lambda: 'ignore', 'Pedal position': 'throttle %' } },
    { channels: { 'Pedal position': 'gear' } },
    { log: 'base-north.csv' },
    { log: 'pulley-north.csv' },
    { log: 'pass-base.csv' },
  ],
  slip: [
    { log: null },
    { log: 'pass-base.csv' },
    { log: 'base-north.csv' },
    { speeds: null },
    { times: { '1320ft': '12 s' } },
    { times: { '60ft': '2 s' } },
    { setup: '74 mm pulley' },
    { wind: '12 m/s', air: null },
    { when: '2026-05-30T23:59:59' },
    { when: '1969-12-31' },
    { when: '9999-12-31T23:59:59' },
    { times: { '60ft': '0.3 s', '330ft': '0.31 s', '660ft': '0.32 s', '1000ft': '0.33 s', '1320ft': '0.34 s' } },
    { times: { '60ft': '89 s', '1320ft': '90 s' }, speeds: { '1320ft': '200 m/s' } },
    { speeds: { '660ft': '5 m/s', '1320ft': '5 m/s' } },
  ],
};

/** The least and the most that the reader lets pass, by where they stand. @type {Readonly<Record<string, Readonly<Record<string, readonly (string | number)[]>>>>} */
const edges = {
  car: {
    'mass-without-fuel': ['300 kg', '8000 kg'],
    driver: ['0 kg', '250 kg'],
    cargo: ['1500 kg'],
    tank: ['3 L', '300 L'],
    'fuel-density': ['600 kg/m^3', '1000 kg/m^3'],
    'drag-area': ['0.15 m^2', '4 m^2'],
    'rolling-coefficient': [0.003, 0.06],
    'tyre-radius': ['0.15 m', '0.7 m'],
    'final-drive': [0.5, 20],
    'wheel-inertia': ['0.2 kg m^2', '60 kg m^2'],
    'engine-inertia': ['0.005 kg m^2', '5 kg m^2'],
    displacement: ['0.1 L', '15 L'],
    cylinders: [1, 24],
    redline: ['1500 rpm', '20000 rpm'],
    'volumetric-efficiency': ['40 %', '140 %'],
    'drivetrain-efficiency': ['50 %', '100 %'],
    'specific-consumption': ['150 g/kWh', '700 g/kWh'],
  },
  'fuel-type': { ethanol: ['0 %', '100 %'], 'stoich-afr': [5, 20] },
  blower: { displacement: ['0.05 L', '12 L'], 'crank-pulley': ['20 mm', '400 mm'], 'max-rotor-speed': ['2000 rpm', '300000 rpm'] },
  injectors: { count: [1, 48], flow: ['20 cc/min', '8000 cc/min'], 'at-pressure': ['0.5 bar', '400 bar'], 'dead-time': ['0 ms', '5 ms'] },
  targets: { lambda: [0.5, 1.5], 'leanest-lambda': [0.5, 1.5], 'lambda-delay': ['0 s', '1.5 s'], 'gauge-stoich': [5, 20] },
  launch: {
    wheelbase: ['1 m', '6 m'],
    'cg-height': ['0.15 m', '1.5 m'],
    'driven-axle-share': ['10 %', '100 %'],
    rpm: ['300 rpm', '20000 rpm'],
    'shift-rpm': ['1000 rpm', '20000 rpm'],
    'shift-time': ['0 s', '5 s'],
  },
  setup: { 'blower-pulley': ['20 mm', '400 mm'], 'tyre-radius': ['0.15 m', '0.7 m'] },
  run: {
    wind: ['-40 m/s', '40 m/s'],
    grade: ['-30 %', '30 %'],
    'fuel-in-tank': ['0 L', '300 L'],
    from: ['0 s', '1000000 s'],
    to: ['0 s', '1000000 s'],
  },
  air: { temperature: ['223.15 K', '333.15 K'], pressure: ['50 kPa', '110 kPa'], humidity: ['0 %', '100 %'] },
  reading: { 'max-gap': ['0.001 s', '60 s'], rate: ['0.1 Hz', '10000 Hz'] },
};

/** Other units of the same kind, with what one of the first is in the second. @type {readonly (readonly [string, string, number])[]} */
const otherUnits = [
  ['kg', 'lb', 2.2046226],
  ['L', 'gal', 0.26417205],
  ['m/s', 'mph', 2.2369363],
  ['mph', 'km/h', 1.609344],
  ['kPa', 'inHg', 0.29529988],
  ['mm', 'in', 0.03937008],
  ['m', 'ft', 3.2808399],
  ['m^2', 'ft^2', 10.7639104],
  ['kg m^2', 'lb ft^2', 23.7303604],
  ['s', 'ms', 1000],
];

const quantity = /^(-?\d+(?:\.\d+)?) ?(\D[^,]*)?$/;

/** Every place in data where a number stands, bare or with its unit. @param {any} data @returns {{ holder: any, key: string }[]} */
function numbersIn(data) {
  return Object.entries(data).flatMap(([key, value]) => {
    if (typeof value === 'object' && value !== null) return numbersIn(value);
    return typeof value === 'number' || (typeof value === 'string' && quantity.test(value)) ? [{ holder: data, key }] : [];
  });
}

/** @param {Random} random @param {any} trial */
function changeNumber(random, trial) {
  const places = numbersIn({ car: trial.car ?? {}, setups: trial.setups ?? [], slips: trial.slips ?? [] });
  if (places.length === 0) return;
  const { holder, key } = oneOf(random, places);
  const [, number = '0', unit = ''] = quantity.exec(String(holder[key])) ?? [];
  const kind = random.uniform();
  const other = otherUnits.find(([from]) => from === unit);
  const factor = kind < 0.7 ? 1 + 0.4 * (random.uniform() - 0.5) : oneOf(random, [0, -1, 0.1, 0.5, 2, 10, 1e-6, 1e6]);
  const [value, shown] = kind > 0.9 && other !== undefined ? [Number(number) * other[2], other[1]] : [Number(number) * factor, unit];
  const rounded = Number(value.toPrecision(1 + whole(random, 6)));
  holder[key] = typeof holder[key] === 'number' ? rounded : `${rounded} ${shown}`.trim();
}

/** @param {Random} random @param {any} trial */
function changePart(random, trial) {
  const runs = (trial.setups ?? []).flatMap((/** @type {any} */ { runs: own }) => own ?? []);
  /** @type {[keyof typeof parts, any[]][]} */
  const holders = [
    ['trial', [trial]],
    ['car', [trial.car ?? {}]],
    ['car', [trial.car ?? {}]],
    ['setup', trial.setups ?? []],
    ['run', runs],
    ['run', runs],
    ['slip', Array.isArray(trial.slips) ? trial.slips : []],
  ];
  const [kind, places] = oneOf(random, holders);
  if (places.length === 0) return;
  const holder = oneOf(random, places);
  for (const [key, value] of Object.entries(oneOf(random, parts[kind]))) {
    if (value === null) delete holder[key];
    else holder[key] = structuredClone(value);
  }
}

/** A few quantities at the edge of what the reader lets pass, the gears too. @param {Random} random @param {any} trial */
function changeToEdges(random, trial) {
  const car = trial.car ?? {};
  const setup = oneOf(random, trial.setups ?? [{}]);
  const run = oneOf(random, setup?.runs?.length > 0 ? setup.runs : [{}]);
  run.reading ??= random.uniform() < 0.1 ? {} : undefined;
  /** @type {Readonly<Record<string, any>>} */
  const holders = { ...car, car, setup, run, air: run.air, reading: run.reading };
  for (let times = 1 + whole(random, 6); times > 0; times--) {
    const [name, rules] = oneOf(random, Object.entries(edges));
    const [key, values] = oneOf(random, Object.entries(rules));
    if (typeof holders[name] === 'object' && holders[name] !== null) holders[name][key] = oneOf(random, values);
  }
  if (random.uniform() < 0.2)
    car['gear-ratios'] = oneOf(random, [[0.2], [20, 0.2], [20, 20, 20], [0.2, 20], Array.from({ length: 300 }, () => 1)]);
  if (run.reading === undefined) delete run.reading;
}

/** Parts that are one and the same: written out, they become anchors and aliases. @param {Random} random @param {any} trial */
function shareParts(random, trial) {
  const runs = (trial.setups ?? []).flatMap((/** @type {any} */ { runs: own }) => own ?? []);
  const [one, other] = [runs[whole(random, runs.length)], runs[whole(random, runs.length)]];
  if (one === undefined) return;
  if (random.uniform() < 0.5) other.air = one.air;
  else oneOf(random, trial.setups).runs = [one, one];
}

/** Setups, runs and slips more, fewer, or in another order. @param {Random} random @param {any} trial */
function changeList(random, trial) {
  const lists = [trial.setups, trial.slips, ...(trial.setups ?? []).map((/** @type {any} */ { runs }) => runs)].filter(Array.isArray);
  const list = oneOf(random, lists);
  if (list.length === 0) return;
  const one = structuredClone(oneOf(random, list));
  const kind = whole(random, 4);
  if (kind === 0 && list.length > 1) list.splice(whole(random, list.length), 1);
  else if (kind === 1) list.reverse();
  else {
    if (list === trial.setups) one.name = `${one.name} again`;
    if (list.length < 6) list.push(one);
  }
}

/** A trial with other numbers, units, parts or runs. @param {Random} random @param {any} trial @returns {any} */
export function changeTrial(random, trial) {
  const copy = structuredClone(trial);
  for (let times = 1 + whole(random, 4); times > 0; times--)
    oneOf(random, [changeNumber, changeNumber, changePart, changePart, changeList, changeToEdges, shareParts])(random, copy);
  return copy;
}

/** A trial in another form of the same kind, as changed text, or as changed data written out. @param {Random} random @param {any} trial @returns {string} */
export function changedTrial(random, trial) {
  const kind = random.uniform();
  const data = kind < 0.5 ? changeTrial(random, trial) : kind < 0.7 ? mutateData(random, trial) : trial;
  const text = random.uniform() < 0.5 ? JSON.stringify(data, null, 1) : stringify(data);
  return kind < 0.45 || (kind >= 0.5 && kind < 0.65) ? text : mutateText(random, text);
}
