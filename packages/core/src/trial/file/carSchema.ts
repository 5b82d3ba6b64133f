import { z } from 'zod';
import {
  choice,
  fuelLevel,
  group,
  knownKeys,
  plainNumber,
  quantity,
  quantityOrCoastDowns,
  readPlainNumber,
  text,
  yesOrNo,
} from './fields.js';
import { rules } from './rules.js';
import { fuelFlow, rotatingFactors, tyreSize } from './specialFields.js';
import type { CarFile, FuelTypeFile, Overrides, Written } from './trialFile.js';
import { readWritten } from './writtenQuantity.js';

const fuelType: z.ZodType<FuelTypeFile> = knownKeys(
  { ethanol: quantity(rules.ethanol).optional(), 'stoich-afr': plainNumber('the stoichiometric air-fuel ratio', 5, 20).optional() },
  'Share of ethanol by volume, or the stoichiometric air-fuel ratio by mass.',
);

/** Keys that a setup, a run or a slip may override. */
export const overrides: { [Key in keyof Overrides]-?: z.ZodOptional<z.ZodType<NonNullable<Overrides[Key]>>> } = {
  driver: quantity(rules.driver).optional(),
  cargo: quantity(rules.cargo).optional(),
  'tyre-radius': quantity(rules.tyreRadius).optional(),
  'tire-radius': quantity(rules.tyreRadius).meta({ deprecated: true }).optional(),
  'fuel-type': fuelType.optional(),
};

function readRolling(input: unknown): Written {
  return { si: readPlainNumber(input, 'a rolling-resistance coefficient', 0.003, 0.06), text: String(input), system: null };
}

/** The `car:` part of a trial file. */
export const carSchema: z.ZodType<CarFile> = knownKeys({
  name: text('the name of the car').optional(),
  weighed: group(
    knownKeys(
      {
        mass: quantity(rules.scaleMass),
        'fuel-in-tank': fuelLevel().optional(),
        driver: choice(['in', 'out'], 'whether the driver sat in').optional(),
      },
      'As read on the scale.',
    ),
  ),
  'mass-without-fuel': quantity(rules.carMass).optional(),
  weight: group(knownKeys({ brochure: quantity(rules.carMass) }, 'What others say it weighs, where nobody weighed it.')),
  ...overrides,
  tank: quantity(rules.tank).optional(),
  'fuel-density': quantity(rules.fuelDensity).optional(),
  'drag-area': quantityOrCoastDowns(
    (input) => readWritten(input, rules.dragArea),
    'drag coefficient times frontal area',
    'string',
  ).optional(),
  'rolling-coefficient': quantityOrCoastDowns(readRolling, 'rolling-resistance coefficient', 'number').optional(),
  tyre: tyreSize().optional(),
  tire: tyreSize().meta({ deprecated: true }).optional(),
  'gear-ratios': z
    .array(plainNumber('a gear ratio', 0.2, 20))
    .min(1)
    .meta({ description: 'First gear first.' })
    .optional(),
  'final-drive': plainNumber('the final drive ratio', 0.5, 20).optional(),
  transmission: choice(['manual', 'dual-clutch', 'automatic'], 'a kind of transmission').optional(),
  'lock-up': yesOrNo('whether the converter is locked in the pulls').optional(),
  driven: choice(['rear', 'front', 'all'], 'the driven wheels').optional(),
  'wheel-inertia': quantity(rules.wheelInertia).optional(),
  'engine-inertia': quantity(rules.engineInertia).optional(),
  'rotating-factor': rotatingFactors().optional(),
  displacement: quantity(rules.engineDisplacement).optional(),
  cylinders: plainNumber('the number of cylinders', 1, 24, true).optional(),
  'volumetric-efficiency': quantity(rules.volumetricEfficiency).optional(),
  'drivetrain-efficiency': quantity(rules.drivetrainEfficiency).optional(),
  'specific-consumption': quantity(rules.specificConsumption).optional(),
  redline: quantity(rules.redline).optional(),
  'boost-control': choice(['none', 'fixed-ratio', 'controlled'], 'how boost comes about').optional(),
  blower: knownKeys({
    displacement: quantity(rules.blowerDisplacement).optional(),
    'crank-pulley': quantity(rules.pulley).optional(),
    'max-rotor-speed': quantity(rules.rotorSpeed).optional(),
  }).optional(),
  injectors: knownKeys({
    count: plainNumber('the number of injectors', 1, 48, true).optional(),
    flow: fuelFlow().optional(),
    'at-pressure': quantity(rules.pressureAcross).optional(),
    rail: choice(['referenced', 'fixed'], 'a kind of fuel rail').optional(),
    'dead-time': quantity(rules.deadTime).optional(),
    'rail-pressure': quantity(rules.railPressure).optional(),
  }).optional(),
  targets: knownKeys({
    lambda: plainNumber('the lambda aimed at', 0.5, 1.5).optional(),
    'leanest-lambda': plainNumber('the leanest lambda allowed', 0.5, 1.5).optional(),
    'lambda-delay': quantity(rules.lambdaDelay).optional(),
    'gauge-stoich': plainNumber('the number by which the gauge multiplies lambda', 5, 20).optional(),
  }).optional(),
  launch: knownKeys({
    wheelbase: quantity(rules.wheelbase).optional(),
    'cg-height': quantity(rules.centreHeight).optional(),
    'driven-axle-share': quantity(rules.axleShare).optional(),
    rpm: quantity(rules.launchSpeed).optional(),
    'shift-rpm': quantity(rules.shiftSpeed).optional(),
    'shift-time': quantity(rules.shiftTime).optional(),
  }).optional(),
});
