import type { Car } from './car.js';
import type { TopEndEngineSpec } from './topEndEngine.js';

/** The trial file of a case, as its owner would write it: the car as it is, the pulleys where a blower has them. */
export function topEndTrial(about: { readonly car: Car; readonly spec: TopEndEngineSpec; readonly ratioGain: number | null }): string {
  const { car, spec, ratioGain } = about;
  const crankMm = 160;
  const pulleyMm = spec.blower === null ? null : crankMm / spec.blower.driveRatio;
  const air = `{ temperature: ${(spec.ambientK - 273.15).toFixed(1)} degC, pressure: ${(spec.ambientPa / 1000).toFixed(2)} kPa, humidity: 45 % }`;
  const setup = (name: string, mm: number | null): string[] => [
    `  - name: ${name}`,
    ...(mm === null ? [] : [`    blower-pulley: ${mm.toFixed(2)} mm`]),
    `    runs: [ { log: ${name}.csv, outing: evening, fuel-in-tank: 40 L, air: ${air}, wind: 0 m/s, grade: 0 % } ]`,
  ];
  return [
    'trial: 1',
    'title: A gain that fades',
    'units: metric',
    'car:',
    '  name: invented coupe',
    `  weighed: { mass: ${(car.massKg - 80).toFixed(1)} kg, fuel-in-tank: 40 L, driver: out }`,
    '  driver: 80 kg',
    '  cargo: 0 kg',
    '  tank: 60 L',
    '  fuel-density: 0.745 kg/L',
    `  drag-area: ${car.dragAreaM2.toFixed(4)} m^2`,
    `  rolling-coefficient: ${car.rollingCoefficient}`,
    `  tyre-radius: ${car.tyreRadiusM.toFixed(4)} m`,
    `  gear-ratios: [${car.gearRatios.join(', ')}]`,
    `  final-drive: ${car.finalDrive.toFixed(4)}`,
    '  transmission: manual',
    `  wheel-inertia: ${car.wheelInertiaKgM2} kg m^2`,
    `  engine-inertia: ${car.engineInertiaKgM2} kg m^2`,
    `  displacement: ${(spec.engineVolumeM3 * 1000).toFixed(3)} L`,
    `  cylinders: ${spec.cylinders}`,
    '  redline: 7200 rpm',
    `  boost-control: ${spec.blower === null ? 'none' : 'fixed-ratio'}`,
    ...(spec.blower === null
      ? []
      : [`  blower: { displacement: ${(spec.blower.volumeM3 * 1000).toFixed(3)} L, crank-pulley: ${crankMm} mm }`]),
    '  injectors: { count: 6, rail: referenced }',
    'setups:',
    ...setup('before', pulleyMm),
    ...setup('after', pulleyMm === null || ratioGain === null ? null : pulleyMm / ratioGain),
    '',
  ].join('\n');
}
