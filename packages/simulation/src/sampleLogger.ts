import type { Logger } from './logger.js';
import type { LoggedChannel } from './sensor.js';

const celsius = (kelvin: number): number => kelvin - 273.15;
const kilo = (pascal: number): number => pascal / 1000;
const percent = (share: number): number => 100 * share;

/** Name, unit and everything else; the header joins name and unit as the dialect wants them. */
const channels: readonly (Omit<LoggedChannel, 'header'> & { readonly name: string })[] = [
  { name: 'Engine speed', unit: 'rpm', source: 'engineSpeedRpm', noise: 4, silentAtZero: true, step: 1, decimals: 0 },
  {
    name: 'Road speed',
    unit: 'km/h',
    source: 'speedMps',
    written: (mps) => 3.6 * mps,
    noise: 0.05,
    silentAtZero: true,
    step: 0.1,
    decimals: 1,
  },
  { name: 'Pedal position', unit: '%', source: 'pedal', written: percent, step: 0.5, decimals: 1 },
  { name: 'Throttle position', unit: '%', source: 'throttle', written: percent, scale: [0, 100], noise: 0.15, step: 0.1, decimals: 1 },
  { name: 'Manifold pressure', unit: 'kPa abs', source: 'manifoldPa', written: kilo, lagS: 0.02, noise: 0.5, step: 0.1, decimals: 1 },
  { name: 'Barometric pressure', unit: 'kPa', source: 'baroPa', written: kilo, noise: 0.04, step: 0.1, rateHz: 1, decimals: 1 },
  {
    name: 'Intake air temperature',
    unit: '°C',
    source: 'intakeK',
    written: celsius,
    lagS: 3,
    noise: 0.1,
    step: 0.5,
    rateHz: 2,
    decimals: 1,
  },
  { name: 'Charge temperature', unit: '°C', source: 'chargeK', written: celsius, lagS: 0.3, noise: 0.15, step: 0.1, decimals: 1 },
  { name: 'Coolant temperature', unit: '°C', source: 'coolantK', written: celsius, noise: 0.2, step: 0.5, rateHz: 1, decimals: 1 },
  {
    name: 'Lambda',
    unit: '',
    source: 'lambda',
    scale: [0.65, 1.4],
    lagS: 0.06,
    noise: 0.004,
    step: 0.001,
    decimals: 3,
  },
  { name: 'Commanded lambda', unit: '', source: 'lambdaTarget', step: 0.005, decimals: 3 },
  { name: 'Spark advance', unit: 'deg', source: 'sparkDeg', step: 0.1, decimals: 1 },
  { name: 'Knock retard', unit: 'deg', source: 'knockRetardDeg', step: 0.1, decimals: 1 },
  { name: 'Injector pulse width', unit: 'ms', source: 'injectorPulseS', written: (s) => 1000 * s, step: 0.01, decimals: 2 },
  { name: 'Injector duty', unit: '%', source: 'injectorDuty', written: percent, step: 0.1, decimals: 1 },
  { name: 'Fuel pressure', unit: 'kPa', source: 'fuelPressurePa', written: kilo, noise: 1.5, step: 1, decimals: 0 },
  { name: 'Battery voltage', unit: 'V', source: 'batteryV', noise: 0.03, step: 0.01, rateHz: 2, decimals: 2 },
];

/** The sample car's logger, 20 rows a second. `point`: comma between cells, units in the names; `comma`: semicolon and decimal comma, a row of units. */
export function sampleLogger(decimal: 'point' | 'comma'): Logger {
  const comma = decimal === 'comma';
  return {
    rateHz: 20,
    jitterS: 0.002,
    channels: channels.map(({ name, ...rest }) => ({ ...rest, header: comma || rest.unit === '' ? name : `${name} (${rest.unit})` })),
    dialect: {
      delimiter: comma ? ';' : ',',
      decimal: comma ? ',' : '.',
      lineEnd: comma ? '\r\n' : '\n',
      timeHeader: comma ? 'Time' : 'Time (s)',
      timeUnit: 's',
      unitsRow: comma,
      timeDecimals: 3,
    },
  };
}
