import { baseSetup, coolerSetup, pulleySetup, type SampleSetup, sampleCar, sampleEntries } from './sampleCar.js';
import { roadGradePercent, type SampleRun, sampleRuns } from './sampleRuns.js';
import { sampleLaunch, slipLines } from './sampleStrip.js';

function runLines(run: SampleRun): string[] {
  const sign = run.direction === 'north' ? 1 : -1;
  return [
    `      - log: ${run.log}`,
    `        when: ${run.when}`,
    `        outing: ${run.outing.name}`,
    `        direction: ${run.direction}`,
    `        fuel-in-tank: ${run.fuelL} L`,
    `        air: { temperature: ${run.temperatureC} degC, pressure: ${run.pressureKPa} kPa, humidity: ${run.humidityPercent} % }`,
    `        wind: ${sign * run.outing.windNorthMps} m/s`,
    `        grade: ${sign * roadGradePercent} %`,
  ];
}

/** What the owner wrote down for each change. The bolts of the smaller pulley carry a slip of the unit: lb ft for lb in. */
const changeLines: ReadonlyMap<SampleSetup, readonly string[]> = new Map([
  [
    coolerSetup,
    [
      '    changes:',
      '      parts: [charge cooler of twice the volume, second water pump]',
      '      fasteners:',
      '        - { where: cooler to cradle, size: M8x1.25, class: 8.8, torque: 22 N m }',
      '        - { where: water pump bracket, size: M6, class: 8.8, torque: 80 lb in }',
      '      hoses: [water hoses 19 mm, renewed]',
      '      notes: [bled twice]',
    ],
  ],
  [
    pulleySetup,
    [
      '    changes:',
      '      parts: [blower pulley of 74 mm]',
      '      fasteners:',
      '        - { where: pulley bolts, size: M6, class: 8.8, torque: 18 lb ft }',
      '        - { where: belt tensioner, size: M10x1.5, class: 8.8, torque: 45 N m }',
      '      belts: [eight ribs, 20 mm shorter]',
      '      notes: [belt tension checked cold]',
    ],
  ],
]);

function setupLines(setup: SampleSetup, calibration: string): string[] {
  return [
    `  - name: ${setup.name}`,
    `    blower-pulley: ${setup.pulleyMm} mm`,
    `    calibration: ${calibration}`,
    ...(changeLines.get(setup) ?? []),
    '    runs:',
    ...sampleRuns.filter((run) => run.setup === setup).flatMap(runLines),
  ];
}

/** The sample's trial file, made of the numbers that the simulated car is made of. */
export function sampleTrialYaml(): string {
  const car = sampleCar(sampleEntries.scaleFuelL);
  const e = sampleEntries;
  return [
    '# Invented car, invented runs: see README.md. Written by tools/makeSampleLogs.js.',
    'trial: 1',
    'title: Charge cooler or smaller pulley',
    'units: metric',
    'car:',
    '  name: weekend coupe',
    `  weighed: { mass: ${e.scaleMassKg} kg, fuel-in-tank: ${e.scaleFuelL} L, driver: out }`,
    `  driver: ${e.driverKg} kg`,
    `  cargo: ${e.cargoKg} kg`,
    `  tank: ${e.tankL} L`,
    `  fuel-density: ${e.fuelKgPerL} kg/L`,
    '  fuel-type: { stoich-afr: 14.1 }',
    `  drag-area: ${car.dragAreaM2} m^2`,
    `  rolling-coefficient: ${car.rollingCoefficient}`,
    `  tyre-radius: ${car.tyreRadiusM} m`,
    `  gear-ratios: [${car.gearRatios.map((ratio) => ratio.toFixed(2)).join(', ')}]`,
    `  final-drive: ${car.finalDrive}`,
    '  transmission: manual',
    '  driven: rear',
    `  wheel-inertia: ${car.wheelInertiaKgM2} kg m^2`,
    `  engine-inertia: ${car.engineInertiaKgM2} kg m^2`,
    '  displacement: 2.8 L',
    '  cylinders: 6',
    '  redline: 6800 rpm',
    '  boost-control: fixed-ratio',
    `  blower: { displacement: 1.25 L, crank-pulley: ${e.crankPulleyMm} mm, max-rotor-speed: 16500 rpm }`,
    `  injectors: { count: 6, flow: ${e.injectorCcPerMin} cc/min, at-pressure: 3 bar, rail: referenced }`,
    '  targets: { lambda: 0.81, leanest-lambda: 0.86 }',
    `  launch: { wheelbase: 2.6 m, cg-height: 0.5 m, driven-axle-share: 52 %, rpm: ${sampleLaunch.rpm} rpm, shift-rpm: ${sampleLaunch.shiftRpm} rpm, shift-time: ${sampleLaunch.shiftTimeS} s }`,
    'setups:',
    ...setupLines(baseSetup, 'road 4'),
    ...setupLines(coolerSetup, 'road 4'),
    ...setupLines(pulleySetup, 'road 4'),
    ...slipLines(),
    '',
  ].join('\n');
}
