import type { Dimension } from './unit.js';

/** One unit of the closed table. SI value = (value + shift) · times / per; the two integers or exact decimals keep round numbers round. */
export interface TableEntry {
  readonly symbol: string;
  readonly times: number;
  readonly per: number;
  readonly shift: number;
  /** Further spellings. Spaces, dots, hyphens and carets between letters and digits are dropped before looking up, case is tried exactly first. */
  readonly aliases: readonly string[];
}

const POUND_KG = 0.45359237;
const GRAVITY = 9.80665;
const POUND_FORCE_N = POUND_KG * GRAVITY;
const US_GALLON_M3 = 231 * 0.0254 ** 3;
const MPH = 0.44704;

function unit(symbol: string, times: number, per: number, ...aliases: string[]): TableEntry {
  return { symbol, times, per, shift: 0, aliases };
}

function scale(symbol: string, shift: number, times: number, per: number, ...aliases: string[]): TableEntry {
  return { symbol, times, per, shift, aliases };
}

/**
 * Every unit that Pullproof reads. Closed: what is not here is not a unit. Where two dimensions share a spelling (`g`), the earlier one is meant unless a dimension is asked for.
 *
 * Factors are exact by definition: pound and pound-force, inch, US gallon of 231 in³, imperial gallon of 4.54609 L,
 * torr of 101325/760 Pa, horsepower of 550 ft·lbf/s, metric horsepower of 75 kgf·m/s. Columns of mercury and water are the conventional ones (13.5951 g/cm³ at 0 °C, 1 g/cm³).
 */
export const unitTable: Readonly<Record<Dimension, readonly TableEntry[]>> = {
  pressure: [
    unit('Pa', 1, 1, 'pascal'),
    unit('hPa', 100, 1),
    unit('kPa', 1000, 1, 'kilopascal'),
    unit('MPa', 1e6, 1),
    unit('bar', 1e5, 1, 'bars'),
    unit('mbar', 100, 1, 'mb', 'millibar'),
    unit('psi', POUND_FORCE_N / 0.0254 ** 2, 1, 'lbf/in2', 'lb/in2', 'lbs/in2', 'lbf/sqin', 'lb/sqin', '#/in2'),
    unit('inHg', 25.4 * 133.322387415, 1, '"Hg', 'inchHg', 'inchesHg', 'inofmercury'),
    unit('mmHg', 133.322387415, 1),
    unit('torr', 101325, 760),
    unit('atm', 101325, 1),
    unit('kgf/cm2', GRAVITY * 1e4, 1, 'kg/cm2', 'kgfcm2', 'kgcm2', 'kp/cm2'),
    unit('inH2O', 25.4 * GRAVITY, 1, '"H2O', 'inWC'),
    unit('mmH2O', GRAVITY, 1),
    unit('cmH2O', GRAVITY * 10, 1),
  ],
  temperature: [
    scale('°C', 273.15, 1, 1, 'C', 'degC', 'degreeC', 'degreesC', 'Celsius', 'degCelsius', 'degreesCelsius', '°Celsius', 'centigrade'),
    scale('°F', 459.67, 5, 9, 'F', 'degF', 'degreeF', 'degreesF', 'Fahrenheit', 'degFahrenheit', 'degreesFahrenheit', '°Fahrenheit'),
    unit('K', 1, 1, 'kelvin', 'degK', '°K', 'kelvins'),
    unit('°R', 5, 9, 'degR', 'rankine'),
  ],
  speed: [
    unit('m/s', 1, 1, 'mps', 'm/sec', 'metres/s', 'ms-1'),
    unit('km/h', 1, 3.6, 'kmh', 'kph', 'km/hr', 'kmph', 'kmh-1'),
    unit('mph', MPH, 1, 'mi/h', 'mi/hr', 'miles/h', 'miles/hour'),
    unit('kn', 1852, 3600, 'kt', 'kts', 'knot', 'knots'),
    unit('ft/s', 0.3048, 1, 'fps', 'ft/sec'),
  ],
  'engine-speed': [
    unit(
      'rpm',
      1,
      1,
      '1/min',
      'min-1',
      '/min',
      'r/min',
      'rev/min',
      'revs/min',
      'U/min',
      'tr/min',
      'giri/min',
      'obr/min',
      'ot/min',
      'об/мин',
      'revpermin',
    ),
    unit('krpm', 1000, 1, 'rpmx1000', 'rpm*1000', 'x1000rpm', '1000rpm', 'x1000/min', '1000/min', '1000r/min'),
    unit('rps', 60, 1, 'r/s', 'rev/s', 'rev/sec', 'revs/s'),
    unit('rad/s', 30, Math.PI, 'rad/sec'),
  ],
  mass: [
    unit('kg', 1, 1, 'kilogram', 'kilograms', 'kgs', 'kilo', 'kilos'),
    unit('g', 1, 1000, 'gram', 'grams'),
    unit('mg', 1, 1e6),
    unit('lb', POUND_KG, 1, 'lbs', 'lbm', 'pound', 'pounds'),
    unit('oz', POUND_KG, 16, 'ounce', 'ounces'),
    unit('t', 1000, 1, 'tonne', 'tonnes'),
  ],
  volume: [
    unit('L', 1, 1000, 'litre', 'litres', 'liter', 'liters', 'ltr', 'dm3'),
    unit('mL', 1, 1e6),
    unit('cc', 1, 1e6, 'cm3', 'ccm'),
    unit('m^3', 1, 1, 'm3'),
    unit('gal', US_GALLON_M3, 1, 'gals', 'gallon', 'gallons', 'galUS', 'USgal', 'USgallon', 'USgallons', 'gallonUS', 'gallonsUS'),
    unit('imp gal', 4.54609, 1000, 'galimp', 'galUK', 'UKgal', 'impgallon', 'impgallons', 'imperialgallon', 'imperialgallons'),
    unit('qt', US_GALLON_M3, 4, 'quart', 'quarts', 'USqt'),
    unit('in^3', 0.0254 ** 3, 1, 'in3', 'cuin', 'ci', 'cid', 'cubicinch', 'cubicinches'),
    unit('ft^3', 0.3048 ** 3, 1, 'ft3', 'cuft'),
  ],
  length: [
    unit('m', 1, 1, 'metre', 'metres', 'meter', 'meters', 'mtr'),
    unit('mm', 1, 1000, 'millimetre', 'millimeter', 'millimetres', 'millimeters'),
    unit('cm', 1, 100),
    unit('km', 1000, 1, 'kilometre', 'kilometres', 'kilometer', 'kilometers'),
    unit('in', 0.0254, 1, '"', 'inch', 'inches'),
    unit('ft', 0.3048, 1, "'", 'foot', 'feet'),
    unit('yd', 0.9144, 1, 'yard', 'yards'),
    unit('mi', 1609.344, 1, 'mile', 'miles'),
  ],
  area: [
    unit('m^2', 1, 1, 'm2', 'sqm'),
    unit('cm^2', 1, 1e4, 'cm2', 'sqcm'),
    unit('mm^2', 1, 1e6, 'mm2', 'sqmm'),
    unit('ft^2', 0.3048 ** 2, 1, 'ft2', 'sqft'),
    unit('in^2', 0.0254 ** 2, 1, 'in2', 'sqin'),
  ],
  time: [
    unit('s', 1, 1, 'sec', 'secs', 'second', 'seconds'),
    unit('ms', 1, 1000, 'msec', 'msecs', 'millisecond', 'milliseconds', 'millis'),
    unit('us', 1, 1e6, 'µs', 'usec', 'µsec', 'microsecond', 'microseconds'),
    unit('ns', 1, 1e9, 'nsec', 'nanosecond', 'nanoseconds'),
    unit('min', 60, 1, 'mins', 'minute', 'minutes'),
    unit('h', 3600, 1, 'hr', 'hrs', 'hour', 'hours'),
  ],
  power: [
    unit('W', 1, 1, 'watt', 'watts'),
    unit('kW', 1000, 1, 'kilowatt', 'kilowatts'),
    unit('hp', 550 * 0.3048 * POUND_FORCE_N, 1, 'bhp', 'horsepower'),
    unit('PS', 75 * GRAVITY, 1, 'cv', 'ch', 'pk'),
    unit('ft lbf/s', 0.3048 * POUND_FORCE_N, 1, 'ftlb/s', 'lbfft/s'),
  ],
  torque: [
    unit('N m', 1, 1, 'Nm', 'newtonmetre', 'newtonmeter', 'newtonmetres', 'newtonmeters'),
    unit(
      'lb ft',
      0.3048 * POUND_FORCE_N,
      1,
      'lbsft',
      'lbfft',
      'ftlb',
      'ftlbs',
      'ftlbf',
      'footpound',
      'footpounds',
      'poundfeet',
      'poundfoot',
    ),
    unit('in lb', 0.0254 * POUND_FORCE_N, 1, 'inlbs', 'inlbf', 'lbin', 'lbsin', 'lbfin'),
    unit('kgf m', GRAVITY, 1, 'kgm', 'mkg', 'mkgf', 'kpm'),
  ],
  force: [unit('N', 1, 1, 'newton', 'newtons'), unit('kN', 1000, 1), unit('lbf', POUND_FORCE_N, 1), unit('kgf', GRAVITY, 1, 'kp')],
  'mass-flow': [
    unit('kg/s', 1, 1, 'kg/sec'),
    unit('kg/min', 1, 60),
    unit('kg/h', 1, 3600, 'kg/hr'),
    unit('g/s', 1, 1000, 'g/sec', 'gm/s', 'gm/sec', 'grams/s', 'grams/sec', 'gps'),
    unit('g/min', 1, 60000),
    unit('mg/s', 1, 1e6),
    unit('lb/s', POUND_KG, 1, 'lbs/s'),
    unit('lb/min', POUND_KG, 60, 'lbs/min', 'lbm/min'),
    unit('lb/h', POUND_KG, 3600, 'lbs/h', 'lb/hr', 'lbs/hr', 'lbm/h', 'pph'),
  ],
  'volume-flow': [
    unit('m^3/s', 1, 1, 'm3/s'),
    unit('m^3/h', 1, 3600, 'm3/h', 'm3/hr'),
    unit('cc/min', 1, 6e7, 'cm3/min', 'ccm/min', 'mL/min'),
    unit('L/min', 1, 60000, 'lpm'),
    unit('L/h', 1, 3.6e6, 'L/hr', 'lph'),
    unit('gal/h', US_GALLON_M3, 3600, 'gal/hr', 'gph'),
    unit('cfm', 0.3048 ** 3, 60, 'ft3/min', 'cuft/min'),
  ],
  density: [
    unit('kg/m^3', 1, 1, 'kg/m3'),
    unit('kg/L', 1000, 1, 'kg/dm3', 'kg/litre', 'kg/liter'),
    unit('g/L', 1, 1),
    unit('g/cm^3', 1000, 1, 'g/cm3', 'g/cc', 'g/mL'),
    unit('lb/gal', POUND_KG / US_GALLON_M3, 1, 'lbs/gal', 'lb/galUS', 'lb/USgal', 'ppg'),
    unit('lb/ft^3', POUND_KG / 0.3048 ** 3, 1, 'lb/ft3', 'lbs/ft3', 'lb/cuft'),
  ],
  'specific-consumption': [
    unit('g/kWh', 1, 3.6e9, 'g/(kWh)'),
    unit('kg/J', 1, 1),
    unit('kg/kWh', 1, 3.6e6, 'kg/(kWh)'),
    unit('g/MJ', 1, 1e9),
    unit(
      'lb/(hp h)',
      POUND_KG / (550 * 0.3048 * POUND_FORCE_N * 3600),
      1,
      'lb/hph',
      'lb/hp/h',
      'lb/hphr',
      'lb/hp/hr',
      'lb/(hphr)',
      'lb/bhph',
      'lb/bhphr',
      'lbs/hphr',
    ),
  ],
  angle: [
    unit(
      'deg',
      1,
      1,
      '°',
      'degree',
      'degrees',
      '°BTDC',
      'degBTDC',
      'degreesBTDC',
      'BTDC',
      '°CA',
      'degCA',
      '°CABTDC',
      '°crank',
      'degcrank',
      '°KW',
    ),
    unit('rad', 180, Math.PI, 'radian', 'radians'),
  ],
  ratio: [
    unit('1', 1, 1, '-', '--', 'none', 'ratio', 'unitless', 'dimensionless'),
    unit('%', 1, 100, 'percent', 'pct', 'prozent', '%RH'),
    unit('‰', 1, 1000, 'permille'),
    unit('λ', 1, 1, 'lambda', 'lam'),
  ],
  'air-fuel-ratio': [unit('AFR', 1, 1, 'A/F', 'A:F', ':1AFR', 'AFR:1', 'airfuelratio', 'air/fuel')],
  voltage: [unit('V', 1, 1, 'volt', 'volts', 'Vdc'), unit('mV', 1, 1000, 'millivolt', 'millivolts')],
  acceleration: [
    unit('m/s^2', 1, 1, 'm/s2', 'm/sec2', 'm/s/s'),
    unit('g', GRAVITY, 1, 'G', 'gee', 'gees', 'gs'),
    unit('ft/s^2', 0.3048, 1, 'ft/s2', 'ft/sec2'),
  ],
  inertia: [unit('kg m^2', 1, 1, 'kgm2'), unit('lb ft^2', POUND_KG * 0.3048 ** 2, 1, 'lbft2')],
  frequency: [unit('Hz', 1, 1, 'hertz'), unit('kHz', 1000, 1)],
  'force-per-speed': [
    unit('N/(m/s)', 1, 1, 'Ns/m'),
    unit('N/(km/h)', 3.6, 1, 'N/kmh', 'N/kph'),
    unit('lbf/mph', POUND_FORCE_N / MPH, 1, 'lb/mph'),
  ],
  'force-per-speed-squared': [
    unit('N/(m/s)^2', 1, 1, 'N/(m/s)2', 'Ns2/m2'),
    unit('N/(km/h)^2', 3.6 ** 2, 1, 'N/(km/h)2', 'N/kmh2', 'N/kph2'),
    unit('lbf/mph^2', POUND_FORCE_N / MPH ** 2, 1, 'lbf/mph2', 'lb/mph2'),
  ],
};
