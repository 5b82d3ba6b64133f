import type { Dimension } from '../../units/index.js';
import type { QuantityRule } from './writtenQuantity.js';

/** What each quantity of the trial file is called and the widest range that can be meant, SI. The ranges only catch a wrong unit; they are common practice, no source. */

function rule(dimension: Dimension, what: string, low: number, high: number, ...examples: string[]): QuantityRule {
  return { dimension, what, low, high, examples };
}

const mm = 1e-3;
const litre = 1e-3;

type RuleName =
  | 'scaleMass'
  | 'carMass'
  | 'driver'
  | 'cargo'
  | 'tank'
  | 'fuelDensity'
  | 'dayToDay'
  | 'ethanol'
  | 'dragArea'
  | 'tyreRadius'
  | 'wheelInertia'
  | 'engineInertia'
  | 'engineDisplacement'
  | 'redline'
  | 'blowerDisplacement'
  | 'pulley'
  | 'rotorSpeed'
  | 'pressureAcross'
  | 'wheelbase'
  | 'centreHeight'
  | 'axleShare'
  | 'launchSpeed'
  | 'shiftSpeed'
  | 'shiftTime'
  | 'lambdaDelay'
  | 'sensorPressure'
  | 'temperature'
  | 'stationPressure'
  | 'altimeter'
  | 'elevation'
  | 'humidity'
  | 'dewPoint'
  | 'wind'
  | 'grade'
  | 'logTime'
  | 'rate'
  | 'gap'
  | 'slipTime'
  | 'slipSpeed'
  | 'torque'
  | 'volumeFlow'
  | 'massFlow'
  | 'deadTime'
  | 'railPressure'
  | 'volumetricEfficiency'
  | 'drivetrainEfficiency'
  | 'specificConsumption';

export const rules: Readonly<Record<RuleName, QuantityRule>> = {
  scaleMass: rule('mass', 'the mass on the scale', 300, 8000, '3260 lb', '1480 kg'),
  carMass: rule('mass', 'the mass of the car', 300, 8000, '3260 lb', '1480 kg'),
  driver: rule('mass', 'the mass of the driver', 0, 250, '82 kg', '180 lb'),
  cargo: rule('mass', 'the mass of the cargo', 0, 1500, '6 kg', '15 lb'),
  tank: rule('volume', 'the volume of the tank', 3 * litre, 300 * litre, '70 L', '18.5 gal'),
  fuelDensity: rule('density', 'the density of the fuel', 600, 1000, '0.745 kg/L', '6.2 lb/gal'),
  dayToDay: {
    dimension: 'ratio',
    what: 'how far days of this car differ, one standard deviation of power',
    low: 0.001,
    high: 0.05,
    examples: ['0.7 %'],
  },
  ethanol: rule('ratio', 'the share of ethanol by volume', 0, 1, '10 %'),
  dragArea: rule('area', 'the drag area', 0.15, 4, '0.706 m^2', '7.6 ft^2'),
  tyreRadius: rule('length', 'a rolling radius', 0.15, 0.7, '0.318 m', '12.5 in'),
  wheelInertia: rule('inertia', 'the inertia of all four wheels', 0.2, 60, '4.6 kg m^2'),
  engineInertia: rule('inertia', 'the inertia of the engine', 0.005, 5, '0.24 kg m^2'),
  engineDisplacement: rule('volume', 'the displacement of the engine', 0.1 * litre, 15 * litre, '3.0 L', '302 in^3'),
  redline: rule('engine-speed', 'the red line', 1500, 20000, '6700 rpm'),
  blowerDisplacement: rule('volume', 'the displacement of the blower for one turn', 0.05 * litre, 12 * litre, '1.32 L', '112 in^3'),
  pulley: rule('length', 'the diameter of a pulley', 20 * mm, 400 * mm, '74 mm', '2.9 in'),
  rotorSpeed: rule('engine-speed', 'the speed of the rotors', 2000, 300000, '16000 rpm'),
  pressureAcross: rule('pressure', 'the pressure across the injector', 0.5e5, 40e6, '3 bar', '43.5 psi'),
  wheelbase: rule('length', 'the wheelbase', 1, 6, '2.7 m', '106 in'),
  centreHeight: rule('length', 'the height of the centre of gravity', 0.15, 1.5, '0.5 m', '20 in'),
  axleShare: rule('ratio', 'the share of the mass on the driven axle', 0.1, 1, '52 %'),
  launchSpeed: rule('engine-speed', 'the engine speed at launch', 300, 20000, '3200 rpm'),
  shiftSpeed: rule('engine-speed', 'the engine speed at a shift', 1000, 20000, '6500 rpm'),
  lambdaDelay: rule('time', 'the time from injection to the lambda reading', 0, 1.5, '90 ms'),
  shiftTime: rule('time', 'the time for a shift', 0, 5, '0.3 s'),
  sensorPressure: rule('pressure', 'the pressure of a sensor at a voltage', -1e5, 2e6, '260 kPa'),
  temperature: rule('temperature', 'the air temperature', 223.15, 333.15, '22 degC', '72 degF'),
  stationPressure: rule('pressure', 'the air pressure', 50e3, 110e3, '99.2 kPa', '29.3 inHg'),
  altimeter: rule('pressure', 'the altimeter setting', 85e3, 110e3, '29.98 inHg', '1015 hPa'),
  elevation: rule('length', 'the elevation', -500, 6000, '610 ft', '186 m'),
  humidity: rule('ratio', 'the relative humidity', 0, 1, '45 %'),
  dewPoint: rule('temperature', 'the dew point', 213.15, 313.15, '9 degC', '48 degF'),
  wind: rule('speed', 'the headwind', -40, 40, '0 m/s', '5 mph'),
  grade: rule('ratio', 'the grade of the road', -0.3, 0.3, '0 %', '-0.4 %'),
  logTime: rule('time', 'a time from the start of the log', 0, 1e6, '120 s', '2 min'),
  rate: rule('frequency', 'the rate of the rows', 0.1, 10000, '25 Hz'),
  gap: rule('time', 'the longest gap', 0.001, 60, '0.5 s'),
  slipTime: rule('time', 'a time on a slip', 0.3, 90, '13.24 s'),
  slipSpeed: rule('speed', 'a speed on a slip', 5, 200, '106.3 mph', '171 km/h'),
  torque: rule('torque', 'the torque of a fastener', 0.1, 3000, '25 N m', '18 lb ft', '200 in lb'),
  volumeFlow: rule('volume-flow', 'the flow of one injector', 20 / 6e7, 8000 / 6e7, '550 cc/min', '52 lb/h'),
  deadTime: rule('time', 'the dead time of the injectors', 0, 0.005, '0.9 ms'),
  railPressure: rule('pressure', 'the pressure of the fuel rail above the air’s', 0.5e5, 40e6, '4 bar', '58 psi'),
  volumetricEfficiency: rule('ratio', 'the volumetric efficiency, referred to the density in the manifold,', 0.4, 1.4, '92 %'),
  drivetrainEfficiency: rule('ratio', 'the share of the crank’s power that reaches the road', 0.5, 1, '87 %'),
  specificConsumption: rule(
    'specific-consumption',
    'the specific consumption at full load',
    150 / 3.6e9,
    700 / 3.6e9,
    '330 g/kWh',
    '0.55 lb/(hp h)',
  ),
  massFlow: rule('mass-flow', 'the flow of one injector', 0.0002, 0.1, '52 lb/h', '550 cc/min'),
};
