/** What fuel supply and the routes to power take where nothing was entered. */

export type InputKey =
  | 'deadTime'
  | 'injectorFlow'
  | 'railPressure'
  | 'ratedPressure'
  | 'railFollows'
  | 'fuelPressureSensor'
  | 'fuelDensity'
  | 'drivetrainEfficiency'
  | 'volumetricEfficiency'
  | 'chargeTemperature'
  | 'manifoldPressureSensor'
  | 'airMeter'
  | 'fuelMeter'
  | 'lambda'
  | 'assumedLambda'
  | 'stoich'
  | 'consumption'
  | 'enteredConsumption';

/** A value that stands in for one left out, with one standard uncertainty. */
interface SupplyDefault {
  readonly name: string;
  readonly value: number;
  readonly spread: number;
  readonly unit: string;
  readonly source: string;
  /** Field of the trial file that takes the value; null where there is none. */
  readonly field: string | null;
  /** How to do better. */
  readonly fix: string;
  /** Whether the trial or the log could have told it; what is a tolerance of a sensor only stands in the list of assumptions. */
  readonly entered: boolean;
}

export const practice: string = 'common practice, no source';
/** One standard uncertainty of a value that lies somewhere between two bounds (JCGM 100:2008, 4.3.7). */
export const between = (low: number, high: number): { readonly value: number; readonly spread: number } => ({
  value: (low + high) / 2,
  spread: (high - low) / Math.sqrt(12),
});
export const perKWh: number = 1 / 3.6e9;

/** What is taken where nothing was entered. `fix` says how to do better. */
export const supplyDefaults: Readonly<Record<InputKey, SupplyDefault>> = {
  deadTime: {
    name: 'dead time of the injectors',
    value: 1e-3,
    spread: 0.25e-3,
    unit: 's',
    source: `port injectors near 14 V; ${practice}`,
    field: 'car.injectors.dead-time',
    fix: 'Give car.injectors.dead-time: 0.9 ms, from the maker’s sheet at 14 V and your pressure.',
    entered: true,
  },
  injectorFlow: {
    name: 'flow of the injectors over their rating',
    value: 1,
    spread: 0.04,
    unit: '1',
    source: `maker’s tolerance, and a test fluid other than the fuel; ${practice}`,
    field: null,
    fix: 'Have the injectors measured, with your fuel or its density noted.',
    entered: false,
  },
  railPressure: {
    name: 'pressure across the injectors over what was entered',
    value: 1,
    spread: 0.05,
    unit: '1',
    source: `a regulator as set, and the pump keeping up; ${practice}`,
    field: 'car.injectors.rail-pressure',
    fix: 'Log fuel pressure, or give car.injectors.rail-pressure as read on a gauge.',
    entered: true,
  },
  ratedPressure: {
    name: 'pressure that the injectors were rated at',
    value: 3e5,
    spread: 0.2e5,
    unit: 'Pa',
    source: `3 bar; ${practice}`,
    field: 'car.injectors.at-pressure',
    fix: 'Give car.injectors.at-pressure: 3 bar.',
    entered: true,
  },
  railFollows: {
    name: 'how far the fuel rail follows manifold pressure',
    ...between(0, 1),
    unit: '1',
    source: 'not said: anything from a fixed rail to one that follows wholly',
    field: 'car.injectors.rail',
    fix: 'Give car.injectors.rail: referenced, or fixed.',
    entered: true,
  },
  fuelPressureSensor: {
    name: 'fuel-pressure sensor, over what it reads',
    value: 1,
    spread: 0.02,
    unit: '1',
    source: practice,
    field: null,
    fix: 'Compare the sensor with a gauge.',
    entered: false,
  },
  fuelDensity: {
    name: 'density of the fuel',
    value: 745,
    spread: 15,
    unit: 'kg/m³',
    source: practice,
    field: 'car.fuel-density',
    fix: 'Give car.fuel-density.',
    entered: false,
  },
  drivetrainEfficiency: {
    name: 'share of the crank’s power that reaches the road',
    ...between(0.8, 0.92),
    unit: '1',
    source: `0.80 to 0.92; ${practice}`,
    field: 'car.drivetrain-efficiency',
    fix: 'Give car.drivetrain-efficiency where it is known for this car.',
    entered: true,
  },
  volumetricEfficiency: {
    name: 'volumetric efficiency at full load, on manifold density',
    ...between(0.8, 1.05),
    unit: '1',
    source: `0.80 to 1.05; ${practice}`,
    field: 'car.volumetric-efficiency',
    fix: 'Give car.volumetric-efficiency from the calibration or a flow measurement, or log an air meter.',
    entered: true,
  },
  chargeTemperature: {
    name: 'charge at the ports beside what the sensor reads',
    value: 0,
    spread: 8,
    unit: 'K',
    source: `a sensor in the manifold lags and soaks, 5 to 30 K; ${practice}`,
    field: null,
    fix: 'Log the temperature in the manifold with a quick sensor.',
    entered: false,
  },
  manifoldPressureSensor: {
    name: 'manifold-pressure sensor, over what it reads',
    value: 1,
    spread: 0.01,
    unit: '1',
    source: practice,
    field: null,
    fix: 'Compare it with the barometer, engine off.',
    entered: false,
  },
  airMeter: {
    name: 'air meter, over what it reads',
    value: 1,
    spread: 0.05,
    unit: '1',
    source: `a meter in its own housing and intake; ${practice}`,
    field: null,
    fix: 'Use the calibration of the meter for the intake that is fitted.',
    entered: false,
  },
  fuelMeter: {
    name: 'fuel-flow channel, over what it reads',
    value: 1,
    spread: 0.05,
    unit: '1',
    source: `most are worked out by the engine’s computer; ${practice}`,
    field: null,
    fix: 'Check it against fuel pumped over a tank.',
    entered: false,
  },
  lambda: {
    name: 'lambda, over what was read',
    value: 1,
    spread: 0.015,
    unit: '1',
    source: `wide-band sensor; ${practice}`,
    field: null,
    fix: 'Check the sensor in free air.',
    entered: false,
  },
  assumedLambda: {
    name: 'lambda at full load',
    value: 0.85,
    spread: 0.05,
    unit: '1',
    source: practice,
    field: null,
    fix: 'Log lambda.',
    entered: true,
  },
  stoich: {
    name: 'stoichiometric air-fuel ratio',
    value: 14.35,
    spread: 0.2,
    unit: '1',
    source: practice,
    field: 'car.fuel-type',
    fix: 'Give car.fuel-type.',
    entered: false,
  },
  consumption: {
    name: 'petrol burnt for the energy at the crank, the rich part not counted',
    ...between(228 * perKWh, 331 * perKWh),
    unit: 'kg/J',
    source: practice,
    field: 'car.specific-consumption',
    fix: 'Give car.specific-consumption from a dynamometer.',
    entered: true,
  },
  enteredConsumption: {
    name: 'specific consumption at full load',
    ...between(228 * perKWh, 331 * perKWh),
    unit: 'kg/J',
    source: 'car.specific-consumption',
    field: 'car.specific-consumption',
    fix: '',
    entered: false,
  },
};
