import type { Logger } from './logger.js';
import type { Random } from './random.js';
import type { LoggedChannel } from './sensor.js';
import { uniform } from './topEndFaults.js';

/** Which of the channels that are not always there were logged. */
export type TopEndLogged = ReadonlySet<string>;

const celsius = (kelvin: number): number => kelvin - 273.15;
const kilo = (pascal: number): number => pascal / 1000;
const percent = (share: number): number => 100 * share;

/** A logger with some of the channels, each with its own rate, lag, noise and step. */
export function drawLogger(
  random: Random,
  options: {
    readonly noise: number;
    readonly share: number;
    readonly blown: boolean;
    readonly coarse: boolean;
    readonly pressureEndKPa: number;
    readonly without: readonly string[];
  },
): { readonly logger: Logger; readonly logged: TopEndLogged } {
  const { noise, share, blown, coarse, pressureEndKPa, without } = options;
  const u = (low: number, high: number): number => uniform(random, low, high);
  const rateHz = coarse ? 10 : [10, 15, 20, 25][Math.floor(random.uniform() * 4)]!;
  const gain = (): number => 1 + 0.02 * random.normal();
  const slow = (): Partial<LoggedChannel> => (random.uniform() < 0.3 ? { rateHz: u(3, 8) } : {});
  const optional: readonly (LoggedChannel & { readonly key: string; readonly blownOnly?: boolean })[] = [
    {
      key: 'manifold-pressure',
      header: 'Manifold pressure (kPa abs)',
      source: 'manifoldPa',
      written: kilo,
      lagS: u(0.01, 0.05),
      noise: 0.5 * noise,
      scale: [0, pressureEndKPa],
      step: 0.1,
      decimals: 1,
      gain: pressureEndKPa < 400 ? 1 : gain(),
    },
    {
      key: 'rotor-speed',
      blownOnly: true,
      header: 'Rotor speed (rpm)',
      source: 'rotorRpm',
      noise: 15 * noise,
      step: 10,
      decimals: 0,
      ...slow(),
    },
    {
      key: 'air-mass-flow',
      header: 'Mass air flow (g/s)',
      source: 'airKgPerS',
      written: (kg) => 1000 * kg,
      noise: 0.6 * noise,
      step: 0.1,
      decimals: 1,
      gain: gain(),
      ...slow(),
    },
    {
      key: 'blower-inlet-pressure',
      header: 'Blower inlet pressure (kPa abs)',
      source: 'inletPa',
      written: kilo,
      noise: 0.2 * noise,
      step: 0.1,
      decimals: 1,
      gain: 1 + 0.003 * random.normal(),
      ...slow(),
    },
    {
      key: 'exhaust-pressure',
      header: 'Exhaust back pressure (kPa abs)',
      source: 'exhaustPa',
      written: kilo,
      noise: 0.8 * noise,
      step: 0.5,
      decimals: 1,
      gain: gain(),
    },
    {
      key: 'charge-temperature',
      header: 'Charge temperature (°C)',
      // Behind the cooler in most cars, before it in some.
      source: random.uniform() < 0.85 ? 'chargeK' : 'outletK',
      written: celsius,
      lagS: u(0.15, 1.2),
      noise: 0.2 * noise,
      step: 0.5,
      decimals: 1,
      ...slow(),
    },
    {
      key: 'intake-temperature',
      header: 'Intake air temperature (°C)',
      source: 'intakeK',
      written: celsius,
      lagS: u(0.2, 2),
      noise: 0.2 * noise,
      step: 0.5,
      decimals: 1,
      ...slow(),
    },
    { key: 'spark-advance', header: 'Spark advance (deg)', source: 'sparkDeg', noise: 0.15 * noise, step: 0.25, decimals: 2 },
    { key: 'knock-retard', header: 'Knock retard (deg)', source: 'knockDeg', step: 0.25, decimals: 2 },
    {
      key: 'lambda',
      header: 'Lambda',
      source: 'lambda',
      scale: [0.65, 1.5],
      lagS: u(0.05, 0.2),
      noise: 0.005 * noise,
      step: 0.001,
      decimals: 3,
      gain: gain(),
    },
    { key: 'commanded-lambda', header: 'Commanded lambda', source: 'lambdaTarget', step: 0.005, decimals: 3 },
    {
      key: 'injector-pulse-width',
      header: 'Injector pulse width (ms)',
      source: 'injectorPulseS',
      written: (s) => 1000 * s,
      noise: 0.02 * noise,
      step: 0.01,
      decimals: 2,
    },
    {
      key: 'fuel-pressure',
      header: 'Fuel pressure (kPa gauge)',
      source: 'railPa',
      written: kilo,
      noise: 2 * noise,
      step: 1,
      decimals: 0,
      ...slow(),
    },
    { key: 'throttle', header: 'Throttle position (%)', source: 'throttle', written: percent, noise: 0.2 * noise, step: 0.4, decimals: 1 },
    {
      key: 'bypass-duty',
      blownOnly: true,
      header: 'Bypass position (%)',
      source: 'bypass',
      written: percent,
      noise: 0.5 * noise,
      step: 0.5,
      decimals: 1,
    },
  ];
  const kept = optional.filter(({ key, blownOnly }) => {
    const drawn = random.uniform() < (key === 'manifold-pressure' ? 0.95 : share);
    return (drawn || (key === 'manifold-pressure' && pressureEndKPa < 400)) && (blown || blownOnly !== true);
  });
  const logged = kept.filter(({ key }) => !without.includes(key));
  return {
    logged: new Set(logged.map(({ key }) => key)),
    logger: {
      rateHz,
      jitterS: 0.002,
      channels: [
        { header: 'Engine speed (rpm)', source: 'engineSpeedRpm', noise: (coarse ? 12 : 4) * noise, step: coarse ? 10 : 1, decimals: 0 },
        { header: 'Road speed (km/h)', source: 'speedMps', written: (mps) => 3.6 * mps, noise: 0.05, step: coarse ? 1 : 0.1, decimals: 1 },
        { header: 'Pedal position (%)', source: 'pedal', written: percent, step: 1, decimals: 0 },
        ...logged.map(({ key: _key, blownOnly: _blownOnly, ...channel }) => channel),
      ],
      dialect: { delimiter: ',', decimal: '.', lineEnd: '\n', timeHeader: 'Time (s)', timeDecimals: 3 },
    },
  };
}
