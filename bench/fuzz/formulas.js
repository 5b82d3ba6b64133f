import { oneOf, whole } from './mutate.js';

/** Formulas made by rule, with units that fit, so that most are worked out. */

/** @typedef {import('./mutate.js').Random} Random */

/** Quantities and numbers of one kind: what may be added. @type {Readonly<Record<string, readonly string[]>>} */
const kinds = {
  pressure: ['manifold_pressure', 'barometric_pressure', 'fuel_pressure', '5 kPa', '14.7 psi', '0 Pa', '1e5 Pa'],
  temperature: ['charge_temperature', 'intake_temperature', 'coolant_temperature', '300 K', '0 K'],
  speed: ['road_speed', '10 m/s', '60 mph', '0 km/h'],
  turning: ['engine_speed', '3000 rpm', '0 rpm'],
  time: ['injector_pulse_width', '400 ms', '1 s', '0 s'],
  angle: ['spark_advance', 'knock_retard', '720 deg', '0.5 rad'],
  volts: ['battery_voltage', '12 V'],
  plain: ['lambda', 'commanded_lambda', 'throttle', 'pedal', 'injector_duty', '45 %', '2', '0', '1e-9', '1e300', '0.5', '14.7'],
};
const names = Object.keys(kinds);
const widths = ['0.4 s', '400 ms', '0.05 s', '2 s', '100 s', '0.001 s'];

/** @param {Random} random @param {string} kind @param {number} depth @returns {string} */
function made(random, kind, depth) {
  const leaf = () => oneOf(random, kinds[kind] ?? []);
  if (depth === 0) return leaf();
  const same = () => made(random, kind, depth - 1);
  const plain = () => made(random, 'plain', depth - 1);
  const other = oneOf(random, names);
  const another = () => made(random, other, depth - 1);
  switch (whole(random, kind === 'plain' ? 18 : 10)) {
    case 0:
      return `(${same()} ${oneOf(random, ['+', '-'])} ${same()})`;
    case 1:
      return `${same()} * ${plain()}`;
    case 2:
      return `(${same()}) / (${plain()})`;
    case 3:
      return `${oneOf(random, ['min', 'max'])}(${same()}, ${same()})`;
    case 4:
      return `abs(${same()})`;
    case 5:
      return `smooth(${same()}, ${oneOf(random, widths)})`;
    case 6:
      return `(rate(${same()}, ${oneOf(random, widths)}) * ${oneOf(random, widths)})`;
    case 7:
      return `((${same()}) * (${another()})) / (${another()})`;
    case 8:
      return `sqrt((${same()}) ^ 2)`;
    case 9:
      return `-(${same()})`;
    case 10:
    case 11:
    case 12:
      return `(${another()}) / (${another()})`;
    case 13:
      return `${oneOf(random, ['exp', 'log', 'log10', 'sqrt', 'abs'])}(${plain()})`;
    case 14:
      return `${oneOf(random, ['sin', 'cos', 'tan'])}(${made(random, 'angle', depth - 1)})`;
    case 15:
      return `atan(${plain()}) / (1 rad)`;
    case 16:
      return `(${plain()}) ^ ${oneOf(random, ['2', '0.5', '-1', '3', '(1 / 3)', '100', '0'])}`;
    default:
      return `(charge_temperature - ${oneOf(random, ['20 degC', '70 degF', 'intake_temperature'])}) / (1 K)`;
  }
}

/** A formula with units that fit. @param {Random} random @returns {string} */
export const formulaText = (random) => made(random, oneOf(random, names), whole(random, 5));

/** Formulas of which the later ones may use the earlier ones. @param {Random} random @returns {Record<string, string>} */
export function formulasByRule(random) {
  const first = formulaText(random);
  if (random.uniform() < 0.6) return { one: first };
  return {
    one: first,
    'two-b': oneOf(random, [
      'one / (1 + abs(one) / abs(one))',
      'smooth(one, 0.4 s)',
      'rate(one, 400 ms)',
      'one * one',
      `max(one, one) * (${formulaText(random)})`,
    ]),
  };
}
