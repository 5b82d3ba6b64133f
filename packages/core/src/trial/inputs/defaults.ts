/** What is assumed for whatever a trial leaves out, and how uncertain an entered value is taken to be. Each spread is one standard uncertainty. */

/** A value that stands in for one left out. */
export interface Default {
  /** For people, lower case. */
  readonly quantity: string;
  readonly value: number;
  readonly spread: number;
  /** SI unit of value and spread. */
  readonly unit: string;
  /** Unit that people read it in. */
  readonly shownIn: string;
  readonly source: string;
  /** Field of the trial file that takes the value. */
  readonly field: string;
  /** How to supply the value. */
  readonly supply: string;
}

export type DefaultName =
  | 'carMass'
  | 'driver'
  | 'driverOnScale'
  | 'cargo'
  | 'fuelLevel'
  | 'fuelLevelOnScale'
  | 'tank'
  | 'fuelDensity'
  | 'dragArea'
  | 'rolling'
  | 'tyreRadius'
  | 'temperature'
  | 'pressure'
  | 'pressureAtElevation'
  | 'humidity'
  | 'wind'
  | 'grade'
  | 'wheelInertia'
  | 'engineInertia'
  | 'stoich'
  | 'gaugeStoich';

const practice = 'common practice, no source';

export const defaults: Readonly<Record<DefaultName, Default>> = {
  carMass: {
    quantity: 'mass of the car without driver and fuel',
    value: 1500,
    spread: 200,
    unit: 'kg',
    shownIn: 'kg',
    source: `a middle-class car, about 1,600 kg as driven; ${practice}`,
    field: 'car.weighed',
    supply: 'Weigh the car: car.weighed: { mass: 3478 lb, fuel-in-tank: 40 L, driver: out }.',
  },
  driver: {
    quantity: 'mass of the driver',
    value: 80,
    spread: 12,
    unit: 'kg',
    shownIn: 'kg',
    source: practice,
    field: 'car.driver',
    supply: 'Give car.driver: 82 kg.',
  },
  driverOnScale: {
    quantity: 'mass of a driver who may have sat in the car on the scale',
    value: 0,
    spread: 40,
    unit: 'kg',
    shownIn: 'kg',
    source: `taken as out, half a driver uncertain; ${practice}`,
    field: 'car.weighed.driver',
    supply: 'Say car.weighed.driver: in or out.',
  },
  cargo: {
    quantity: 'mass of the cargo',
    value: 0,
    spread: 5,
    unit: 'kg',
    shownIn: 'kg',
    source: practice,
    field: 'car.cargo',
    supply: 'Give cargo: 6 kg, or 0 kg.',
  },
  fuelLevel: {
    quantity: 'fuel in the tank while driving, as a share of the tank',
    value: 0.5,
    spread: 0.25,
    unit: '1',
    shownIn: '%',
    source: `anything between empty and full; ${practice}`,
    field: 'runs[].fuel-in-tank',
    supply: 'Give fuel-in-tank: 35 L for each run.',
  },
  fuelLevelOnScale: {
    quantity: 'fuel in the tank on the scale, as a share of the tank',
    value: 0.5,
    spread: 0.25,
    unit: '1',
    shownIn: '%',
    source: `anything between empty and full; ${practice}`,
    field: 'car.weighed.fuel-in-tank',
    supply: 'Give car.weighed.fuel-in-tank: 40 L.',
  },
  tank: {
    quantity: 'volume of the tank',
    value: 0.06,
    spread: 0.01,
    unit: 'm³',
    shownIn: 'L',
    source: practice,
    field: 'car.tank',
    supply: 'Give car.tank: 60 L.',
  },
  fuelDensity: {
    quantity: 'density of the fuel',
    value: 745,
    spread: 15,
    unit: 'kg/m³',
    shownIn: 'kg/L',
    source:
      'petrol by its heating values, 0.7448 kg/L (US DOE Alternative Fuels Data Center, fuel properties); spread for season and blend: common practice',
    field: 'car.fuel-density',
    supply: 'Give car.fuel-density: 0.745 kg/L.',
  },
  dragArea: {
    quantity: 'drag coefficient times frontal area',
    value: 0.68,
    spread: 0.1,
    unit: 'm²',
    shownIn: 'm^2',
    source: `a passenger car; ${practice}`,
    field: 'car.drag-area',
    supply: 'Give car.drag-area: 0.706 m^2.',
  },
  rolling: {
    quantity: 'rolling-resistance coefficient',
    value: 0.0125,
    spread: 0.0025,
    unit: '1',
    shownIn: '1',
    source: 'car tyre on asphalt, 0.010 to 0.015 (engineeringtoolbox.com, rolling friction)',
    field: 'car.rolling-coefficient',
    supply: 'Give car.rolling-coefficient: 0.0125.',
  },
  tyreRadius: {
    quantity: 'rolling radius of the driven tyres',
    value: 0.315,
    spread: 0.015,
    unit: 'm',
    shownIn: 'm',
    source: practice,
    field: 'car.tyre-radius',
    supply: 'Give car.tyre-radius: 0.318 m, or car.tyre: 245/45R17.',
  },
  temperature: {
    quantity: 'air temperature',
    value: 293.15,
    spread: 8,
    unit: 'K',
    shownIn: '°C',
    source: `20 °C; ${practice}`,
    field: 'runs[].air.temperature',
    supply: 'Give air: { temperature: 22 degC } for each run.',
  },
  pressure: {
    quantity: 'station pressure',
    value: 99000,
    spread: 3000,
    unit: 'Pa',
    shownIn: 'kPa',
    source: `unknown elevation, about 0 to 450 m by the standard atmosphere (US Standard Atmosphere 1976); ${practice}`,
    field: 'runs[].air.pressure',
    supply: 'Give air: { pressure: 99.2 kPa }, or altimeter with elevation, for each run.',
  },
  pressureAtElevation: {
    quantity: 'station pressure',
    value: 101325,
    spread: 1000,
    unit: 'Pa',
    shownIn: 'kPa',
    source: 'standard atmosphere at the elevation given (US Standard Atmosphere 1976); spread for the weather: common practice',
    field: 'runs[].air.pressure',
    supply: 'Give air: { pressure: 99.2 kPa }, or altimeter beside the elevation, for each run.',
  },
  humidity: {
    quantity: 'relative humidity',
    value: 0.5,
    spread: 0.25,
    unit: '1',
    shownIn: '%',
    source: practice,
    field: 'runs[].air.humidity',
    supply: 'Give air: { humidity: 45 % }, or dew-point, for each run.',
  },
  wind: {
    quantity: 'headwind',
    value: 0,
    spread: 2,
    unit: 'm/s',
    shownIn: 'm/s',
    source: practice,
    field: 'runs[].wind',
    supply: 'Give wind: 0 m/s for each run, headwind positive.',
  },
  grade: {
    quantity: 'grade of the road',
    value: 0,
    spread: 0.005,
    unit: '1',
    shownIn: '%',
    source: practice,
    field: 'runs[].grade',
    supply: 'Give grade: 0 % for each run, uphill positive.',
  },
  wheelInertia: {
    quantity: 'inertia of the four wheels',
    value: Number.NaN,
    spread: Number.NaN,
    unit: 'kg m²',
    shownIn: 'kg m²',
    source: `3 % of the car’s mass at the tyre’s radius; ${practice}`,
    field: 'car.wheel-inertia',
    supply: 'Give car.wheel-inertia: 4.6 kg m^2.',
  },
  engineInertia: {
    quantity: 'inertia of engine, flywheel and clutch or converter',
    value: Number.NaN,
    spread: Number.NaN,
    unit: 'kg m²',
    shownIn: 'kg m²',
    source: `0.05 + 0.055 for each liter, more with a converter or two clutches; ${practice}`,
    field: 'car.engine-inertia',
    supply: 'Give car.engine-inertia: 0.24 kg m^2, and car.displacement.',
  },
  stoich: {
    quantity: 'stoichiometric air-fuel ratio of the fuel',
    value: 14.35,
    spread: 0.2,
    unit: '1',
    shownIn: '1',
    source: 'petrol with 0 to 10 % ethanol, 14.7 to 14.0 (US DOE Alternative Fuels Data Center; blend by mass of components)',
    field: 'car.fuel-type',
    supply: 'Give car.fuel-type: { ethanol: 10 % }.',
  },
  gaugeStoich: {
    quantity: 'number by which the gauge multiplies lambda (counts only where a log holds air-fuel ratio)',
    value: 14.7,
    spread: 0.1,
    unit: '1',
    shownIn: '1',
    source: practice,
    field: 'car.targets.gauge-stoich',
    supply: 'Give car.targets.gauge-stoich: 14.7.',
  },
};

/** Spread of an entered value: a part of the value, or a fixed amount. */
export type EnteredSpread = { readonly share: number } | { readonly fixed: number };

export type EnteredName =
  | 'scale'
  | 'brochure'
  | 'driver'
  | 'cargo'
  | 'fuelVolume'
  | 'fuelShare'
  | 'fuelDensity'
  | 'dragArea'
  | 'rolling'
  | 'tyreRadius'
  | 'temperature'
  | 'pressure'
  | 'elevation'
  | 'humidity'
  | 'dewPoint'
  | 'wind'
  | 'grade'
  | 'inertia'
  | 'rotatingFactor'
  | 'ethanol'
  | 'stoich'
  | 'gaugeStoich'
  | 'volumetricEfficiency'
  | 'drivetrainEfficiency'
  | 'specificConsumption';

/** How uncertain an entered value is taken to be. All of them common practice, no source. */
const enteredSpreads: Readonly<Record<EnteredName, EnteredSpread>> = {
  /** A vehicle scale on level ground. */
  scale: { share: 0.005 },
  /** Equipment, model year and what was added since: a brochure is off by 3 to 4 % either way. */
  brochure: { share: 0.035 },
  /** Clothes and shoes. */
  driver: { fixed: 1 },
  /** Kitchen or bathroom scale, or an estimate of what lies in the boot. */
  cargo: { share: 0.1 },
  /** What a pump, a canister or a gauge tells: 2 L. */
  fuelVolume: { fixed: 0.002 },
  /** A gauge read by eye: a twentieth of the tank. */
  fuelShare: { fixed: 0.05 },
  fuelDensity: { share: 0.005 },
  /** Published drag coefficients are for the car as delivered. */
  dragArea: { share: 0.05 },
  /** Depends on tyre, pressure, temperature and road. */
  rolling: { share: 0.08 },
  /** Measured by rolling the loaded car. */
  tyreRadius: { share: 0.01 },
  /** A thermometer in the shade. */
  temperature: { fixed: 1 },
  /** A barometer or weather station near by: 1 hPa. */
  pressure: { fixed: 100 },
  /** From a map. */
  elevation: { fixed: 5 },
  humidity: { fixed: 0.05 },
  dewPoint: { fixed: 1 },
  /** Read at another place and moment. */
  wind: { fixed: 0.5 },
  /** From a map or a level. */
  grade: { fixed: 0.001 },
  /** Estimated from parts. */
  inertia: { share: 0.1 },
  rotatingFactor: { fixed: 0.02 },
  /** Pump fuel against its label. */
  ethanol: { fixed: 0.02 },
  stoich: { fixed: 0.05 },
  gaugeStoich: { fixed: 0 },
  /** From a dynamometer or a calibration's table, at another engine speed. */
  volumetricEfficiency: { share: 0.03 },
  drivetrainEfficiency: { share: 0.02 },
  specificConsumption: { share: 0.05 },
};

/** Standard uncertainty of an entered value, in the unit of the value. */
export function enteredSpread(name: EnteredName, value: number): number {
  const rule = enteredSpreads[name];
  return 'fixed' in rule ? rule.fixed : Math.abs(value) * rule.share;
}
