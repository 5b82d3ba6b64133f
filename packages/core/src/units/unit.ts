/** What kind of quantity a unit measures. Units of one dimension convert into each other. */
export type Dimension =
  | 'pressure'
  | 'temperature'
  | 'speed'
  | 'engine-speed'
  | 'mass'
  | 'volume'
  | 'length'
  | 'area'
  | 'time'
  | 'power'
  | 'torque'
  | 'force'
  | 'mass-flow'
  | 'volume-flow'
  | 'density'
  | 'specific-consumption'
  | 'angle'
  | 'ratio'
  | 'air-fuel-ratio'
  | 'voltage'
  | 'acceleration'
  | 'inertia'
  | 'frequency'
  | 'force-per-speed'
  | 'force-per-speed-squared';

/** What zero means for a pressure. */
export type PressureReference = 'absolute' | 'gauge';

/** A unit as recognised in a text, with its way to and from the unit in which that dimension is held inside. */
export interface Unit {
  /** Our own spelling, such as `km/h`; for a pressure without its reference. */
  readonly symbol: string;
  readonly dimension: Dimension;
  /** What zero means where the text says so (`psia`, `bar g`); null otherwise. A gauge pressure stays gauge in Pa: nobody adds an atmosphere here. */
  readonly reference: PressureReference | null;
  /** To SI (engine speed: rpm; angle: deg; ratio: 1). NaN stays NaN. */
  readonly toSi: (value: number) => number;
  /** From SI, the inverse of `toSi`. */
  readonly fromSi: (valueSi: number) => number;
}

/** Unit in which a dimension is held inside, and an example for people. Dimensions marked `bare` need no unit text: their plain number is the value. */
export const dimensions: Readonly<Record<Dimension, { readonly si: string; readonly example: string; readonly bare: boolean }>> = {
  pressure: { si: 'Pa', example: '99.2 kPa', bare: false },
  temperature: { si: 'K', example: '22 degC', bare: false },
  speed: { si: 'm/s', example: '80 km/h', bare: false },
  'engine-speed': { si: 'rpm', example: '6700 rpm', bare: false },
  mass: { si: 'kg', example: '1480 kg', bare: false },
  volume: { si: 'm^3', example: '40 L', bare: false },
  length: { si: 'm', example: '0.318 m', bare: false },
  area: { si: 'm^2', example: '0.70 m^2', bare: false },
  time: { si: 's', example: '0.3 s', bare: false },
  power: { si: 'W', example: '150 kW', bare: false },
  torque: { si: 'N m', example: '300 N m', bare: false },
  force: { si: 'N', example: '350 N', bare: false },
  'mass-flow': { si: 'kg/s', example: '40 lb/h', bare: false },
  'volume-flow': { si: 'm^3/s', example: '550 cc/min', bare: false },
  density: { si: 'kg/m^3', example: '0.745 kg/L', bare: false },
  'specific-consumption': { si: 'kg/J', example: '330 g/kWh', bare: false },
  angle: { si: 'deg', example: '12 deg', bare: false },
  ratio: { si: '1', example: '45 %', bare: true },
  'air-fuel-ratio': { si: 'AFR', example: '14.1', bare: true },
  voltage: { si: 'V', example: '5 V', bare: false },
  acceleration: { si: 'm/s^2', example: '2.5 m/s^2', bare: false },
  inertia: { si: 'kg m^2', example: '0.24 kg m^2', bare: false },
  frequency: { si: 'Hz', example: '25 Hz', bare: false },
  'force-per-speed': { si: 'N/(m/s)', example: '0.156 lbf/mph', bare: false },
  'force-per-speed-squared': { si: 'N/(m/s)^2', example: '0.018 lbf/mph^2', bare: false },
};
