import { moistAirDensity } from './air.js';
import type { Car, Surroundings } from './car.js';
import { smoothPower } from './powerCurve.js';

/** The invented rear-drive car of the studies: 1600 kg as driven, about 200 kW at the wheels. */
export const studyCar: Car = {
  massKg: 1600,
  dragAreaM2: 0.69,
  rollingCoefficient: 0.0125,
  tyreRadiusM: 0.316,
  gearRatios: [3.27, 2.05, 1.41, 1, 0.78],
  finalDrive: 3.64,
  wheelInertiaKgM2: 4.4,
  engineInertiaKgM2: 0.22,
  idleRpm: 820,
  engineBrakingNm: 45,
  slipPerWeight: 0,
};

/** The car's steady-state wheel power, W, smooth from 1000 to 7500 rpm. */
export const studyPowerW: (engineSpeedRpm: number) => number = smoothPower([
  [1000, 32e3],
  [2500, 92e3],
  [4000, 160e3],
  [5500, 202e3],
  [6500, 200e3],
  [7500, 178e3],
]);

/** Still air on a level road: 22 °C, 99.2 kPa, 45 %. */
export const studyAir: Surroundings = { airDensityKgPerM3: moistAirDensity(295.15, 99_200, 0.45), headwindMps: 0, grade: 0 };

/** One run of a study as the trial file names it. */
export interface StudyRun {
  readonly log: string;
  readonly outing: string;
}

/** The trial file that describes the study car exactly, with its setups and runs. */
export function studyTrialYaml(title: string, setups: readonly { readonly name: string; readonly runs: readonly StudyRun[] }[]): string {
  const setupLines = setups.flatMap(({ name, runs }) => [
    `  - name: ${name}`,
    '    runs:',
    ...runs.map(
      ({ log, outing }) =>
        `      - { log: ${log}, outing: ${outing}, fuel-in-tank: 40 L, air: { temperature: 22 degC, pressure: 99.2 kPa, humidity: 45 % }, wind: 0 m/s, grade: 0 % }`,
    ),
  ]);
  return [
    'trial: 1',
    `title: ${title}`,
    'units: metric',
    'car:',
    '  name: study coupe',
    // 1483 + 82 + 35 kg, with 40 L in the tank on the scale and on the road: 1600 kg.
    '  weighed: { mass: 1483 kg, fuel-in-tank: 40 L, driver: out }',
    '  driver: 82 kg',
    '  cargo: 35 kg',
    '  tank: 60 L',
    '  fuel-density: 0.745 kg/L',
    `  drag-area: ${studyCar.dragAreaM2} m^2`,
    `  rolling-coefficient: ${studyCar.rollingCoefficient}`,
    `  tyre-radius: ${studyCar.tyreRadiusM} m`,
    `  gear-ratios: [${studyCar.gearRatios.join(', ')}]`,
    `  final-drive: ${studyCar.finalDrive}`,
    '  transmission: manual',
    '  driven: rear',
    `  wheel-inertia: ${studyCar.wheelInertiaKgM2} kg m^2`,
    `  engine-inertia: ${studyCar.engineInertiaKgM2} kg m^2`,
    '  displacement: 3.0 L',
    '  cylinders: 6',
    '  redline: 6900 rpm',
    '  boost-control: none',
    'setups:',
    ...setupLines,
    '',
  ].join('\n');
}
