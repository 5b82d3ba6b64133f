import { z } from 'zod';
import { carSchema, overrides } from './carSchema.js';
import { FieldProblem } from './fieldProblem.js';
import { choice, field, fuelLevel, group, knownKeys, plainNumber, quantity, shown, text } from './fields.js';
import { decimalFromText, delimiterFromText } from './readingWords.js';
import { rules } from './rules.js';
import { channelMap, dateAndTime, fieldBy, formulas, namedSensor } from './specialFields.js';
import type { OutingFile, RunFile, SetupFile, SlipFile, TrialFile } from './trialFile.js';

/** Version 1 of the trial file, key by key. zod is used at this door only. */

const air = knownKeys(
  {
    temperature: quantity(rules.temperature).optional(),
    pressure: quantity(rules.stationPressure).optional(),
    altimeter: quantity(rules.altimeter).optional(),
    elevation: quantity(rules.elevation).optional(),
    humidity: quantity(rules.humidity).optional(),
    'dew-point': quantity(rules.dewPoint).optional(),
  },
  'Weather at the road: pressure is station pressure; or altimeter with elevation. Humidity or dew point.',
);

const reading = knownKeys(
  {
    delimiter: fieldBy(delimiterFromText, 'the delimiter', {
      type: 'string',
      examples: ['comma', 'semicolon', 'tab', 'pipe', 'spaces'],
    }).optional(),
    decimal: fieldBy(decimalFromText, 'the decimal mark', { enum: ['point', 'comma', '.', ','] }).optional(),
    encoding: choice(['utf-8', 'windows-1252', 'utf-16le', 'utf-16be'], 'an encoding').optional(),
    'time-unit': choice(['s', 'ms', 'us', 'min', 'h'], 'the unit of the time column').optional(),
    rate: quantity(rules.rate).optional(),
    table: plainNumber('which table of the file, from 1,', 1, 1000, true).optional(),
    'max-gap': quantity(rules.gap).optional(),
  },
  'How to read the log, where it is not to be guessed.',
);

/** What a trial, an outing and a setup may state for all of their runs. */
const shared = {
  direction: text('the direction driven; opposite ones on one road pair up').optional(),
  'fuel-in-tank': fuelLevel().optional(),
  air: group(air),
  wind: quantity(rules.wind).optional(),
  grade: quantity(rules.grade).optional(),
};
const inherited = { outing: text('the name of the outing: its runs share road, day and warm-up').optional(), ...shared };

const outing: z.ZodType<OutingFile> = knownKeys({ name: text('the name of the outing'), when: dateAndTime().optional(), ...shared });

const conditions = {
  when: dateAndTime().optional(),
  ...inherited,
  channels: channelMap().optional(),
  reading: group(reading),
  from: quantity(rules.logTime).optional(),
  to: quantity(rules.logTime).optional(),
  ...overrides,
};

const run: z.ZodType<RunFile> = knownKeys({
  log: text('the path of the log, relative to this file'),
  kind: choice(['pulls', 'idle', 'cruise', 'pass'], 'what the run was driven for').optional(),
  gear: plainNumber('the gear of the pulls', 1, 12, true).optional(),
  ...conditions,
});

const sensorLine = z.union([
  namedSensor(),
  knownKeys({ 'at-0V': quantity(rules.sensorPressure), 'at-5V': quantity(rules.sensorPressure) }),
]);

const linesOf = (what: string) => z.array(text(what)).optional();

const setup: z.ZodType<SetupFile> = knownKeys({
  name: text('the name of the setup'),
  'blower-pulley': quantity(rules.pulley).optional(),
  calibration: text('the name of the calibration').optional(),
  'map-sensor': knownKeys(
    { logged: sensorLine, fitted: sensorLine },
    'Only when the log was scaled for another sensor than the one fitted.',
  ).optional(),
  changes: knownKeys({
    parts: linesOf('a part'),
    fasteners: z
      .array(
        knownKeys({
          where: text('where the fastener is'),
          size: text('the size of the fastener'),
          class: text('the property class of the fastener').optional(),
          torque: quantity(rules.torque),
        }),
      )
      .optional(),
    belts: linesOf('a belt'),
    hoses: linesOf('a hose'),
    notes: linesOf('a note'),
  }).optional(),
  ...overrides,
  ...inherited,
  runs: z.array(run).optional(),
});

const slipTime = quantity(rules.slipTime).optional();
const slipSpeed = quantity(rules.slipSpeed).optional();

const slip: z.ZodType<SlipFile> = knownKeys({
  setup: text('the name of the setup'),
  log: text('the path of the log, relative to this file').optional(),
  times: knownKeys({ '60ft': slipTime, '330ft': slipTime, '660ft': slipTime, '1000ft': slipTime, '1320ft': slipTime }),
  speeds: knownKeys({ '660ft': slipSpeed, '1000ft': slipSpeed, '1320ft': slipSpeed }).optional(),
  ...conditions,
});

const version = field(
  (input): 1 => {
    if (Number(input) === 1) return 1;
    throw new FieldProblem(
      'E_TRIAL_VERSION',
      `This is a trial file of version ${shown(input)}; version 1 is read here.`,
      'Write trial: 1.',
    );
  },
  { const: 1, description: 'Version of the trial file.' },
);

/** What the schema makes of a file; `parseTrial` adds its path, a title and the units for people. */
export type CheckedFile = Omit<TrialFile, 'path' | 'title' | 'units' | 'unitsOpen'> &
  Partial<{ [Key in 'title' | 'units']: TrialFile[Key] | undefined }>;

export const trialSchema: z.ZodType<CheckedFile> = knownKeys({
  trial: version,
  title: text('the title').optional(),
  units: choice(['metric', 'imperial', 'us'], 'units for people')
    .transform((word) => (word === 'us' ? 'imperial' : word))
    .optional(),
  car: group(carSchema).transform((car) => car ?? {}),
  ...inherited,
  outings: z.array(outing).optional(),
  setups: z.array(setup).min(1),
  'day-to-day': knownKeys(
    { spread: quantity(rules.dayToDay), days: plainNumber('the number of days that told it', 2, 10000, true) },
    'How far days of this car differ, as its season told: in place of what is assumed.',
  ).optional(),
  expected: choice(['large'], 'what size of difference is expected').optional(),
  reason: text('why a large difference is expected, such as the part').optional(),
  calculated: formulas().optional(),
  slips: z.union([text('the path of a CSV file of slips'), z.array(slip)]).optional(),
});

/**
 * The trial file's JSON Schema, for editors; generated from the schema that the reader uses.
 *
 * @returns a JSON Schema of draft 2020-12
 */
export function trialJsonSchema(): Record<string, unknown> {
  return {
    ...z.toJSONSchema(trialSchema, { io: 'input' }),
    title: 'Pullproof trial file, version 1',
    description: 'One question about one car: its setups, their runs, its slips. Each quantity is a number and its unit.',
  };
}
