// Mistakes in what is typed into the trial file.
import { runsOf } from './soundTrial.js';

const car = (change) => (spec) => change(spec.trial.car, spec);
const after = (change) => (spec) => {
  for (const run of runsOf(spec, 'after')) change(run, spec);
};
const all = (change) => (spec) => {
  for (const { runs } of spec.trial.setups) for (const run of runs) change(run, spec);
};
const number = (text) => Number.parseFloat(text);
const setAir = (key, value) => (run) => {
  run.air = { ...run.air, [key]: typeof value === 'function' ? value(run.air[key]) : value };
};

/** `says`: what names it rightly, any of: name of a mistake in a contradiction, code of a finding, reason of a verdict. `knowable: false`: no log can show it. `harmless`: moves both setups alike and the difference hardly. */
export const entered = [
  { name: 'final drive with two digits swapped', change: car((c) => (c['final-drive'] = 3.54)), says: [], harmless: true },
  { name: 'final drive of another axle', change: car((c) => (c['final-drive'] = 4.35)), says: ['final-drive'] },
  { name: 'tire radius one digit wrong', change: car((c) => (c['tyre-radius'] = '0.338 m')), says: ['tyre-radius'] },
  { name: 'tire diameter as radius', change: car((c) => (c['tyre-radius'] = '0.616 m')), says: ['tyre-radius', 'implausible-value'] },
  { name: 'tire radius typed for one setup only', change: after((run) => (run['tyre-radius'] = '0.330 m')), says: ['tyre-radius'] },
  {
    name: 'gear ratios begin with second',
    change: car((c) => (c['gear-ratios'] = c['gear-ratios'].slice(1))),
    says: [],
    harmless: true,
  },
  { name: 'pounds typed as kilograms on the scale', change: car((c) => (c.weighed.mass = '3234 kg')), says: ['mass'] },
  { name: 'kilograms typed as pounds on the scale', change: car((c) => (c.weighed.mass = '1467 lb')), says: ['mass'] },
  { name: 'scale 200 kg too high', change: car((c) => (c.weighed.mass = '1667 kg')), says: ['mass'], knowable: false },
  { name: 'driver in pounds typed as kilograms', change: car((c) => (c.driver = '172 kg')), says: ['driver'] },
  {
    name: 'driver in the car on the scale, said out',
    change: (spec) => {
      for (const world of spec.worlds.values()) world.extraKg -= 78;
    },
    says: [],
    knowable: false,
  },
  {
    name: 'fuel level of one setup a digit short',
    change: after((run) => (run['fuel-in-tank'] = `${Math.max(3, Math.round(number(run['fuel-in-tank']) / 10))} L`)),
    says: ['fuel'],
  },
  {
    name: 'fuel level of one setup off by 20 L',
    change: after((run) => (run['fuel-in-tank'] = `${number(run['fuel-in-tank']) - 20} L`)),
    says: ['fuel', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'fuel in gallons with the number of liters',
    change: after((run) => (run['fuel-in-tank'] = `${number(run['fuel-in-tank'])} gal`)),
    says: ['fuel'],
  },
  {
    name: 'fuel ten times too much',
    change: after((run) => (run['fuel-in-tank'] = `${number(run['fuel-in-tank']) * 10} L`)),
    says: ['fuel'],
  },
  { name: 'humidity as a share with a percent sign', change: all(setAir('humidity', '0.45 %')), says: ['humidity'], harmless: true },
  {
    name: 'pressure reduced to sea level in one setup',
    change: (spec) => {
      for (const w of spec.worlds.values()) w.pressureKPa -= 5;
      all((run) => setAir('pressure', (p) => `${(number(p) - 5).toFixed(1)} kPa`)(run))(spec);
      after(setAir('pressure', (p) => `${(number(p) + 5.5).toFixed(1)} kPa`))(spec);
    },
    says: ['station-pressure', 'sea-level-pressure'],
  },
  {
    name: 'pressure reduced to sea level in both',
    change: (spec) => {
      for (const w of spec.worlds.values()) w.pressureKPa -= 5;
    },
    says: ['station-pressure', 'sea-level-pressure'],
    harmless: true,
  },
  {
    name: 'pressure with digits swapped in one setup',
    change: after(setAir('pressure', (p) => `${(number(p) - 9).toFixed(1)} kPa`)),
    says: ['station-pressure'],
  },
  {
    name: 'pressure of another day, 4 kPa off',
    change: after(setAir('pressure', (p) => `${(number(p) + 4 * (number(p) < 99 ? 1 : -1)).toFixed(1)} kPa`)),
    says: ['station-pressure'],
  },
  {
    name: 'Fahrenheit number typed as Celsius',
    change: after(setAir('temperature', (t) => `${Math.min(59, 1.8 * number(t) + 32).toFixed(0)} degC`)),
    says: ['air-temperature'],
  },
  {
    name: 'Celsius number typed as Fahrenheit',
    change: after(setAir('temperature', (t) => `${number(t).toFixed(0)} degF`)),
    says: ['air-temperature'],
  },
  {
    name: 'temperature of a winter day in one setup',
    change: after(setAir('temperature', (t) => `${(number(t) - 20).toFixed(0)} degC`)),
    says: ['air-temperature'],
  },
  {
    name: 'temperature of a hot day in one setup',
    change: after(setAir('temperature', (t) => `${(number(t) + 20).toFixed(0)} degC`)),
    says: ['air-temperature'],
  },
  {
    name: 'wind with the wrong sign',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) {
        spec.worlds.get(run.log).headwindMps = 4;
        run.wind = '-4 m/s';
      }
      for (const run of runsOf(spec, 'before')) {
        spec.worlds.get(run.log).headwindMps = 4;
        run.wind = '4 m/s';
      }
    },
    says: ['wind', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'wind in mph typed as m/s',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) {
        spec.worlds.get(run.log).headwindMps = 4.5;
        run.wind = '10 m/s';
      }
    },
    says: ['wind', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'grade with the wrong sign',
    change: (spec) => {
      for (const run of [...runsOf(spec, 'after'), ...runsOf(spec, 'before')]) {
        delete run.direction;
        spec.worlds.get(run.log).grade = 0.01;
        run.grade = '1 %';
      }
      for (const run of runsOf(spec, 'after')) run.grade = '-1 %';
    },
    says: ['grade', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'grade ten times too steep in one setup',
    change: after((run) => (run.grade = '2 %')),
    says: ['grade', 'EXPLANATIONS', 'OTHER_CHANGE_COULD_EXPLAIN'],
  },
  {
    name: 'drag area a digit wrong',
    change: car((c) => (c['drag-area'] = '1.655 m^2')),
    says: ['drag-area', 'implausible-value'],
    harmless: true,
  },
  {
    name: 'rolling coefficient a digit wrong',
    change: car((c) => (c['rolling-coefficient'] = 0.05)),
    says: ['rolling-coefficient', 'implausible-value'],
    harmless: true,
  },
  {
    name: 'blower pulleys of the setups swapped',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) spec.worlds.get(run.log).engine = { name: 'p', pulleyMm: 74, cooler: 'large' };
      for (const run of runsOf(spec, 'before')) spec.worlds.get(run.log).engine = { name: 'b', pulleyMm: 79, cooler: 'large' };
      spec.trial.setups[0]['blower-pulley'] = '74 mm';
      spec.trial.setups[1]['blower-pulley'] = '79 mm';
      spec.pulleys = [79, 74];
    },
    says: ['swapped-setups', 'pulley'],
    pulley: true,
  },
  {
    name: 'logs of the setups swapped, pulleys told',
    change: (spec) => {
      for (const run of runsOf(spec, 'after')) spec.worlds.get(run.log).engine = { name: 'p', pulleyMm: 74, cooler: 'large' };
      for (const run of runsOf(spec, 'before')) spec.worlds.get(run.log).engine = { name: 'b', pulleyMm: 79, cooler: 'large' };
      const [one, other] = spec.trial.setups;
      [one.runs, other.runs] = [other.runs, one.runs];
      one['blower-pulley'] = '79 mm';
      other['blower-pulley'] = '74 mm';
      spec.swapped = true;
    },
    says: ['swapped-setups', 'pulley'],
    pulley: true,
  },
  {
    name: 'logs of the setups swapped, nothing told',
    change: (spec) => {
      const [one, other] = spec.trial.setups;
      [one.runs, other.runs] = [other.runs, one.runs];
      spec.swapped = true;
    },
    says: [],
    knowable: false,
  },
  { name: 'redline with a digit wrong', change: car((c) => (c.redline = '4800 rpm')), says: ['redline', 'engine-speed'], harmless: true },
  {
    name: 'crank pulley in the wrong place',
    change: car((c) => (c.blower['crank-pulley'] = '79 mm')),
    says: [],
    harmless: true,
  },
  {
    name: 'everything of the weather left out',
    change: all((run) => delete run.air),
    says: [],
    harmless: true,
  },
];
