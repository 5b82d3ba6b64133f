import { baseSetup, coolerSetup, pulleySetup, type SampleSetup } from './sampleCar.js';

/** One outing's day: same road, same air within a little. */
export interface SampleOuting {
  readonly name: string;
  /** Factor on every pull of the outing. */
  readonly luck: number;
  readonly windNorthMps: number;
}

/** One run: a log of three pulls in one direction. */
export interface SampleRun {
  readonly log: string;
  readonly setup: SampleSetup;
  readonly outing: SampleOuting;
  readonly when: string;
  readonly direction: 'north' | 'south';
  readonly fuelL: number;
  readonly temperatureC: number;
  readonly pressureKPa: number;
  readonly humidityPercent: number;
  readonly decimal: 'point' | 'comma';
}

const saturday: SampleOuting = { name: 'saturday', luck: 1.004, windNorthMps: 1.2 };
const sunday: SampleOuting = { name: 'sunday', luck: 0.994, windNorthMps: 0.6 };

/** The road climbs a little towards the north, in percent. */
export const roadGradePercent = 0.2;

function run(
  log: string,
  setup: SampleSetup,
  outing: SampleOuting,
  time: string,
  direction: SampleRun['direction'],
  fuelL: number,
  [temperatureC, pressureKPa, humidityPercent]: readonly [number, number, number],
): SampleRun {
  const when = `${outing === saturday ? '2026-05-16' : '2026-05-17'}T${time}`;
  const decimal = outing === saturday ? 'point' : 'comma';
  return { log, setup, outing, when, direction, fuelL, temperatureC, pressureKPa, humidityPercent, decimal };
}

/** In the order they were driven. On Sunday the base came first and last, the change between. */
export const sampleRuns: readonly SampleRun[] = [
  run('base-north.csv', baseSetup, saturday, '17:40', 'north', 42, [21.5, 98.9, 48]),
  run('base-south.csv', baseSetup, saturday, '17:52', 'south', 40, [21.5, 98.9, 48]),
  run('cooler-north.csv', coolerSetup, saturday, '19:15', 'north', 37, [20.5, 98.9, 51]),
  run('cooler-south.csv', coolerSetup, saturday, '19:26', 'south', 35, [20, 98.9, 52]),
  run('base-again-north.csv', baseSetup, sunday, '17:05', 'north', 48, [22.5, 98.7, 44]),
  run('pulley-north.csv', pulleySetup, sunday, '17:50', 'north', 45, [22.5, 98.7, 44]),
  run('pulley-south.csv', pulleySetup, sunday, '18:01', 'south', 43, [22, 98.7, 45]),
  run('base-again-south.csv', baseSetup, sunday, '18:45', 'south', 40, [22, 98.7, 46]),
];
