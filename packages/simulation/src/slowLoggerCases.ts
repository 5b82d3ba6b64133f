import type { Car } from './car.js';
import { drive } from './drive.js';
import { type PhoneLogger, phoneLog } from './phoneLogger.js';
import { smoothPower } from './powerCurve.js';
import { seededRandom } from './random.js';
import type { LoggedChannel } from './sensor.js';
import { studyAir, studyCar, studyPowerW } from './studyCar.js';

/** An engine with the car around it, and the engine speeds that a pull runs through. */
interface SlowCar {
  readonly car: Car;
  readonly powerW: (rpm: number) => number;
  readonly fromRpm: number;
  readonly toRpm: number;
}

/** The study car with three engines. */
export const slowCars: Readonly<Record<'petrol' | 'turbo' | 'diesel', SlowCar>> = {
  petrol: { car: studyCar, powerW: studyPowerW, fromRpm: 2200, toRpm: 6600 },
  turbo: {
    car: studyCar,
    powerW: smoothPower([
      [1500, 26e3],
      [2300, 66e3],
      [3200, 118e3],
      [4400, 165e3],
      [5600, 186e3],
      [6600, 178e3],
    ]),
    fromRpm: 2200,
    toRpm: 6300,
  },
  diesel: {
    car: { ...studyCar, finalDrive: 2.7, idleRpm: 800, engineInertiaKgM2: 0.3 },
    powerW: smoothPower([
      [1200, 26e3],
      [1800, 58e3],
      [2600, 92e3],
      [3400, 113e3],
      [4200, 115e3],
      [4800, 101e3],
    ]),
    fromRpm: 1500,
    toRpm: 4400,
  },
};

/** Satellite speed that a phone adds: none, an old phone's late one, or a receiver's. */
export const satellites: Readonly<Record<'none' | '1 Hz late' | '5 Hz' | '10 Hz', LoggedChannel | null>> = {
  none: null,
  '1 Hz late': satellite(1, 0.8),
  '5 Hz': satellite(5, 0.3),
  '10 Hz': satellite(10, 0.2),
};

function satellite(rateHz: number, lateS: number): LoggedChannel {
  return {
    header: 'GPS Speed (km/h)',
    source: 'speedMps',
    written: (mps) => 3.6 * mps,
    rateHz,
    lateS,
    noise: 0.15,
    wander: { spread: 0.2, timeS: 4 },
    step: 0.01,
    decimals: 2,
  };
}

/** What is varied. */
export interface SlowCase {
  /** Readings of each channel a second. */
  readonly rateHz: number;
  readonly satellite: keyof typeof satellites;
  readonly gear: 2 | 3;
  readonly engine: keyof typeof slowCars;
  /** Gain of `after` over `before`. */
  readonly gainShare: number;
  readonly pulls?: number;
  /** True over logged road speed, 1 when left out: 1.03 reads 3 % low. */
  readonly speedScale?: number;
  /** Whole km/h, rounded or cut off; by the seed when left out. */
  readonly rounding?: 'nearest' | 'down';
  /** Whether the trial states gear ratios, final drive and inertias; true when left out. */
  readonly gearingStated?: boolean;
  /** What the car is left without. */
  readonly without?: 'pedal' | 'road speed' | 'engine speed';
  /** Pulls alternate on a road with this slope and wind, there and back. */
  readonly bothWays?: { readonly grade: number; readonly headwindMps: number };
}

/** A trial, its logs and what is true of it. */
export interface SlowTrial {
  readonly trial: string;
  readonly logs: ReadonlyMap<string, string>;
  readonly truthW: (rpm: number) => number;
  readonly toRpm: number;
}

/** Standard deviation of a pull's own factor. */
const pullSpread = 0.004;

/** One trial of two setups, `before` and `after`, logged by a phone. The same arguments give the same text. */
export function slowTrial(one: SlowCase, seed: number): SlowTrial {
  const { rateHz, gear, engine, gainShare, pulls = 4, speedScale = 1, gearingStated = true, without } = one;
  const random = seededRandom(seed);
  const { car, powerW, fromRpm, toRpm } = slowCars[engine];
  const rounding = one.rounding ?? (random.uniform() < 0.5 ? 'down' : 'nearest');
  const rows = (['new', 'round', 'new', Math.max(4, 2 * rateHz)] as const)[Math.floor(4 * random.uniform())]!;
  const port: LoggedChannel[] = [
    { header: 'Engine RPM (rpm)', source: 'engineSpeedRpm', noise: 6, silentAtZero: true, step: 0.25, decimals: 2, lateS: 0.05 },
    {
      header: 'Vehicle speed (km/h)',
      source: 'drivenWheelSpeedMps',
      written: (mps) => (3.6 * mps) / speedScale,
      lagS: 0.12,
      lateS: 0.1,
      step: 1,
      rounding,
      decimals: 0,
    },
    { header: 'Accelerator pedal position D (%)', source: 'pedal', written: (share) => 14.5 + 72 * share, step: 0.4, decimals: 1 },
    { header: 'Engine load (%)', source: 'load', written: (share) => 100 * share, noise: 1, scale: [0, 100], step: 0.4, decimals: 1 },
  ];
  const kept = port.filter(({ header }) => {
    if (without === 'pedal') return !/pedal|load/.test(header);
    if (without === 'road speed') return !/Vehicle/.test(header);
    return without !== 'engine speed' || !/RPM/.test(header);
  });
  const phone = satellites[one.satellite];
  const logger: PhoneLogger = {
    port: kept,
    answersHz: kept.length * rateHz,
    lostShare: 0.01,
    phone: phone === null ? [] : [phone],
    rows,
  };
  const logs = new Map<string, string>();
  for (const [i, setup] of ['before', 'after'].entries()) {
    const gain = i === 0 ? 1 : 1 + gainShare;
    for (const way of one.bothWays === undefined ? [1] : [1, -1]) {
      const phases = Array.from({ length: one.bothWays === undefined ? pulls : pulls / 2 }, () => {
        const lowest = fromRpm * (1 + 0.04 * (2 * random.uniform() - 1));
        return {
          kind: 'pull',
          gear,
          fromRpm: lowest,
          toRpm,
          scale: 1 + pullSpread * random.normal(),
          leadS: 2 + random.uniform(),
        } as const;
      });
      const around = { ...studyAir, grade: way * (one.bothWays?.grade ?? 0), headwindMps: way * (one.bothWays?.headwindMps ?? 0) };
      const driven = drive(car, around, { fullLoadWheelPowerW: (rpm) => powerW(rpm) * gain }, phases, { stepS: 0.01 });
      logs.set(`${setup}${way < 0 ? '-back' : ''}.csv`, phoneLog(driven, logger, random));
    }
  }
  return { trial: trialText(one, car, gearingStated, [...logs.keys()]), logs, truthW: powerW, toRpm };
}

function trialText(one: SlowCase, car: Car, gearingStated: boolean, logs: readonly string[]): string {
  const setups = ['before', 'after'].flatMap((setup) => [
    `  - name: ${setup}`,
    '    runs:',
    ...logs
      .filter((log) => log.startsWith(setup))
      .map(
        (log) =>
          `      - { log: ${log}, outing: saturday, fuel-in-tank: 40 L, air: { temperature: 22 degC, pressure: 99.2 kPa, humidity: 45 % }, wind: 0 m/s, grade: 0 %${one.without === 'road speed' ? `, gear: ${one.gear}` : ''} }`,
      ),
  ]);
  return [
    'trial: 1',
    'title: Phone on the port',
    'units: metric',
    'car:',
    '  name: study coupe',
    '  weighed: { mass: 1483 kg, fuel-in-tank: 40 L, driver: out }',
    '  driver: 82 kg',
    '  cargo: 35 kg',
    '  fuel-density: 0.745 kg/L',
    `  drag-area: ${car.dragAreaM2} m^2`,
    `  rolling-coefficient: ${car.rollingCoefficient}`,
    `  tyre-radius: ${car.tyreRadiusM} m`,
    ...(gearingStated ? [`  gear-ratios: [${car.gearRatios.join(', ')}]`, `  final-drive: ${car.finalDrive}`] : []),
    '  transmission: manual',
    ...(gearingStated ? [`  wheel-inertia: ${car.wheelInertiaKgM2} kg m^2`, `  engine-inertia: ${car.engineInertiaKgM2} kg m^2`] : []),
    'setups:',
    ...setups,
    '',
  ].join('\n');
}
